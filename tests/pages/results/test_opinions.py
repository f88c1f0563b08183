"""Opinions on one axis: betas of a group by each method with the published range behind, and exposure rules, each with a table."""

from __future__ import annotations

import pytest

from checks.analysis import exposure_opinions
from checks.journal.store import Store
from checks.state.live import Live
from checks.text.number_format import measure
from tests.pages.shown import Screen, fine, rows, said

TABLE = "Opinions on the beta of pt-301"


@pytest.mark.usefixtures("store")
def test_every_method_has_a_row_and_what_is_not_answered_says_so(screen: Screen) -> None:
    at = fine(screen("redundancy", function="SIF-301", group="pt-301"))
    table = {row["Method"]: row for row in rows(at, TABLE)}
    assert table["IEC 61508-6:2010 Annex D"]["From"] == "the method of the result"
    for method in ("Partial sums, Humphreys 1987", "Unified partial method, 1996"):
        assert table[method]["Beta of a pair"] == "not answered"
        assert table[method]["From"] == "0 of 8 answered"
    assert table["Field data by equipment, SINTEF 2015"]["Beta of a pair"] == "15 %"
    assert table["Typical by equipment, PDS 2013"]["Between"] == "6 % to 7 %"


@pytest.mark.usefixtures("store")
def test_the_published_range_behind_the_rows_names_its_source(screen: Screen) -> None:
    shown = said(fine(screen("redundancy", function="SIF-301", group="pt-301")))
    assert "Behind the rows: 1 % to 10 %, the range with good prevention in H. W. Jones" in shown
    assert "AIAA 2012" in shown


def test_the_exposure_rules_stand_as_a_table_too(store: Store, screen: Screen) -> None:
    assessment = Live(store, 1).state().assessment
    expected = exposure_opinions.by_exposure_rule(assessment, "SIF-303")
    table = {
        row["Rule"]: row["RRF"]
        for row in rows(fine(screen("redundancy", function="SIF-303", part="compromise")), "SIF-303 by exposure rule")
    }
    assert list(table) == ["with common cause", *expected]
    assert [table[rule] for rule in expected] == [measure("low", value) for value in expected.values()]
    assert len(set(table.values())) >= 3
