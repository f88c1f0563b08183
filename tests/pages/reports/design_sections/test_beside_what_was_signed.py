"""Spurious trips and architecture in the safety report: of the revision, calculated when printed, and said to be unsigned."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from checks.analysis import architecture as stated_architecture
from checks.analysis import spurious_trips as trips_of
from checks.plantfile import plant_file
from checks.record_files.record_file import Record
from demo import load
from pages.presentation import architecture_rows, trip_rows
from pages.reports.design_sections import architecture, spurious_trips
from pages.reports.design_sections.beside_what_was_signed import CALCULATED, NOT_CALCULATED
from pages.reports.sections.reported_revision import reported_revision
from tests.pages.reports.read import printed, report, squeezed, text
from tests.pages.reports.recorded import Keeping


@pytest.fixture(scope="module", params=["S20", "S30"])
def record(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Record:
    folder: Path = tmp_path_factory.mktemp("kept")
    kept = Keeping(folder, plant_file.read(load.PLANT))
    kept.put_up(request.param)
    return kept.record(request.param)


def test_the_report_prints_every_rate_and_every_statement_and_that_they_are_not_signed(record: Record) -> None:
    reported, shown = reported_revision(record), squeezed(text(report(record)))
    assert shown.count(squeezed(CALCULATED)) == 2
    for function in reported.functions:
        trips = trips_of.of_function(reported.assessment, function.id)
        assert squeezed(trip_rows.sentence(trips)) in shown
        for row in trip_rows.group_rows(trips):
            assert squeezed("".join(row.values())) in shown
        stated = stated_architecture.of_function(reported.assessment, function.id)
        assert squeezed(f"{stated.sil_words} {stated.capability_words}") in shown
        for row in architecture_rows.device_rows(stated):
            assert squeezed(row["Device"] + row["Type"] + row["Diagnostic coverage"] + row["SFF"]) in shown
    assert squeezed(stated_architecture.DEFERS) in shown


def test_a_revision_whose_figures_this_program_does_not_reproduce_gets_none_added(record: Record) -> None:
    reported = reported_revision(record)
    reported.assessment.reproduced = False
    for section in (spurious_trips, architecture):
        shown = squeezed(text(printed(section.functions(replace(reported)))))
        assert squeezed(NOT_CALCULATED) in shown
        assert "trips" not in shown.replace(squeezed(NOT_CALCULATED), "")
        assert "HFT" not in shown
