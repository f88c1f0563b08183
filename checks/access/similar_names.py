"""Names that a reader takes for the same: letters that look alike, and one letter missing or two exchanged.

The letters that look alike are the common ones of Latin, Cyrillic and Greek, after the list of Unicode Technical Standard 39, 4,
from memory. A similar name is a reason to ask, never one to refuse.
"""

from __future__ import annotations

from collections.abc import Iterable
from unicodedata import category, normalize

from checks.access.names import same

LEAST_LETTERS = 5
"""Fewest letters and digits of a name in which one letter makes no other person (house rule)."""

_PLAIN = str.maketrans("łøđħıŧ", "lodhit") | str.maketrans({"æ": "ae", "œ": "oe", "þ": "th", "ð": "d"})
"""Letters with a stroke and joined letters, which Unicode does not decompose."""
_LOOKS_LIKE = str.maketrans(
    "АВЕЅІЈКМНОРСТУХ" + "авеѕіјкмнорстухԁһӏԛԝг" + "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ" + "αγικνορτυχωε",
    "ABESIJKMHOPCTYX" + "abesijkmhopctyxdhlqwr" + "ABEZHIKMNOPTYX" + "ayikvoptuxwe",
)
_ONE_STROKE = str.maketrans({"0": "o", "1": "l", "i": "l", "|": "l", "m": "rn", "w": "vv"})


def near(name: str, others: Iterable[str]) -> list[str]:
    """The other names that a reader would take for this one, each once; a name that is the same is left out.

    >>> near("Ana Kowalska", ["Anna Kowalska", "ana  kowalska", "R. Hale", "Ana Kowa1ska"])
    ['Anna Kowalska', 'Ana Kowa1ska']
    """
    return [other for other in dict.fromkeys(others) if not same(name, other) and _alike(name, other)]


def _alike(name: str, other: str) -> bool:
    plain = _plain(name), _plain(other)
    looks = _plain(_latin(name)), _plain(_latin(other))
    if "" in (*plain, *looks):
        return False
    if plain[0] == plain[1] or looks[0].translate(_ONE_STROKE) == looks[1].translate(_ONE_STROKE):
        return True
    return any(_one_slip(*pair) for pair in (plain, looks))


def _latin(name: str) -> str:
    """A name with each Cyrillic or Greek letter replaced by the Latin one that it looks like."""
    return normalize("NFD", normalize("NFKC", name)).translate(_LOOKS_LIKE)


def _plain(name: str) -> str:
    """Letters and digits of a name, in lower case and without marks."""
    small = normalize("NFKD", name).casefold().translate(_PLAIN)
    return "".join(character for character in small if category(character)[0] in "LN" or character == "|")


def _one_slip(name: str, other: str) -> bool:
    """Whether one letter is missing in one of two names, or two neighbours are exchanged. Digits tell people apart."""
    short, long = sorted((name, other), key=len)
    if len(short) < LEAST_LETTERS or len(long) - len(short) > 1:
        return False
    at = next((index for index, pair in enumerate(zip(short, long, strict=False)) if pair[0] != pair[1]), len(short))
    if len(short) < len(long):
        return long[at].isalpha() and short[at:] == long[at + 1 :]
    exchanged = short[:at] + short[at : at + 2][::-1] + short[at + 2 :]
    return at < len(short) and exchanged == long and short[at : at + 2].isalpha()
