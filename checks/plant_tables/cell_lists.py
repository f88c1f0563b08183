"""Lists in one cell: ids, tags, times, the channels of a group, the entries of a function."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from checks.plant_tables.cell_values import Ambiguous, Reading, Unreadable, digits, number

NAMED = 60
"""Letters of a part that a fault names."""
_ANY = re.compile(
    r"any of\s++(?P<ids>[^()]++)\(\s*+beta\s++(?P<beta>[^,()]++)(?:,\s*+source\s++(?P<source>.*))?\)", re.DOTALL
)
_ELEMENT = re.compile(
    r"(?P<voting>\d++oo\d++D?)\s++of\s++(?P<ids>[^()]++)"
    r"(?:\(\s*+beta\s++(?P<beta>[^,()]++),\s*+beta_d\s++(?P<beta_d>[^,()]++)(?:,\s*+source\s++(?P<source>.*))?\))?",
    re.DOTALL,
)
"""Possessive, so that a cell of thousands of blanks is read at once; blanks at the end of a part are stripped later."""
_VOTED = re.compile(r"(?P<group>\S+)\s+as\s+(?P<voting>\S+)")


def _parts(text: str, mark: str = ";") -> list[str]:
    """Parts of a list; a mark inside quotation marks or brackets does not divide."""
    parts, part, quoted, depth = [], "", False, 0
    for letter in text:
        quoted ^= letter == '"'
        depth += 0 if quoted else (letter == "(") - (letter == ")")
        if letter in (mark, "\n") and not quoted and depth <= 0:
            parts.append(part)
            part = ""
        else:
            part += letter
    return [_unquoted(stripped) for each in (*parts, part) if (stripped := each.strip())]


def _unquoted(part: str) -> str:
    return part[1:-1].replace('""', '"') if len(part) > 1 and part[0] == part[-1] == '"' else part


def _quoted(part: str) -> str:
    """A part in quotation marks where it could be read as several."""
    plain = part.strip() == part and not any(letter in part for letter in ';+"()\n\r')
    return part if plain and part else '"' + part.replace('"', '""') + '"'


def value(key: str, text: str, reading: Reading) -> list[Any]:
    """Value of a cell that holds a list; raises Unreadable.

    >>> value("channels", "SOV+ESV; SOV+ESV", Reading())
    [['SOV', 'ESV'], ['SOV', 'ESV']]
    >>> value("channels", "SOV; 1oo2 of SOV, SOV (beta 10 %, beta_d 5 %, source site)+ESV", Reading())[1][0]["of"]
    ['SOV', 'SOV']
    >>> value("groups", "pt as 1oo3; any of ft, lt (beta 2 %, source site); ls", Reading())[1]
    {'any': ['ft', 'lt'], 'stated_beta': {'beta': 0.02, 'source': 'site'}}
    """
    if key == "channels":
        return [[_inside(part, reading) for part in _parts(channel, "+")] for channel in _parts(text)]
    if key == "groups":
        return [_entry(part, reading) for part in _parts(text)]
    if key == "offsets_h":
        return [number(part, reading.decimal) for part in _parts(text)]
    return _parts(text)


def _inside(text: str, reading: Reading) -> Any:
    """A device of a channel, or a redundant element."""
    match = _ELEMENT.fullmatch(text)
    if match is None:
        if " " in text:
            raise Unreadable(f"{text[:NAMED]} is no device and no redundant element")
        return text
    element: dict[str, Any] = {"voting": match["voting"], "of": _parts(match["ids"], ",")}
    if match["beta"] is not None:
        beta = match["beta"].split()
        of = {"of": "group"} if beta[-2:] == ["of", "group"] else {}
        stated = {
            "beta": _beta(" ".join(beta[:-2] if of else beta), reading),
            "beta_d": _beta(match["beta_d"], reading),
        }
        element["stated_beta"] = {**stated, **of, "source": _source(match)}
    return element


def _entry(text: str, reading: Reading) -> Any:
    if match := _ANY.fullmatch(text):
        stated = {"beta": _beta(match["beta"], reading), "source": _source(match)}
        return {"any": _parts(match["ids"], ","), "stated_beta": stated}
    if match := _VOTED.fullmatch(text):
        return {"group": match["group"], "voting": match["voting"]}
    if text.lower().startswith("any of"):
        raise Unreadable(f"{text[:NAMED]} is no list of alternatives")
    return text


def _source(match: re.Match[str]) -> str:
    return _unquoted((match["source"] or "").strip())


def _beta(text: str, reading: Reading) -> float:
    text = text.strip()
    bare, percent = text.removesuffix("%").strip(), text.endswith("%")
    try:
        return number(bare, reading.decimal) / (100.0 if percent else 1.0)
    except Ambiguous:
        raise
    except Unreadable as error:
        raise Unreadable(f"{text[:NAMED]} is no beta") from error


def written(key: str, entries: Iterable[Any]) -> str:
    """Text of a list in a cell."""
    if key == "channels":
        return "; ".join("+".join(map(_inside_written, channel)) for channel in entries)
    if key == "groups":
        return "; ".join(map(_entry_written, entries))
    if key == "offsets_h":
        return "; ".join(map(digits, entries))
    return "; ".join(_quoted(str(entry)) for entry in entries)


def _inside_written(part: Any) -> str:
    if not isinstance(part, Mapping):
        return str(part)
    of_devices, stated = f"{part['voting']} of {', '.join(part['of'])}", part.get("stated_beta")
    if stated is None:
        return of_devices
    beta = f"beta {digits(stated['beta'])}{' of group' if stated.get('of') == 'group' else ''}"
    return f"{of_devices} ({beta}, beta_d {digits(stated['beta_d'])}, source {_quoted(stated.get('source') or '')})"


def _entry_written(entry: Any) -> str:
    if not isinstance(entry, Mapping):
        return str(entry)
    if "any" not in entry:
        return f"{entry['group']} as {entry['voting']}"
    stated = entry["stated_beta"]
    return f"any of {', '.join(entry['any'])} (beta {digits(stated['beta'])}, source {_quoted(stated['source'])})"
