"""The uncertainty in the safety report: band, probability, shares, and that nobody signed it."""

from __future__ import annotations

import re

import pytest

from checks.analysis import uncertainty
from checks.plantfile import plant_file
from checks.revision import basis
from checks.text.number_format import percent
from demo import load
from pages.reports.design_sections import uncertainty as section
from pages.reports.sections.reported_revision import reported_revision
from tests.pages.reports.read import printed, text
from tests.pages.reports.recorded import Keeping


def test_band_and_shares_of_each_function_are_printed_as_no_part_of_what_was_signed(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    kept = Keeping(tmp_path_factory.mktemp("uncertain"), plant_file.read(load.PLANT))
    kept.put_up("S30")
    record = kept.record("S30")
    reported = reported_revision(record)
    shown = text(printed(section.bands(reported)))
    assert section.UNSIGNED in shown
    assessment = basis.revision_assessment(record.revision)
    for function in reported.functions:
        found = uncertainty.of_function(assessment, function.id)
        assert found is not None
        assert re.search(rf"^{function.id} .*{re.escape(percent(found.misses))} ", shown, re.MULTILINE)
        for part in found.rests_on:
            assert f"{part.input.name} {part.input.spread} {percent(part.share)}" in shown
    assert "seed 1" in shown
    reported.assessment.reproduced = False
    assert section.NOT_SHOWN in text(printed(section.bands(reported)))
