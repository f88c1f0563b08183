"""From the text of a cell to a value of the plant file, and back.

A number may have a decimal comma, thousands separators, a per cent sign or a unit of time. What could be read in two ways is
not guessed: ``1,500`` may be 1.5 or 1500, unless the list says which sign is its decimal sign.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite
from typing import Any, Literal

from checks.plant_tables.columns import Column, Kind
from scoring import voting

Decimal = Literal["comma", "point", ""]
"""Decimal sign of a list; empty where the list does not say it."""

HOURS = {
    "h": 1.0, "hr": 1.0, "hrs": 1.0, "hour": 1.0, "hours": 1.0,
    "d": 24.0, "day": 24.0, "days": 24.0,
    "w": 168.0, "week": 168.0, "weeks": 168.0,
    "mo": 730.0, "month": 730.0, "months": 730.0,
    "y": 8760.0, "yr": 8760.0, "yrs": 8760.0, "a": 8760.0, "year": 8760.0, "years": 8760.0,
}  # fmt: skip
"""Hours in a unit of time; a year has 8760 h, a month a twelfth of it."""
PER_FIT = {
    "fit": 1.0, "1e-9/h": 1.0, "/1e9 h": 1.0,
    "1/h": 1e9, "/h": 1e9, "per hour": 1e9, "h-1": 1e9,
    "1e-6/h": 1e3, "per million hours": 1e3, "/1e6 h": 1e3, "fpmh": 1e3,
    "1/y": 1e9 / 8760.0, "/y": 1e9 / 8760.0, "per year": 1e9 / 8760.0, "1/a": 1e9 / 8760.0,
}  # fmt: skip
"""FIT in a unit of rate."""
FLAGS = {
    **dict.fromkeys(("yes", "y", "true", "x", "1"), True),
    **dict.fromkeys(("no", "n", "false", "0", "-"), False),
}
WORDS = {
    "part": {
        "sensors": "sensor", "input": "sensor", "initiator": "sensor", "transmitter": "sensor",
        "logic solver": "logic", "solver": "logic", "logic": "logic",
        "final element": "final", "final elements": "final", "output": "final", "actuator": "final", "fe": "final",
    },
    "demand": {"low demand": "low", "high demand": "high", "continuous": "high", "high or continuous": "high"},
}  # fmt: skip
"""Other words for a choice, by the key of its column."""
_NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
_LIKE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:[.,]\d{3})+")
_SPACES = re.compile(r"(?<=\d)[\s\u00a0\u2009\u202f'](?=\d{3}(?:\D|$))")
_WITH_UNIT = re.compile(r"([+-]?[\d.,]+(?:[eE][+-]?\d+)?)\s*([A-Za-z]+)\.?")
_VOTING = re.compile(r"([1-9])\s*-?\s*(?:oo|out\s*-?\s*of|of|v)\s*-?\s*([1-9])\s*(d?)", re.IGNORECASE)


class Unreadable(ValueError):
    """A cell that cannot be read as its column wants: what was found."""


class Ambiguous(Unreadable):
    """A number with two readings, which the decimal sign of the list decides."""


@dataclass(frozen=True, slots=True)
class Reading:
    """How numbers of a column are read: the decimal sign of its list, and the unit that its head names."""

    decimal: Decimal = ""
    unit: str = ""


def number(text: str, decimal: Decimal = "") -> float:
    """A number; raises Ambiguous and Unreadable.

    >>> number("7,5"), number("1.234,5"), number("8 760"), number("1,500", "comma")
    (7.5, 1234.5, 8760.0, 1.5)
    """
    bare = _with_point(_SPACES.sub("", text.strip()), decimal)
    if not _NUMBER.fullmatch(bare):
        raise Unreadable("no number")
    value = float(bare)
    if not isfinite(value):
        raise Unreadable("no number of this size")
    return value


def _with_point(text: str, decimal: Decimal) -> str:
    """A number with a decimal point and without thousands separators; raises Ambiguous.

    With both signs the last one is the decimal sign. One sign alone is the decimal sign, unless it stands several times, or before
    three digits: then a comma may separate thousands, and a point does so where the comma is the decimal sign of the list.
    """
    marks = [mark for mark in text if mark in ",."]
    if not marks:
        return text
    last = marks[-1]
    if len(set(marks)) == 2:
        whole, _, digits_after = text.rpartition(last)
        return f"{whole.replace(marks[0], '')}.{digits_after}" if last not in whole else ""
    if not _LIKE_THOUSANDS.fullmatch(text):
        return text.replace(",", ".")
    if len(marks) > 1:
        return text.replace(last, "")
    if not decimal and last == ",":
        raise Ambiguous(f"{text} could be {text.replace(',', '.')} or {text.replace(',', '')}")
    own = "comma" if last == "," else "point"
    return text.replace(",", ".") if decimal in ("", own) else text.replace(last, "")


def _tidy(value: float) -> int | float:
    return int(value) if float(value).is_integer() and abs(value) < 1e15 else value


def _hours(text: str, reading: Reading) -> float:
    with_unit = _WITH_UNIT.fullmatch(text.strip())
    unit = with_unit[2].lower() if with_unit else reading.unit
    if unit not in ("", *HOURS):
        raise Unreadable(f"the unit {unit} is not known; hours, days, weeks, months or years are")
    return number(with_unit[1] if with_unit else text, reading.decimal) * HOURS.get(unit, 1.0)


def _share(text: str, reading: Reading) -> float:
    bare = text.strip()
    if bare.endswith("%"):
        return _converted(number(bare[:-1], reading.decimal), 0.01)
    return _converted(number(bare, reading.decimal), 0.01 if reading.unit in ("%", "per cent", "percent") else 1.0)


def _whole(text: str, reading: Reading) -> int:
    bare = re.sub(r"(?i)^sil\s*-?\s*", "", text.strip())
    value = number(bare, reading.decimal)
    if not value.is_integer():
        raise Unreadable("no whole number")
    return int(value)


def _choice(column: Column, text: str) -> str:
    word = text.strip().lower()
    named = {choice.lower(): choice for choice in column.choices} | WORDS.get(column.key, {})
    if word not in named:
        raise Unreadable(f"{text.strip()} is not a choice")
    return named[word]


def _flag(text: str) -> bool:
    word = text.strip().lower()
    if word not in FLAGS:
        raise Unreadable(f"{text.strip()} is neither yes nor no")
    return FLAGS[word]


def _voting(text: str) -> str:
    match = _VOTING.fullmatch(text.strip())
    if match is None:
        raise Unreadable(f"{text.strip()} is no voting")
    try:
        return str(voting.read(f"{match[1]}oo{match[2]}{match[3].upper()}"))
    except voting.VotingRefused as refused:
        raise Unreadable(str(refused)) from refused


def value(column: Column, text: str, reading: Reading) -> Any:
    """Value of a cell that is not empty; raises Ambiguous and Unreadable. Lists are read by ``cell_lists``."""
    return _READERS[column.kind](column, text, reading)


_READERS: dict[Kind, Callable[[Column, str, Reading], Any]] = {
    "id": lambda _column, text, _reading: text.strip(),
    "text": lambda _column, text, _reading: text,
    "hours": lambda _column, text, reading: _tidy(_hours(text, reading)),
    "fit": lambda _column, text, reading: _tidy(_fit(text, reading)),
    "share": lambda _column, text, reading: _tidy(_share(text, reading)),
    "number": lambda _column, text, reading: _tidy(number(text, reading.decimal)),
    "whole": lambda _column, text, reading: _whole(text, reading),
    "choice": lambda column, text, _reading: _choice(column, text),
    "flag": lambda _column, text, _reading: _flag(text),
    "voting": lambda _column, text, _reading: _voting(text),
}
"""Reader of each kind of column but lists."""


def _fit(text: str, reading: Reading) -> float:
    return _converted(number(text, reading.decimal), PER_FIT.get(reading.unit, 1.0))


def _converted(value: float, factor: float) -> float:
    """A number in another unit, without the last digits that the conversion made: 90 % is 0.9."""
    return value if factor == 1.0 else float(f"{value * factor:.12g}")


def written(column: Column, entry: Any) -> str:
    """Text of a value in a cell; empty for None and for the default. Lists are written by ``cell_lists``."""
    if entry is None:
        return ""
    if column.kind == "flag":
        return "yes" if entry else "no"
    if isinstance(entry, float | int) and not isinstance(entry, bool):
        return digits(entry)
    return str(entry)


def digits(entry: float) -> str:
    """A number with every digit."""
    return str(_tidy(entry)) if float(entry).is_integer() and abs(entry) < 1e15 else repr(float(entry))


def decimal_sign(text: str) -> Decimal:
    """The decimal sign that the text of a number shows without doubt; empty where it shows none.

    >>> decimal_sign("7,5"), decimal_sign("1.234,5"), decimal_sign("1,500"), decimal_sign("0.9")
    ('comma', 'comma', '', 'point')
    """
    marks = [mark for mark in text if mark in ",."]
    bare = _SPACES.sub("", text.strip())
    if not marks or (len(set(marks)) == 1 and (len(marks) > 1 or _LIKE_THOUSANDS.fullmatch(bare))):
        return ""
    return "comma" if marks[-1] == "," else "point"
