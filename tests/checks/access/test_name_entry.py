"""A name is refused at its entry where a reader would be deceived; the names of real scripts pass.

Scripts are compared with HarfBuzz, which has its own copy of the Unicode data. Restriction levels: Unicode Technical Standard 39,
5.2 to 5.4, from memory.
"""

from __future__ import annotations

import unicodedata

import pytest
import uharfbuzz

from checks.access.name_entry import LONGEST_NAME, all_faults, name_faults

FINE = (
    "R. Hale", "TM-1", "Renée O'Neil", "Łukasz Żółć", "Мария Иванова", "Νίκος Παππάς", "山田 太郎", "高橋ケン",
    "佐々木 Ken", "김민수 Kim", "李明 Li Ming", "محمد علي", "דוד כהן", "Nguyễn Thị Hồng", "ʻIolani", "Team 3 (night)",
    "अनिता शर्मा", "سارا ۱۲", "ＴＭ－１", "𠮷野家", "Цех №7", "valve specialist",
)  # fmt: skip
UNSEEN = (
    "\u200b", "\u200c", "\u200d", "\u200e", "\u200f", "\u202a", "\u202e", "\u2066", "\u2068", "\u00ad", "\u2060", "\ufeff",
    "\u061c", "\u180e", "\u034f", "\u115f", "\u3164", "\uffa0", "\u2800", "\ufe0f", "\U000e0041", "\U000e0100", "\ue000",
    "\x07", "\x1b", "\x7f", "\x9b", "\n", "\t", "\u2028",
)  # fmt: skip


@pytest.mark.parametrize("name", FINE)
def test_a_name_in_one_script_or_in_those_of_one_writing_system_is_fine(name: str) -> None:
    assert name_faults("name", name) == []


@pytest.mark.parametrize("character", UNSEEN, ids=ascii)
def test_a_character_that_does_not_show_is_refused_and_named(character: str) -> None:
    (fault,) = name_faults("by", f"Ana{character} Kowalska")
    assert fault.place == "by"
    assert fault.found.startswith(f"character 4 of the name is U+{ord(character):04X}")
    assert str(fault).isprintable()


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        ("Аna Kowalska", "U+0410 CYRILLIC CAPITAL LETTER A", "U+006E LATIN SMALL LETTER N"),
        ("Ana Kоwalska", "U+0041 LATIN CAPITAL LETTER A", "U+043E CYRILLIC SMALL LETTER O"),
        ("Αna", "U+0391 GREEK CAPITAL LETTER ALPHA", "U+006E LATIN SMALL LETTER N"),
        ("Иван Παππάς", "U+0418 CYRILLIC CAPITAL LETTER I", "U+03A0 GREEK CAPITAL LETTER PI"),
        ("TM-৪", "U+0054 LATIN CAPITAL LETTER T", "U+09EA BENGALI DIGIT FOUR"),
        ("𝐀на", "U+0041 LATIN CAPITAL LETTER A", "U+043D CYRILLIC SMALL LETTER EN"),
        ("김ケン", "U+AE40 HANGUL SYLLABLE GIM", "U+30B1 KATAKANA LETTER KE"),
    ],
)
def test_letters_of_scripts_that_do_not_belong_together_are_refused_with_one_of_each(
    name: str, one: str, other: str
) -> None:
    (fault,) = name_faults("name", name)
    assert fault.found == f"letters of 2 scripts, {one} and {other}"
    assert "one script" in fault.allowed


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("A" + "\u0301" * 6, "6 marks on one letter"),
        ("سارا ۱١", "digits of two kinds"),
        ("—", "has no letter"),
        ("🏭", "has no letter"),
        ("x" * (LONGEST_NAME + 1), "201 characters"),
    ],
    ids=ascii,
)
def test_what_else_is_no_name_is_refused(name: str, found: str) -> None:
    (fault,) = name_faults("name", name)
    assert found in fault.found


def test_each_of_several_names_is_checked_once_at_its_first_place_and_an_empty_one_is_none() -> None:
    faults = all_faults([("name", "A\u200b"), ("by", "A\u200b"), ("who", ""), ("owner", "B\u202e")])
    assert [fault.place for fault in faults] == ["name", "owner"]


def test_two_letters_mix_exactly_where_another_program_finds_two_scripts() -> None:
    for first in map(chr, range(0x41, 0x7FF)):
        if unicodedata.category(first)[0] != "L" or unicodedata.normalize("NFKC", first) != first:
            continue
        buffer = uharfbuzz.Buffer()
        buffer.add_str(first)
        buffer.guess_segment_properties()
        mixed = buffer.script not in (None, "Latn", "Zyyy", "Zinh")
        if mixed or buffer.script == "Latn":
            assert bool(name_faults("name", f"n{first}")) == mixed, (first, buffer.script)
