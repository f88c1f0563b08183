"""Page layout of a document: header and footer, outline and metadata, and no active content."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from pages.reports.layout import page_layout
from tests.pages.reports.read import PLAIN, entries, objects, printed, squeezed, text

ROOT = Path(__file__).parents[4]
HOSTILE = (
    '<b>bold</b> & <para> <img src="file:///etc/hostname"/> <a href="http://127.0.0.1:9/">x</a> &lt; {0} %s =1+1 '
    "../../../etc/hostname {{7*7}} $(id) (\\) /JS (app.alert) endstream endobj"
)
SCRIPT = """
import hashlib, json, sys
from datetime import date
seen = []
sys.addaudithook(lambda name, args: seen.append((name, str(args[0]))) if name in watched else None)
watched = ("open", "socket.connect", "socket.getaddrinfo", "subprocess.Popen", "os.system", "urllib.Request")
from pages.reports.charts import result_charts; from pages.reports.layout import page_layout
hostile = sys.argv[1]
seen.clear()
on = page_layout.DocumentInfo(title=hostile, date=date(2025, 3, 4), note=hostile, marking=hostile, caution=hostile, reader=hostile)
parts = [page_layout.title(hostile, hostile), page_layout.heading(hostile), page_layout.paragraph(hostile), page_layout.items([hostile]),
         page_layout.facts([(hostile, hostile)]), page_layout.table([hostile, hostile], [[hostile, "שלום العربية हिन्दी"]], widths=(1, 1))]
made = page_layout.build_pdf(on, *parts)
modules = [name for name in ("streamlit", "plotly") if name in sys.modules]
print(json.dumps([seen, modules, hashlib.sha256(made).hexdigest()]))
"""


def by_itself(seed: str) -> Any:
    """Opened files, imported modules and hash of a PDF with hostile text, printed in a separate process."""
    asked = [sys.executable, "-c", SCRIPT, HOSTILE]
    env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    return json.loads(subprocess.run(asked, env=env, cwd=ROOT, capture_output=True, check=True).stdout)  # noqa: S603


def test_printing_opens_font_files_and_nothing_else_and_needs_no_screen() -> None:
    opened, modules, _ = by_itself("1")
    assert modules == []
    others = [
        what for what in opened if what[0] != "open" or "/pages/reports/layout/fonts/" not in what[1].replace("\\", "/")
    ]
    assert [what for what in others if not what[1].endswith((".pyc", ".py"))] == []
    assert any("SourceSansPro" in what[1] for what in opened)


def test_the_same_input_gives_the_same_bytes_in_another_process_too() -> None:
    assert by_itself("1")[2] == by_itself("2")[2]


def test_the_same_input_gives_the_same_bytes_after_other_documents() -> None:
    def digest() -> str:
        return hashlib.sha256(page_layout.build_pdf(PLAIN, page_layout.paragraph("क्षत्रिय مراجعة"))).hexdigest()

    before = digest()
    page_layout.build_pdf(PLAIN, page_layout.paragraph("العربية والسلامة हिन्दी समीक्षा श्री"))
    assert digest() == before
    other = page_layout.build_pdf(replace(PLAIN, date=date(2025, 3, 5)), page_layout.paragraph("क्षत्रिय مراجعة"))
    assert hashlib.sha256(other).hexdigest() != before


def test_markup_paths_and_formulas_are_printed_as_typed_in_every_block() -> None:
    places = {
        "title": page_layout.title(HOSTILE),
        "lead": page_layout.title("x", HOSTILE),
        "heading": page_layout.heading(HOSTILE),
        "paragraph": page_layout.paragraph(HOSTILE),
        "small": page_layout.small(HOSTILE),
        "item": page_layout.items([HOSTILE]),
        "fact": page_layout.facts([("x", HOSTILE)]),
        "cell": page_layout.table(["a", "b"], [["x", HOSTILE]], widths=(1, 1)),
    }
    for place, parts in places.items():
        assert squeezed(HOSTILE) in squeezed(text(printed(parts))), place


def test_a_document_contains_no_link_picture_script_or_file() -> None:
    document = printed(page_layout.title(HOSTILE), page_layout.paragraph(HOSTILE))
    dictionaries = [pdf_object for pdf_object in objects(document) if isinstance(pdf_object, dict)]
    assert len(dictionaries) > 10
    for dictionary in dictionaries:
        assert not {"/URI", "/JS", "/AA", "/OpenAction", "/EmbeddedFiles", "/Annots", "/Launch"} & set(dictionary)
        assert dictionary.get("/Subtype") not in ("/Image", "/Link")


def test_every_font_of_every_page_and_form_is_embedded() -> None:
    document = printed(page_layout.title("One"), page_layout.paragraph("שלום 漢字 हिन्दी ☑ plain"))
    fonts = [
        pdf_object
        for pdf_object in objects(document)
        if isinstance(pdf_object, dict) and pdf_object.get("/Type") == "/Font"
    ]
    assert len(fonts) >= 5
    for font in fonts:
        assert "/FontFile2" in font["/FontDescriptor"].get_object(), font["/BaseFont"]
        assert "/ToUnicode" in font


def test_title_language_and_date_are_stated_and_no_author() -> None:
    document = printed(page_layout.paragraph("x"), on=replace(PLAIN, title="Überprüfung β"))
    assert document.metadata is not None
    assert document.metadata.title == "Überprüfung β"
    assert not document.metadata.author
    assert document.metadata["/CreationDate"].startswith("D:20250304")
    assert document.root_object["/Lang"] == "en-GB"
    assert document.root_object["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712  (a boolean of the reader's own kind)


def test_every_page_has_number_count_note_marking_and_caution() -> None:
    on = replace(PLAIN, marking="confidential")
    document = printed(*(page_layout.paragraph(f"line {at}") for at in range(600)), on=on)
    many = len(document.pages)
    assert many > 9
    for number, page in enumerate(document.pages, start=1):
        shown = " ".join(page.extract_text().split())
        assert f"page {number} of {many}" in shown
        for words in ("A report", "confidential", "invented data - not for use", "In this model."):
            assert words in shown


def test_a_marked_copy_names_reader_and_date_on_every_page() -> None:
    def copy(**more: str) -> PdfReader:
        return printed(*(page_layout.paragraph(f"line {at}") for at in range(90)), on=replace(PLAIN, **more))

    marked = copy(reader="Ada Example")
    assert len(marked.pages) > 1
    for page in marked.pages:
        assert page.extract_text().count("for: Ada Example, 2025-03-04") == 2
    assert "for:" not in text(copy())
    long = copy(reader="A" * 3000)
    assert all(page.extract_text().count("…, 2025-03-04") == 2 for page in long.pages)


def test_headings_are_in_the_outline_and_skipped_levels_are_closed_up() -> None:
    document = printed(
        page_layout.title("Title"),
        page_layout.heading("One"),
        page_layout.heading("One and a half <b>", 2),
        page_layout.paragraph("x"),
        page_layout.heading("שלום 漢", 1),
        page_layout.heading("Deep", 3),
        page_layout.paragraph("y"),
    )
    assert list(entries(document.outline)) == [
        (0, "Title"),
        (0, "One"),
        (1, "One and a half <b>"),
        (0, "שלום 漢"),
        (1, "Deep"),
    ]


def test_a_heading_is_never_alone_at_the_bottom_of_a_page() -> None:
    for lines in range(30, 60):
        document = printed(
            page_layout.items(["x"] * lines), page_layout.heading("The heading"), page_layout.paragraph("body " * 60)
        )
        (page,) = [page for page in document.pages if "The heading" in page.extract_text()]
        assert "body body" in page.extract_text()


def test_an_empty_document_is_one_page() -> None:
    assert len(printed().pages) == 1


@pytest.mark.parametrize("long", ["w" * 2000, "name " * 900, "\n".join("ab" * 300)])
def test_text_of_any_length_is_printed_completely_in_every_block(long: str) -> None:
    parts = [
        page_layout.title(long, long),
        page_layout.heading(long),
        page_layout.heading(long, 2),
        page_layout.items([long]),
        page_layout.small(long),
    ]
    frame = r"page\d+of\d+|Inthismodel\.|inventeddata-notforuse|Areport"
    shown = re.sub(frame, "", squeezed(text(printed(*parts))))
    assert shown.count(squeezed(long)) >= 5
