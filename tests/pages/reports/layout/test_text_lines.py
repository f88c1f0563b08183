"""Text on paper: scripts, directions, lines, and characters without a font."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from pages.reports.layout import bidi, page_layout, text_lines
from pages.reports.layout.fonts import font, printable, runs
from pages.reports.layout.text_lines import Style, truncated, width, wrapped
from tests.pages.reports.read import printed, read_out, text

IN_ORDER = {
    "Latin": "Łódź, çağrı, naïve, Đặng, þorn",
    "Greek": "β = λ · τ, Ωμέγα",
    "powers": "2.1 × 10⁻⁶ 1/h, x₀ ≤ x₁",
    "Cyrillic": "Жанна Щукіна, ђак",
    "Hebrew": "שלום",
    "Chinese": "过程安全审查",
    "Japanese": "安全計装システムのレビュー",
    "Korean": "공정 안전 검토",
    "symbols": "☐ ☑ ✓ → ≈ √ ∞ ⚠",
}
SHAPED = {
    "Arabic": "مراجعة السلامة",
    "Hebrew words": "סקירת בטיחות",
    "Devanagari": "क्षत्रिय सुरक्षा समीक्षा",
    "Bengali": "নিরাপত্তা পর্যালোচনা",
    "Gurmukhi": "ਸੁਰੱਖਿਆ ਸਮੀਖਿਆ",
    "Gujarati": "સુરક્ષા સમીક્ષા",
    "Tamil": "பாதுகாப்பு ஆய்வு",
    "Telugu": "భద్రతా సమీక్ష",
    "Kannada": "ಸುರಕ್ಷತಾ ವಿಮರ್ಶೆ",
    "Malayalam": "സുരക്ഷാ അവലോകനം",
    "Thai": "การทบทวนความปลอดภัย",
}
LETTERS = {chr(ord("A") + at): chr(0x05D0 + at) for at in range(26)}
BACK = {letter: key for key, letter in LETTERS.items()}
ISOLATES = str.maketrans("{}", "\u2068\u2069")


@pytest.mark.parametrize("script", IN_ORDER)
def test_text_of_a_script_is_extracted_as_typed(script: str) -> None:
    assert IN_ORDER[script] in text(printed(page_layout.paragraph(IN_ORDER[script])))


@pytest.mark.parametrize("script", SHAPED)
def test_text_of_a_shaped_script_has_the_typed_text_as_actual_text(script: str) -> None:
    typed = SHAPED[script]
    assert typed in list(read_out(printed(page_layout.paragraph(typed))))


def test_arabic_letters_join() -> None:
    # Unicode's presentation forms name the joined letters: beginning, middle and end of "سلم" (code chart FE70-FEFF).
    (run,) = runs("سلم", bold=False, right_to_left=True)
    assert run.shaped is not None
    names = [unicodedata.name(glyph) for glyph in run.shaped]
    assert [name.rpartition(" ")[0].rpartition(" ")[2] for name in names] == ["FINAL", "MEDIAL", "INITIAL"]


@pytest.mark.parametrize("typed", [*IN_ORDER.values(), *SHAPED.values()])
def test_every_sample_is_written_in_glyphs_and_not_in_code_points(typed: str) -> None:
    assert "U+" not in printable(typed)
    for run in runs(printable(typed), bold=True, right_to_left=False):
        assert all(ord(character) in font(run.font).face.charToGlyph for character in run.shaped or run.text)


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("a fox \U0001f98a", "a fox U+1F98A"),
        ("a face \U0001f600", "a face U+1F600"),
        ("cuneiform \U00012000", "cuneiform U+12000"),
        ("private \ue000", "private U+E000"),
        ("bell \x07", "bell U+0007"),
        ("half a pair \ud800", "half a pair U+D800"),
        ("turned \u202eabc", "turned U+202Eabc"),
        ("isolate \u2067abc", "isolate U+2067abc"),
        ("mark \u200fabc", "mark U+200Fabc"),
        ("open \u2068abc", "open U+2068abc"),
        ("closed \u2069abc\u2068", "closed U+2069abcU+2068"),
    ],
)
def test_characters_without_a_font_and_direction_controls_are_printed_as_code_points(typed: str, shown: str) -> None:
    assert shown in text(printed(page_layout.title(typed), page_layout.heading(typed), page_layout.paragraph(typed)))


def reordered(typed: str) -> str:
    """Visual order from left to right; capitals represent Hebrew letters, as in the annex."""
    logical = "".join(LETTERS.get(letter, letter) for letter in typed.translate(ISOLATES))
    pieces = bidi.visual_order(logical, bidi.levels(logical), bidi.paragraph_level(logical))
    line = "".join(part[::-1] if turned else part for part, turned in pieces)
    return "".join(BACK.get(letter, letter) for letter in line if letter not in bidi.ISOLATES)


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        # Unicode Standard Annex 9, examples of reordering and of rule N0 (from memory).
        ("car means CAR.", "car means RAC."),
        ("car MEANS CAR.", "car RAC SNAEM."),
        ("AB(CD[&ef]!)gh", "gh(![ef&]DC)BA"),
        ("smith (fabrikam ARABIC) HEBREW", "smith (fabrikam CIBARA) WERBEH"),
        ("ARABIC (book(s))", "(book(s)) CIBARA"),
        # By hand from the rules: W4 keeps a time together, W5 a sign with its number, W7 leaves a number with its letters.
        ("CALL 10:30 NOW", "WON 10:30 LLAC"),
        ("UP 3.5% NOW", "WON 3.5% PU"),
        ("pump p-12a stops", "pump p-12a stops"),
        # By hand from P2, X5c and X6a: an isolate, here in braces, is one neutral to the text beside it.
        ("{ABC}, 2025-03-04 (2oo3)", "CBA, 2025-03-04 (2oo3)"),
        ("by {ABC (d)} (2oo3)", "by (d) CBA (2oo3)"),
        ("{ABC} {DEF}", "CBA FED"),
        ("{ABC 12} 34", "12 CBA 34"),
        ("UP {a B} NOW", "WON a B PU"),
    ],
)
def test_mixed_directions_follow_the_order_of_the_unicode_annex(typed: str, shown: str) -> None:
    assert reordered(typed) == shown


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        # By hand from W2, W4 and L2: digits after Arabic letters keep their order, a comma or slash keeps a number together.
        ("سلم ١٢٣", "١٢٣"),
        ("سلم ١٢/٣٤", "١٢/٣٤"),
        ("سلم ۱۲۳", "۱۲۳"),
        ("שלום 2025-03-04", "2025-03-04"),
        ("\u2068سلم\u2069, 2025-03-04", ", 2025-03-04"),
        ("\u2068سلم ١٢٣\u2069 (2oo3)", " (2oo3)"),
    ],
    ids=ascii,
)
def test_digits_and_dates_after_right_to_left_text_are_drawn_in_their_order(typed: str, shown: str) -> None:
    (line,) = text_lines.wrapped(typed, text_lines.Style(), 1e6)
    assert shown in "".join(run.shaped or run.text for run in line.runs)
    assert line.read == typed.translate(str.maketrans("", "", "\u2068\u2069"))


def test_a_shortened_text_ends_the_isolate_that_it_cuts() -> None:
    typed = f"\u2068{'שלום ' * 40}\u2069 (2oo3)"
    cut = text_lines.truncated(typed, text_lines.Style(), 200.0)
    assert cut.endswith("\u2069…")
    assert "U+" not in printable(cut)


@given(st.text(alphabet="abcאבגبت 012.,-()[]%+", max_size=40))
def test_reordering_loses_no_character(typed: str) -> None:
    pieces = bidi.visual_order(typed, bidi.levels(typed), bidi.paragraph_level(typed))
    brackets = str.maketrans(")]", "([")
    assert sorted("".join(part for part, _ in pieces).translate(brackets)) == sorted(typed.translate(brackets))


@given(st.text(alphabet="abc 012.,-()é漢字", max_size=40))
def test_text_without_right_to_left_letters_keeps_its_order(typed: str) -> None:
    assert "".join(part for part, _ in bidi.visual_order(typed, bidi.levels(typed), 0)) == typed


@given(
    st.text(alphabet=st.sampled_from("abW m.-/é漢字、。אבсλ⁻⁶"), max_size=120),
    st.floats(min_value=30.0, max_value=200.0),
)
def test_no_line_is_wider_than_available_and_nothing_is_lost(typed: str, room: float) -> None:
    lines = wrapped(typed, Style(), room)
    assert all(line.width <= room + 0.01 for line in lines)
    shown = [line.read if line.read is not None else "".join(run.text for run in line.runs) for line in lines]
    assert "".join("".join(shown).split()) == "".join(printable(typed).split())


@example("00\u093a00", 20.0)
@given(st.text(max_size=60), st.floats(min_value=20.0, max_value=300.0))
def test_a_truncated_text_fits_and_ends_with_an_ellipsis(typed: str, room: float) -> None:
    short = truncated(typed, Style(), room)
    whole = printable(" ".join(typed.split()))
    assert short == whole or short.endswith("…")
    if short != whole and len(short) > 2:
        assert width(short, Style()) <= room + 2.0  # joined letters are measured singly


def test_line_breaks_are_kept_and_digits_have_equal_widths() -> None:
    assert len(wrapped("one\r\ntwo\n\nfour", Style(), 200.0)) == 4
    assert len({round(width(digit, Style(bold=bold)), 3) for digit in "0123456789" for bold in (False,)}) == 1
    assert len({round(width(digit, Style(bold=True)), 3) for digit in "0123456789"}) == 1
