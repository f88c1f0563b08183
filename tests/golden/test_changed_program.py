"""A changed equation leaves every golden record honest and printable, with the figures that were signed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from checks.__main__ import main
from checks.assessment import assessment
from checks.questions import bank
from checks.revision import fingerprint
from checks.text.number_format import measure
from scoring.equipment import Split
from scoring.redundancy.annex_b_edition_1 import AnnexB1
from tests.golden.conftest import FOLDER, unpacked

SIGNED = FOLDER / "release_2" / "S30-2.json.gz"


@pytest.fixture
def signed(tmp_path: Path) -> Path:
    """A signed record of release 2."""
    return unpacked(SIGNED, tmp_path)


@pytest.fixture(autouse=True)
def fresh_caches() -> Iterator[None]:
    """Clear caches that live as long as a program, so that each test acts as a new program."""
    for cached in (fingerprint.of, bank.banks):
        cached.cache_clear()
    yield
    for cached in (fingerprint.of, bank.banks):
        cached.cache_clear()


@pytest.fixture
def doubled(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program whose equation doubles the independent part."""
    original = AnnexB1.result

    def twice(self: AnnexB1, *arguments: Any, **betas: Any) -> Split:
        split = original(self, *arguments, **betas)
        return replace(split, independent=2.0 * split.independent)

    monkeypatch.setattr(AnnexB1, "result", twice)


@pytest.mark.usefixtures("doubled")
def test_verify_reports_figures_that_a_changed_equation_computes_differently(
    signed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(signed)]) == 0
    output = capsys.readouterr().out
    assert "figures: computed by another edition of the program; " in output
    assert "  results.functions." in output
    assert ".pfd.ideal is " in output
    assert "(+100.00%)" in output
    assert "safety half: signed by" in output


@pytest.mark.usefixtures("doubled")
def test_papers_print_the_figures_that_were_signed(signed: Path, tmp_path: Path) -> None:
    for options in ([], ["--annex", "--reader", "security reviewer SR-2"]):
        assert main(["report", str(signed), "-o", str(tmp_path / "paper.pdf"), *options]) == 0
    main(["report", str(signed), "-o", str(tmp_path / "paper.pdf")])
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "paper.pdf").pages)
    stored = json.loads(signed.read_text())["revision"]["results"]["functions"]["SIF-301"]["pfd"]
    for case in stored:
        assert measure("low", stored[case]) in text, case
    assert "not drawn: this program computes other figures" in " ".join(text.split())


@pytest.mark.usefixtures("doubled")
def test_a_figure_changed_in_the_file_is_still_tampering(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = json.loads(signed.read_text())
    text["revision"]["results"]["functions"]["SIF-301"]["pfd"]["scored"] *= 0.5
    signed.write_text(json.dumps(text))
    assert main(["verify", str(signed)]) == 1
    assert "was changed after it was fixed" in capsys.readouterr().err


def test_a_corrected_typo_in_a_bank_makes_no_record_look_forged(
    signed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    original = bank.edition

    def mended(name: str, edition: str) -> Any:
        return {
            key: replace(question, text=f"{question.text} Mended.") for key, question in original(name, edition).items()
        }

    monkeypatch.setattr(bank, "edition", mended)
    assert main(["verify", str(signed)]) == 0
    assert "figures: fits" in capsys.readouterr().out


def test_a_changed_house_constant_is_no_forgery_either(
    signed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("scoring.exposure.CLASS_VALUE", {3: 0.30, 2: 0.05, 1: 0.015})
    assert main(["verify", str(signed)]) == 0
    assert "computed by another edition of the program" in capsys.readouterr().out


def test_the_cap_of_what_moves_a_result_is_no_part_of_a_record(
    signed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(assessment, "MOVES", 0.5)
    assert main(["verify", str(signed)]) == 0
    assert "figures: fits" in capsys.readouterr().out
