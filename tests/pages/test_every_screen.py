"""Every screen draws, and says what it must say wherever figures stand."""

from __future__ import annotations

import pytest
import streamlit as st

from checks.assessment.cautions import CAUTIONS, method
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.plantfile.plant_file import from_text
from checks.recording import plants
from tests.checks.given import SMALLEST, plain
from tests.checks.journal.stored import import_plant, plant_data
from tests.pages.at_the_screen import press, unfold
from tests.pages.shown import SCREENS, Holding, Screen, fine, said, unescaped, where
from tests.rule import Rule

NONSENSE = ("nowhere", "-1", "1e99", "../../etc", "![x](https://example.invalid/x.png)", "é漢", "x" * 3000)
GONE = (
    ("common-cause", "group", "{} is not in Quillmarch Works"),
    ("common-cause", "q", "There is no question {}"),
    ("cyber", "zone", "{} is not in Quillmarch Works"),
    ("cyber", "bank", "{} is not among the choices here"),
    ("cyber", "q", "There is no question {}"),
    ("redundancy", "function", "{} is not in Quillmarch Works"),
    ("zones", "zone", "{} is not in Quillmarch Works"),
    ("reach", "foothold", "{} is not among the choices here"),
    ("fix", "fix", "{} is not among the choices here"),
    ("fix", "case", "{} is not among the choices here"),
    ("again", "system", "{} is not in Quillmarch Works"),
    ("changed", "system", "{} is not in Quillmarch Works"),
    ("changed", "to", "{} is not among the choices here"),
    ("sign-off", "system", "{} is not in Quillmarch Works"),
)
"""Each query parameter that a screen asks for, and what it says of an unknown value."""


def test_every_screen_draws_with_the_demo_and_says_that_its_data_are_invented(store: Store, screen: Screen) -> None:
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                shown = said(fine(screen(url_path)))
                assert "Quillmarch Works** — invented data - not for use" in shown
                for caution in CAUTIONS:
                    assert caution in shown
                assert method(plant_data(store, 1)) in shown


@pytest.mark.usefixtures("store")
def test_the_first_screen_is_the_plant(screen: Screen) -> None:
    assert "## What is left of the redundancy" in said(fine(screen("")))


@pytest.mark.usefixtures("store")
def test_an_address_that_names_nothing_known_says_so_and_shows_nothing_in_its_place(screen: Screen) -> None:
    with Rule() as rule:
        for url_path, name, sentence in GONE:
            for nonsense in NONSENSE:
                with rule.case(f"{url_path} {name} {nonsense[:40]!r}"):
                    at = fine(screen(url_path, **{name: nonsense}))
                    assert [unescaped(warning.value) for warning in at.warning] == [
                        f"{sentence.format(nonsense)}. Nothing else is shown in its place."
                    ]
                    assert not at.get("plotly_chart")
                    assert where(at, name) == nonsense, "the address stays as it was shared"


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(
    ("url_path", "query", "sentence"),
    [
        (
            "redundancy",
            {"function": "SIF-301", "group": "xv-401"},
            "xv-401 is in this plant, but not among the choices here",
        ),
        (
            "redundancy",
            {"function": "SIF-401", "group": "xv-401"},
            "xv-401 is in this plant, but not among the choices here",
        ),
        ("common-cause", {"group": "pt-301", "q": "Z01"}, "Question Z01 is not asked here"),
        ("cyber", {"zone": "Z5", "bank": "requirements", "q": "Z01"}, "Question Z01 is not asked here"),
        ("cyber", {"zone": "Z5", "q": "SR 1.1"}, "Question SR 1.1 is not asked here"),
        ("common-cause", {"group": "pt-301", "system": "S50"}, "pt-301 does not belong to system S50"),
        ("redundancy", {"function": "SIF-301", "system": "S99"}, "S99 is not in Quillmarch Works"),
    ],
)
def test_an_address_that_names_what_does_not_belong_here_says_so(
    screen: Screen, url_path: str, query: dict[str, str], sentence: str
) -> None:
    at = fine(screen(url_path, **query))
    assert [unescaped(warning.value) for warning in at.warning] == [f"{sentence}. Nothing else is shown in its place."]
    assert {name: where(at, name) for name in query} == query


@pytest.mark.parametrize("address", ["2", "1-00000000", *NONSENSE])
def test_a_plant_of_another_database_is_never_replaced(store: Store, screen: Screen, address: str) -> None:
    at = fine(screen("common-cause", plant=address, group="pt-301"))
    assert [unescaped(warning.value) for warning in at.warning] == [f"Plant {address} is not in this database."]
    assert "Reactor pressure transmitters" not in said(at)
    links = {link.proto.label: link.proto.query_string for link in at.get("page_link")}
    assert links["Quillmarch Works \\(demo\\)"] == f"plant={plants.address_of(store, 1)}"


@pytest.mark.usefixtures("store")
def test_a_group_that_was_removed_is_said_to_be_gone_and_another_can_be_chosen(store: Store, screen: Screen) -> None:
    plant = plant_data(store, 1)
    name = "SIF-702"
    systems = {
        key: system.model_copy(update={"functions": [one for one in system.functions if one != name]})
        for key, system in plant.systems.items()
    }
    functions = {key: function for key, function in plant.functions.items() if key != name}
    import_plant(store, plant.model_copy(update={"systems": systems, "functions": functions}), by="A", writer="w")
    at = fine(screen("redundancy", function=name))
    assert [unescaped(one.value) for one in at.warning] == [
        "SIF-702 is no longer in Quillmarch Works. Nothing else is shown in its place."
    ]
    fine(at.selectbox(key="choose_function_anew").set_value("SIF-301").run())
    assert (where(at, "function"), where(at, "system")) == ("SIF-301", "S30")
    assert "SIF-301" in said(at)
    assert not at.warning


def test_an_address_without_a_place_gets_it(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause"))
    names = ("plant", "system", "group", "q")
    assert tuple(where(at, name) for name in names) == (plants.address_of(store, 1), "S30", "pt-301", "DIV8")
    again = fine(screen("common-cause", **{name: str(where(at, name)) for name in names}))
    assert said(again) == said(at)


def test_a_link_of_an_earlier_release_names_its_plant_by_the_number_alone(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", plant="1", group="pt-301"))
    assert where(at, "plant") == plants.address_of(store, 1)


def without(*blocks: str) -> Plant:
    """The valid plant without these blocks and what hangs on them."""
    raw = plain()
    raw["answers"] = []
    for block in blocks:
        raw[block] = {}
    if "zones" in blocks:
        for group in raw["groups"].values():
            group.pop("zone", None)
    return Plant.model_validate(raw)


def of_one_demand(demand: str) -> Plant:
    """The valid plant with the functions of one demand only."""
    raw = plain()
    raw["functions"] = {key: one for key, one in raw["functions"].items() if one["demand"] == demand}
    raw["systems"] = {}
    raw["answers"] = []
    return Plant.model_validate(raw)


def of_single_channels() -> Plant:
    """The valid plant with one channel a group."""
    raw = plain()
    for group in raw["groups"].values():
        group.pop("stated_beta", None)
        group.update(voting="1oo1", channels=group["channels"][:1])
    raw["answers"] = []
    return Plant.model_validate(raw)


SPARSE = {
    "nothing at all": from_text("smallest", SMALLEST),
    "no zones": without("zones", "conduits"),
    "no conduits": without("conduits"),
    "no systems": without("systems"),
    "no functions": without("functions", "systems"),
    "no groups": without("groups", "functions", "systems"),
    "single channels only": of_single_channels(),
    "high demand only": of_one_demand("high"),
    "low demand only": of_one_demand("low"),
}


@pytest.mark.parametrize("which", SPARSE)
def test_a_sparse_plant_draws_on_every_screen(holding: Holding, screen: Screen, which: str) -> None:
    holding(SPARSE[which])
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                shown = said(fine(screen(url_path)))
                assert SPARSE[which].plant.name in shown
                assert CAUTIONS[0] in shown


@pytest.mark.parametrize(
    ("url_path", "which", "sentence"),
    [
        ("plant", "nothing at all", "P has no safety function yet"),
        ("common-cause", "no groups", "No group is described yet: set it up under Plant."),
        ("cyber", "no zones", "No zone is described yet: set it up under Plant."),
        ("redundancy", "no functions", "No function is described yet: set it up under Plant."),
        ("zones", "no zones", "No zone is described yet: set it up under Plant."),
        ("fix", "no functions", "No function is described yet: set it up under Plant."),
    ],
)
def test_a_screen_with_nothing_to_show_says_what_to_do(
    holding: Holding, screen: Screen, url_path: str, which: str, sentence: str
) -> None:
    holding(SPARSE[which])
    assert sentence in said(screen(url_path))


def test_a_store_that_is_away_is_a_sentence_on_every_screen(
    screen: Screen, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{store.engine.url.database}/below/answers.sqlite3")
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                at = screen(url_path)
                assert not at.exception
                (sentence,) = [error.value for error in at.error]
                assert "cannot be created" in sentence
                assert CAUTIONS[0] in said(at)


def test_an_empty_store_asks_how_to_begin_and_loads_nothing_by_itself(
    screen: Screen, monkeypatch: pytest.MonkeyPatch, store: Store
) -> None:
    path = f"{store.engine.url.database}-new"
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{path}")
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                shown = said(fine(screen(url_path)))
                for way in ("Look at the demo", "Begin an empty plant", "Bring a spreadsheet", "Bring a plant file"):
                    assert f"### {way}" in shown
                assert CAUTIONS[0] in shown
    assert Store(f"sqlite:///{path}").plants() == {}


def test_the_demo_is_looked_at_put_away_and_a_newcomer_lands_on_the_own_plant(
    screen: Screen, monkeypatch: pytest.MonkeyPatch, store: Store
) -> None:
    path = f"{store.engine.url.database}-new"
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{path}")
    at = fine(screen("plant", who=""))
    fine(at.button(key="look_at_demo").click().run())
    assert "**Quillmarch Works** — invented data - not for use — demo" in said(at)
    at = fine(screen("start", who=""))
    at.text_input(key="begin_plant_name").set_value("Own Works").run()
    press(at, "Begin an empty plant")
    assert "Own Works" not in Store(f"sqlite:///{path}").plants().values(), "nothing is recorded without a name"
    fine(at.text_input(key="name_box").set_value("FS-1").run())
    assert "## Own Works has no safety function yet" in said(at)
    assert Store(f"sqlite:///{path}").events(2)[0].by == "FS-1"
    assert "Own Works" in said(fine(screen("plant")))
    at = press(unfold(screen("plant", plant="1"), "plants_1"), "Archive this plant")
    assert "— demo — archived" in said(at)
    assert [link.proto.label for link in at.get("page_link") if "Own" in link.proto.label] == ["Own Works"]
    labels = [link.proto.label for link in unfold(screen("plant", plant="2"), "plants_2").get("page_link")]
    assert not [label for label in labels if "Quillmarch" in label], "an archived plant is out of the list"
    assert [label for label in labels if label == "Add or bring back a plant"]
    press(unfold(screen("plant", plant="1"), "plants_1"), "Bring this plant back")
    assert not plants.listed(Store(f"sqlite:///{path}"))[0].archived


@pytest.mark.usefixtures("store")
def test_the_title_of_the_page_names_the_place(screen: Screen, monkeypatch: pytest.MonkeyPatch) -> None:
    titles: list[str] = []
    monkeypatch.setattr(st, "set_page_config", lambda **how: titles.append(how["page_title"]))
    for url_path, query, title in (
        ("common-cause", {"group": "pt-301"}, "pt-301 · Common-cause session · Quillmarch Works"),
        ("redundancy", {}, "SIF-401 · Redundancy left · Quillmarch Works"),
        ("plant", {}, "Plant · Quillmarch Works"),
        ("cyber", {"zone": "Z5"}, "Z5 · Cyber session · Quillmarch Works"),
    ):
        at = fine(screen(url_path, **query))
        assert titles[-1] == title
        fine(at.run())
        assert titles[-1] == title
