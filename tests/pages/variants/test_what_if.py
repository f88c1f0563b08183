"""What if screen: variants side by side, faults at their cells, taking one over, and who may."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import ASSESSOR
from checks.journal.store import Store
from checks.state.live import Live
from tests.pages.at_the_screen import as_, press, unfold
from tests.pages.shown import Screen, chart, fine, rows, said, written_in

TABLE = "Variants side by side"


def put(at: AppTest, variant: str, group: str, key: str, text: str) -> AppTest:
    """Change one cell of a variant of SIF-401."""
    name = f"variant 1 SIF-401 {variant} {group} {key}"
    (widget,) = [each for each in (*at.text_input, *at.selectbox) if each.key and each.key.split("~~")[0] == name]
    return fine(widget.set_value(text).run())


@pytest.fixture
def two_variants(store: Store, screen: Screen) -> AppTest:
    """A third transmitter as variant A, a yearly valve test as variant B; ``store`` holds the demo."""
    assert store.plants()
    at = put(press(fine(screen("what-if", function="SIF-401")), "New variant"), "A", "pt-401", "voting", "2oo3")
    return put(press(at, "New variant"), "B", "xv-401", "proof_test.interval_h", "1 y")


def test_the_third_transmitter_that_buys_nothing_is_seen_as_that(two_variants: AppTest) -> None:
    shown = said(two_variants)
    assert (
        "Variant A buys nothing: RRF stays 32; it falls short of the target by a factor 1.6. xv-401 (1oo1) contributes 99.6 % and stays "
        "as it is."
    ) in shown
    assert "Variant B is a factor 2.0 better: RRF 32 → 63; it meets the target by a factor 1.3." in shown
    table = rows(two_variants, TABLE)
    assert [row["Variant"] for row in table] == ["as built", "A", "B"]
    assert "pt-401 voting 1oo2 → 2oo3" in table[1]["What changes"]
    assert (table[2]["Changed by"], table[2]["Verdict"]) == ("× 2.0", "meets the target")
    assert table[0]["Spurious trips a year"] != table[1]["Spurious trips a year"], "the third transmitter trips too"
    assert all(" to " in row["5 % to 95 %"] for row in table)
    labels = "\n".join(written_in(chart(two_variants)))
    assert all(figures in labels for figures in ("variant A", "variant B", "RRF 63, target 50"))


def test_a_fault_is_listed_with_its_cell_and_other_variants_stay(two_variants: AppTest) -> None:
    at = put(two_variants, "B", "xv-401", "proof_test.interval_h", "often")
    assert "Variant B cannot be calculated: see its faults below." in said(at)
    assert "xv-401, Proof-test interval: often: no number" in said(at)
    assert [row["Verdict"] for row in rows(at, TABLE)] == ["falls short", "falls short", "faults"]


def test_a_variant_is_plant_data_only_once_it_is_taken_over(two_variants: AppTest, store: Store) -> None:
    before = Live(store, 1).state()
    at = unfold(two_variants, "take_over")
    assert "This invalidates revision 3 of S40" in said(at)
    assert Live(store, 1).state().version == before.version
    at = press(at, "Take variant B over")
    test = Live(store, 1).state().plant.groups["xv-401"].proof_test
    assert test is not None
    assert test.interval_h == 8760.0
    assert "Variant B is plant data now." in said(at) or any("plant data now" in each.value for each in at.success)


def test_a_reader_without_the_right_sees_variants_and_takes_none_over(two_variants: AppTest) -> None:
    at = as_(two_variants, "IA-1", ASSESSOR)
    assert "which your role may not" in said(at)
    assert "Take a variant over into the plant" not in said(at)


def test_no_more_than_four_variants_and_one_can_be_copied_and_removed(two_variants: AppTest) -> None:
    at = press(press(two_variants, "Copy it"), "Copy it")
    table = rows(at, TABLE)
    assert [row["Variant"] for row in table] == ["as built", "A", "B", "C", "D"]
    assert table[2]["What changes"] == table[4]["What changes"]
    assert at.button(key="new_variant").disabled
    at = press(at, "Remove it")
    assert [row["Variant"] for row in rows(at, TABLE)] == ["as built", "A", "B", "C"]


def test_variants_belong_to_their_function(two_variants: AppTest) -> None:
    """Another function begins without any, and the first one keeps its own."""
    (function,) = [each for each in two_variants.selectbox if each.label == "Function"]
    other = fine(function.set_value("SIF-301").run())
    assert [row["Variant"] for row in rows(other, TABLE)] == ["as built"]
    (function,) = [each for each in other.selectbox if each.label == "Function"]
    back = fine(function.set_value("SIF-401").run())
    assert [row["Variant"] for row in rows(back, TABLE)] == ["as built", "A", "B"]
