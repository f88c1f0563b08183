"""The states of a group in each of its options as columns of the programme."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scoring.improvement.linear import Rows
from scoring.improvement.pieces import Piece
from scoring.improvement.problem import GroupInputs


@dataclass(frozen=True, slots=True)
class Cell:
    """A state of a group in an option: the columns of being in it, and of how far up its piece of exposure."""

    piece: Piece
    inside: int
    up: int | None


def of_group(
    built: Rows, actions: Sequence[int], group: GroupInputs, states: Sequence[tuple[Piece, tuple[int, int | None]]]
) -> list[Cell]:
    """The cells of a group: each state in each option. ``actions`` are the columns of the actions.

    The cells of a state add up to the state, those of an option to the option, and the options with a change to its action. So
    they are 0 or 1 where states and actions are, and need not be integral columns.
    """
    if len(group.options) == 1:
        return [Cell(piece, inside, up) for piece, (inside, up) in states]
    options = [built.column(integral=False) for _ in group.options]
    built.row(dict.fromkeys(options, 1.0), low=1.0, high=1.0)
    for action in sorted(group.changes):
        with_it = [column for column, option in zip(options, group.options, strict=True) if action in option]
        _adds_up(built, with_it, actions[action])
    cells: list[Cell] = []
    for piece, (inside, up) in states:
        own = [_cell(built, replace(piece, option=at), parted=up is not None) for at in range(len(options))]
        _adds_up(built, [cell.inside for cell in own], inside)
        if up is not None:
            _adds_up(built, [cell.up for cell in own if cell.up is not None], up)
        cells += own
    for at, option in enumerate(options):
        _adds_up(built, [cell.inside for cell in cells if cell.piece.option == at], option)
    return cells


def _cell(built: Rows, piece: Piece, *, parted: bool) -> Cell:
    inside = built.column(integral=False)
    if not parted:
        return Cell(piece, inside, None)
    up = built.column(integral=False)
    built.row({up: 1.0, inside: -1.0}, high=0.0)
    return Cell(piece, inside, up)


def _adds_up(built: Rows, parts: Sequence[int], whole: int) -> None:
    built.row({**dict.fromkeys(parts, 1.0), whole: -1.0}, low=0.0, high=0.0)
