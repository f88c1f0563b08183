"""Visual order of mixed left-to-right and right-to-left text on a line.

The Unicode Bidirectional Algorithm (Unicode Standard Annex 9), from memory, limited to what plain text needs: rules P2
and P3, X5c, W1 to W7, N0 to N2, I1 and I2, L1, L2 and L4. Of the direction controls only U+2068 and its end occur here, which
``direction.isolated`` puts around typed text; ``fonts.printable`` replaces all others by their code points.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import groupby

from pages.presentation.direction import FIRST_STRONG_ISOLATE, ISOLATES, POP_ISOLATE

_RIGHT = frozenset(("R", "AL", "AN"))
_NEUTRAL = frozenset(("ON", "WS", "S", "B", "BN"))
_PAIRS = ("()", "[]", "{}", "<>", "«»", "‹›", "≤≥", "⟨⟩", "「」", "『』", "【】", "（）")
_CLOSES = {pair[1]: pair[0] for pair in _PAIRS if pair not in ("<>", "«»", "‹›", "≤≥")}
_DEEPEST = 63
_MIRRORED = str.maketrans({bracket: pair[1 - index] for pair in _PAIRS for index, bracket in enumerate(pair)})


def has_right_to_left(text: str) -> bool:
    """Whether a text contains right-to-left characters."""
    return not text.isascii() and any(unicodedata.bidirectional(character) in _RIGHT for character in text)


def paragraph_level(text: str) -> int:
    """Level of a paragraph by its first strong letter outside isolates: 0 from left to right, 1 from right to left (P2, P3)."""
    depth = 0
    for character in text:
        kind = unicodedata.bidirectional(character)
        depth += (kind == "FSI") - (kind == "PDI")
        if depth == 0 and kind in ("L", "R", "AL"):
            return int(kind != "L")
    return 0


def levels(text: str) -> list[int]:
    r"""Level of every character of a paragraph: even levels run left to right, odd levels right to left.

    >>> levels("ab\u05d0 1")
    [0, 0, 1, 1, 2]
    """
    found = [0] * len(text)
    _resolve(text, range(len(text)), paragraph_level(text), found)
    return found


def _resolve(text: str, inside: Sequence[int], level: int, found: list[int]) -> None:
    """Fill in the levels of the characters at these positions, which stand in one isolate or in none.

    An isolate among them is one neutral to its neighbours (X6a), and is resolved by itself at the next level (X5c).
    """
    own, inner, depth = list[int](), list[int](), 0
    for position in inside:
        depth -= text[position] == POP_ISOLATE
        (inner if depth else own).append(position)
        depth += text[position] == FIRST_STRONG_ISOLATE
        if inner and not depth:
            begins_right = paragraph_level("".join(text[each] for each in inner))
            _resolve(text, inner, level + 1 + (level + 1 + begins_right) % 2, found)
            inner = []
    start, part = level % 2, "".join(text[position] for position in own)
    kinds = [unicodedata.bidirectional(character) or "L" for character in part]
    kinds = _weak(["ON" if kind in ("FSI", "PDI") else kind for kind in kinds], start)
    _bracket(part, kinds, start)
    above = {"L": 1, "R": 0, "AN": 1, "EN": 1} if start else {"L": 0, "R": 1, "AN": 2, "EN": 2}
    for position, kind in zip(own, _neutral(kinds, start), strict=True):
        found[position] = level + above[kind]


def _weak(kinds: list[str], start: int) -> list[str]:
    """W1 to W7: numbers, their separators and marks."""
    before = strong = "R" if start else "L"
    for index, kind in enumerate(kinds):
        if kind in ("NSM", "BN"):
            kinds[index] = before  # W1
        elif kind == "EN" and strong == "AL":
            kinds[index] = "AN"  # W2
        before = kinds[index]
        strong = before if before in ("L", "R", "AL") else strong
    kinds = ["R" if kind == "AL" else kind for kind in kinds]  # W3
    for index in range(1, len(kinds) - 1):  # W4
        around = kinds[index - 1]
        if around == kinds[index + 1] and (around == "EN" or (around == "AN" and kinds[index] == "CS")):
            kinds[index] = around if kinds[index] in ("CS", "ES") else kinds[index]
    return _numbers(kinds, start)


def _numbers(kinds: list[str], start: int) -> list[str]:
    """W5 to W7: signs next to a number belong to it; a number after Latin letters runs with them."""
    resolved = list(kinds)
    for step in (range(len(resolved)), range(len(resolved) - 1, -1, -1)):  # W5, after a number and before one
        before = ""
        for index in step:
            resolved[index] = "EN" if resolved[index] == "ET" and before == "EN" else resolved[index]
            before = resolved[index]
    strong = "R" if start else "L"
    for index, kind in enumerate(resolved):
        if kind in ("ET", "ES", "CS"):
            resolved[index] = "ON"  # W6
        elif kind == "EN" and strong == "L":
            resolved[index] = "L"  # W7
        strong = resolved[index] if resolved[index] in ("L", "R") else strong
    return resolved


def _pairs(text: str, kinds: list[str]) -> list[tuple[int, int]]:
    """Positions of matching brackets, sorted by the opening one."""
    matched, opened = [], list[int]()
    for index, character in enumerate(text):
        if kinds[index] != "ON":
            continue
        if character in _CLOSES.values():
            if len(opened) == _DEEPEST:
                break
            opened.append(index)
        elif character in _CLOSES:
            match = next(
                (depth for depth in reversed(range(len(opened))) if text[opened[depth]] == _CLOSES[character]), None
            )
            if match is not None:
                matched.append((opened[match], index))
                del opened[match:]
    return sorted(matched)


def _bracket(text: str, kinds: list[str], start: int) -> None:
    """N0: a pair of brackets takes the paragraph's direction if it occurs inside, else the direction of the text before."""
    own = "R" if start else "L"
    for first, last in _pairs(text, kinds):
        inside = {_side(kind) for kind in kinds[first + 1 : last] if kind not in _NEUTRAL}
        if own in inside:
            kinds[first] = kinds[last] = own
        elif inside:
            before = next((kinds[index] for index in range(first - 1, -1, -1) if kinds[index] not in _NEUTRAL), own)
            kinds[first] = kinds[last] = _side(before)


def _neutral(kinds: list[str], start: int) -> list[str]:
    """N1 and N2: a neutral takes the direction that both neighbours share, else the direction of the paragraph."""
    own = "R" if start else "L"
    resolved: list[str] = []
    blocks = [(neutral, list(same)) for neutral, same in groupby(kinds, key=_NEUTRAL.__contains__)]
    for index, (neutral, same) in enumerate(blocks):
        if not neutral:
            resolved.extend(same)
            continue
        before = _side(blocks[index - 1][1][-1]) if index else own
        after = _side(blocks[index + 1][1][0]) if index + 1 < len(blocks) else own
        resolved.extend([before if before == after else own] * len(same))
    return resolved


def _side(kind: str) -> str:
    return "L" if kind == "L" else "R"


def visual_order(text: str, levels_of_line: list[int], start: int) -> list[tuple[str, bool]]:
    """Pieces of a line from left to right, each with its text in reading order and whether it runs right to left.

    ``levels_of_line`` are the levels of the line's characters, ``start`` is the level of its paragraph.
    """
    ends = len(text)
    while ends and (text[ends - 1].isspace() or text[ends - 1] in ISOLATES):
        ends -= 1
    levels_of_line = [*levels_of_line[:ends], *([start] * (len(text) - ends))]  # L1
    pieces, position = [], 0
    for level, same in groupby(levels_of_line):
        long = len(list(same))
        pieces.append((level, text[position : position + long]))
        position += long
    odd = [level for level, _ in pieces if level % 2]
    for least in range(max((level for level, _ in pieces), default=0), min(odd, default=1) - 1, -1):
        pieces = _reversed_runs(pieces, least)
    return [(part.translate(_MIRRORED) if level % 2 else part, bool(level % 2)) for level, part in pieces]  # L4


def _reversed_runs(pieces: list[tuple[int, str]], least: int) -> list[tuple[int, str]]:
    """L2: reverse runs of pieces of at least this level."""
    ordered: list[tuple[int, str]] = []
    for high, same in groupby(pieces, key=lambda piece: piece[0] >= least):
        block = list(same)
        ordered.extend(block[::-1] if high else block)
    return ordered
