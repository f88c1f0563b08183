"""Plants and people at the edge of what is allowed still draw."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from streamlit.proto.Block_pb2 import Block as BlockProto

from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.equipment import StatedBeta
from checks.plantfile.plant import Plant
from demo.load import PLANT
from pages.results.redundancy_left import PARTS
from tests.checks.given import FORMAT_2
from tests.checks.journal.stored import import_plant
from tests.pages.conftest import Screen
from tests.pages.shown import fine, unescaped
from tests.rule import Rule


def with_stated_beta_of_zero() -> Plant:
    plant = plant_file.read(PLANT)
    none = StatedBeta(beta=0.0, beta_d=0.0, source="invented")
    groups = {**plant.groups, "pt-301": plant.groups["pt-301"].model_copy(update={"stated_beta": none})}
    return plant.model_copy(update={"groups": groups})


def test_a_stated_beta_of_zero_is_drawn_at_the_edge_of_the_axis(store: Store, screen: Screen) -> None:
    import_plant(store, with_stated_beta_of_zero(), by="", writer="test")
    with Rule() as rule:
        for url_path in ("plant", "redundancy", "common-cause", "zones"):
            with rule.case(url_path):
                fine(screen(url_path, function="SIF-301", group="pt-301"))


def test_everything_of_format_2_is_drawn(store: Store, screen: Screen) -> None:
    import_plant(store, plant_file.read(FORMAT_2), by="", writer="test")
    places: list[tuple[str, dict[str, str]]] = [
        ("plant", {}),
        *(("redundancy", {"function": f"SIF-{number}", "part": part}) for number in (1, 2, 3) for part in PARTS),
        ("common-cause", {"group": "ls"}),
        ("common-cause", {"group": "pt"}),
        ("cyber", {"zone": "sis"}),
        ("zones", {"zone": "sis"}),
        ("again", {"system": "S1"}),
        ("sign-off", {"system": "S1"}),
    ]
    with Rule() as rule:
        for url_path, where in places:
            with rule.case(f"{url_path} {where}"):
                fine(screen(url_path, **where))


def _blocks(block: Any) -> Iterator[Any]:
    for one in getattr(block, "children", {}).values():
        if isinstance(getattr(one, "proto", None), BlockProto):
            yield one
        yield from _blocks(one)


@pytest.mark.usefixtures("store")
def test_a_name_with_markup_is_shown_as_typed_at_the_head(screen: Screen) -> None:
    at = screen("plant")
    at.text_input(key="who_box").set_value("![x](http://example.invalid/x.png)").run()
    fine(at)
    *_, label = [one.proto.popover.label for one in _blocks(at.main) if one.proto.HasField("popover")]
    assert "![x](" not in label
    assert unescaped(label) == "![x](http://example.invalid/x.png)"
