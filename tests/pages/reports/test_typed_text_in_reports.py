"""Typed text is printed as typed in both documents, in any script: markup, paths and formulas have no effect."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.checks.given import tricky
from tests.pages.reports.read import annex, objects, read_out, report, squeezed, text
from tests.pages.reports.recorded import Keeping

TRICKS = (
    '=HYPERLINK("http://127.0.0.1:9/") %s {0} {{7*7}} $(id) <b>bold</b> & <para> <img src="file:///etc/hostname"/> &lt;',
    "../../../etc/hostname (\\) /JS (app.alert) endstream endobj 漢字の注記",
    "примечание (\\) <№ 7> %% «да»",
)
TURNED = "שלום מראש"


def documents(folder: Path, trick: str) -> list[PdfReader]:
    """Both documents of a signed and of a returned revision, with hostile text in every field."""
    kept = Keeping(folder, tricky(trick))
    fields: dict[str, Any] = {"shows": trick, "identifier": trick, "until_event": trick, "valid_until": ""}
    for question, of in (("SEP1", "group:pt-301"), ("Z01", "zone:sis")):
        kept.show(question, of, **fields)
        kept.dissent(question, of, value="unknown", who=trick, role=trick, reason=trick, settles=trick)
    kept.attend("S30", (trick, trick))
    kept.answer("Z01", "zone:field", "met", evidence=trick)
    kept.signed("S30", safety=trick, security=trick)
    kept.answer("SEP1", "group:esv-301", "met", evidence=trick, note=trick)
    kept.send_back(kept.put_up("S30"), half="safety", comments=trick)
    printed = []
    for number in (0, 1):
        record = kept.record("S30", number)
        printed += [report(record), annex(record, trick)]
    return printed


@pytest.mark.parametrize("trick", TRICKS)
def test_hostile_text_is_printed_as_typed_and_has_no_effect(trick: str, tmp_path: Path) -> None:
    for document in documents(tmp_path, trick):
        assert squeezed(text(document)).count(squeezed(trick)) >= 20
        for pdf_object in objects(document):
            if isinstance(pdf_object, dict):
                assert not {"/URI", "/JS", "/AA", "/OpenAction", "/EmbeddedFiles", "/Annots", "/Launch"} & set(
                    pdf_object
                )
                assert pdf_object.get("/Subtype") not in ("/Image", "/Link")


def test_text_from_right_to_left_is_read_out_as_typed(tmp_path: Path) -> None:
    for document in documents(tmp_path, TURNED):
        assert sum(TURNED in line for line in read_out(document)) >= 20
