"""Rules for the name of a person at its entry: each character is seen, and the name is written in one script.

Names that are recorded already are not checked again. Source: Unicode Technical Standard 39, 5.2 (restriction level "Highly
Restrictive"), 5.3 (mixed numbers) and 5.4 (marks in a row), from memory. The script of a letter or digit is the first word of
its Unicode name, as Python's ``unicodedata`` has no scripts: that joins a few historic ones, such as Old Italic and Old Persian.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import groupby
from unicodedata import category, name, normalize

from checks.text.faults import Fault

LONGEST_NAME = 200
MOST_MARKS = 4
"""Most marks in a row on one letter."""

_UNSEEN = frozenset(("Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"))
_BLANK = re.compile("[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\ufe00-\ufe0f\uffa0\U000e0100-\U000e01ef]")
"""Marks and letters of other categories that show nothing (Default_Ignorable_Code_Point, and the empty Braille pattern)."""
_TOGETHER = (
    {"LATIN", "HAN", "HIRAGANA", "KATAKANA"},
    {"LATIN", "HAN", "BOPOMOFO"},
    {"LATIN", "HAN", "HANGUL"},
)
_SCRIPT_OF = {
    "CJK": "HAN",
    "IDEOGRAPHIC": "HAN",
    "ARABIC-INDIC": "ARABIC",
    "EXTENDED": "ARABIC",  # the digits of Persian and Urdu
    "DIGIT": "",
    "MODIFIER": "",
    "KATAKANA-HIRAGANA": "",
    "VERTICAL": "",
    "HENTAIGANA": "HIRAGANA",
    "TURNED": "LATIN",
}
"""Script by the first word of a name where they differ; empty for characters of every script."""


def name_faults(place: str, typed: str) -> list[Fault]:
    """Why a name is refused, with what to do; ``place`` is the field it was typed into. Empty for a name that is fine.

    Space at both ends does not count.
    """
    typed = typed.strip()
    if len(typed) > LONGEST_NAME:
        return [Fault(place, f"{len(typed)} characters", f"a name has at most {LONGEST_NAME}")]
    unseen = next((character for character in typed if _is_unseen(character)), None)
    if unseen is not None:
        where = f"character {typed.index(unseen) + 1} of the name is {_called(unseen)}"
        return [Fault(place, f"{where}, which does not show", "delete it, or type the name again by hand")]
    plain = normalize("NFKC", typed)
    if not any(category(character)[0] in "LN" for character in plain):
        return [Fault(place, f"{typed!r} has no letter", "write a name, or a role such as valve specialist")]
    letters = (character for character in typed if category(character)[0] == "L" or category(character) == "Nd")
    return [*_mark_faults(place, typed), *_script_faults(place, normalize("NFKC", "".join(letters)))]


def all_faults(names: Iterable[tuple[str, str]]) -> list[Fault]:
    """Faults of several names, given with their places: each name once, at its first place. An empty name has none."""
    first: dict[str, str] = {}
    for place, typed in names:
        first.setdefault(typed, place)
    return [fault for typed, place in first.items() if typed.strip() for fault in name_faults(place, typed)]


def _is_unseen(character: str) -> bool:
    """Whether a character shows nothing, or nothing certain. Ideographs of a later edition of Unicode are no such."""
    kind = category(character)
    if kind == "Cn" and "\U00020000" <= character < "\U0003fffe":
        return False
    return kind in _UNSEEN or _BLANK.match(character) is not None


def _called(character: str) -> str:
    r"""A character as its code point and Unicode name.

    >>> _called("\u200b")
    'U+200B ZERO WIDTH SPACE'
    """
    return f"U+{ord(character):04X} {name(character, '')}".strip()


def _mark_faults(place: str, typed: str) -> list[Fault]:
    rows = (
        len(list(same)) for mark, same in groupby(normalize("NFD", typed), lambda one: category(one) == "Mn") if mark
    )
    most = max(rows, default=0)
    if most <= MOST_MARKS:
        return []
    return [Fault(place, f"{most} marks on one letter", f"at most {MOST_MARKS}: type the name again")]


def _script_faults(place: str, plain: str) -> list[Fault]:
    first: dict[str, str] = {}
    for script, character in _scripts(plain):
        first.setdefault(script, character)
    found = set(first)
    if len(found) < 2 or any(found <= together for together in _TOGETHER):
        zeros = {ord(one) - int(one) for one in plain if category(one) == "Nd"}
        return [Fault(place, "digits of two kinds", "write all digits in the same kind")] if len(zeros) > 1 else []
    shown = " and ".join(_called(character) for character in first.values())
    allowed = "write the whole name in one script: letters that look alike name two people as one"
    return [Fault(place, f"letters of {len(found)} scripts, {shown}", allowed)]


def _scripts(plain: str) -> Iterator[tuple[str, str]]:
    """Script of each letter and digit that has one, with the character."""
    for character in plain:
        kind = category(character)
        if kind[0] == "L" or kind == "Nd":
            word = name(character, "").partition(" ")[0]
            script = _SCRIPT_OF.get(word, word)
            if script:
                yield script, character
