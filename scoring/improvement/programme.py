"""The cheapest set of actions as a mixed-integer programme. Its constraints admit every set that meets the targets.

Actions are binary. Each group is in one of its tabulated states, that of its points; exposure adds up as -ln(1 - g) and lies
in one piece. A group with changes is also in one of its options: a cell is a state with an option, and the cells have the states and
the options as their sums. A result over a piece is replaced by a line below it, so what the programme finds is checked by the real
calculation, and what fails is cut off (``cheapest``). A better S_D can make a result slightly worse, since failures that are no
common cause are independent ones: points are therefore bounded from both sides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from scoring.improvement import cells, pieces
from scoring.improvement.linear import Found, Linear, Rows
from scoring.improvement.pieces import Lines, Piece
from scoring.improvement.problem import MET, Condition, GroupInputs, Problem, ScoredRow, Sum, Term

SLACK = 1e-5
"""Relative tolerance on a target, so that rounding of the solver (1e-6) excludes no set; the real calculation decides."""
UNSURE = 1e-6
"""Tolerance on the sum of exposures, as a share of it."""
STEP = 0.1
"""Less than half the difference of two scores, which is a quarter: points are multiples of a half, Z of a half."""
MOST_JOINT, MOST_BOUNDED = 2000, 5000
"""States of alternatives that are tabulated together; of more, the best result stands for all, and of still more 0."""


class Programme:
    """The programme of a problem; ``limits`` cut the exposure of each group into pieces.

    ``lines`` keeps what is computed of results.
    """

    def __init__(self, problem: Problem, limits: Sequence[tuple[float, ...]], lines: Lines) -> None:
        self.problem, self._lines = problem, lines
        self.built = Rows()
        self.actions = [self.built.column(integral=True) for _ in problem.efforts]
        self._conditions: dict[Condition, int | None] = {}
        self.tables = [pieces.pieces(problem, group, cut) for group, cut in zip(problem.groups, limits, strict=True)]
        self._states = [self._group(group, table) for group, table in zip(problem.groups, self.tables, strict=True)]
        self._cells = [
            cells.of_group(self.built, self.actions, group, list(zip(table, states, strict=True)))
            for group, table, states in zip(problem.groups, self.tables, self._states, strict=True)
        ]
        for function in problem.functions:
            self._function(function)

    def not_again(self, actions: frozenset[int], function: int) -> None:
        """Exclude every set that leaves a function as this one does, after which it fails.

        It does where each of its groups is in the same state; where a state still holds several exposures, where the actions on
        the group are the same.
        """
        states = self.problem.states(self.problem.mask(actions))
        same: set[int] = set()
        on: set[int] = set()
        for group in sorted(self.problem.functions[function].groups):
            s, s_d, option = (int(states[group][at][0]) for at in (0, 1, 3))
            columns = {(cell.piece.s, cell.piece.s_d, cell.piece.option): cell for cell in self._cells[group]}
            inside, up = columns[s, s_d, option].inside, columns[s, s_d, option].up
            if up is None:
                same.add(inside)
            else:
                on |= self.problem.groups[group].actions
        signs = {self.actions[at]: 1.0 if at in actions else -1.0 for at in sorted(on)}
        self.built.row({**signs, **dict.fromkeys(sorted(same), 1.0)}, high=len(same) + len(on & actions) - 1.0)

    def at_most(self, weights: Mapping[int, float], most: float) -> None:
        """Require a weighted sum of actions to be at most ``most``."""
        self.built.row({self.actions[at]: weight for at, weight in weights.items()}, high=most)

    def solve(self, weights: Mapping[int, float], seconds: float) -> Found:
        """Minimise a weighted sum of actions within a time."""
        return self.built.minimum({self.actions[at]: weight for at, weight in weights.items()}, seconds)

    def taken(self, found: NDArray[np.float64]) -> frozenset[int]:
        """The actions of a solution."""
        return frozenset(at for at, column in enumerate(self.actions) if found[column] > 0.5)

    def _met(self, condition: Condition) -> int | None:
        """The column that is at most 1 where a condition holds, else 0; None for a condition that never holds."""
        if condition not in self._conditions:
            self._conditions[condition] = self._condition(condition)
        return self._conditions[condition]

    def _condition(self, condition: Condition) -> int | None:
        """A column that is 1 where a condition holds, else 0."""
        if not condition:
            return None
        if len(condition) > 1:
            whole = self.built.column(integral=False)
            parts = [column for each in condition if (column := self._met((each,))) is not None]
            self.built.row({whole: 1.0, **dict.fromkeys(parts, -1.0)}, high=0.0)
            for part in parts:
                self.built.row({whole: 1.0, part: -1.0}, low=0.0)
            return whole
        (actions,) = condition
        if len(actions) == 1:
            return self.actions[next(iter(actions))]
        every = self.built.column(integral=False)
        for at in actions:
            self.built.row({every: 1.0, self.actions[at]: -1.0}, high=0.0)
        self.built.row({every: 1.0, **{self.actions[at]: -1.0 for at in actions}}, low=1.0 - len(actions))
        return every

    def _group(self, group: GroupInputs, table: list[Piece]) -> list[tuple[int, int | None]]:
        """Columns of each state of a group: whether it is in it, and how far up its piece of exposure (None where that is fixed)."""
        built = self.built
        states: list[tuple[int, int | None]] = []
        for piece in table:
            inside = built.column(integral=len(table) > 1)
            up = built.column(integral=False) if piece.high > piece.low else None
            if up is not None:
                built.row({up: 1.0, inside: -1.0}, high=0.0)
            states.append((inside, up))
        built.row(dict.fromkeys((inside for inside, _ in states), 1.0), low=1.0, high=1.0)
        if len({(piece.s, piece.s_d) for piece in table}) > 1:
            self._scores(group, table, states)
        if any(up is not None for _, up in states):
            self._exposure(group, table, states)
        return states

    def _scores(self, group: GroupInputs, table: list[Piece], states: list[tuple[int, int | None]]) -> None:
        """The state is that whose bands the points reach, and no higher ones."""
        x, y, fixed_x, fixed_y = self._points(group)
        for credit, band in ((0.0, "s"), (group.credit, "s_d")):
            line = {at: value * (credit + 1.0) for at, value in x.items()}
            for at, value in y.items():
                line[at] = line.get(at, 0.0) + value
            fixed = fixed_x * (credit + 1.0) + fixed_y
            most = fixed + sum(line.values())
            bands = [getattr(piece, band) for piece in table]
            above = [group.limits[at + 1] - 2.0 * STEP if at + 1 < len(group.limits) else most for at in bands]
            inside = [column for column, _ in states]
            reached = {column: -group.limits[at] for column, at in zip(inside, bands, strict=True)}
            self.built.row({**line, **reached}, low=-fixed - STEP)
            self.built.row({**line, **{at: -most for at, most in zip(inside, above, strict=True)}}, high=STEP - fixed)

    def _points(self, group: GroupInputs) -> tuple[Linear, Linear, float, float]:
        """X and Y as sums over columns, and their fixed parts."""
        x: Linear = {}
        y: Linear = {}
        fixed_x = fixed_y = 0.0
        better: dict[str, list[int]] = {}
        over: set[str] = set()
        for row in sorted(group.rows, key=lambda row: -(row.x + row.y)):
            if row.alternatives in over or not row.condition:
                continue
            if row.condition == MET and row.alternatives is None:
                fixed_x, fixed_y = fixed_x + row.x, fixed_y + row.y
                continue
            column = (
                self._counted(row, better.setdefault(row.alternatives, []))
                if row.alternatives
                else self._met(row.condition)
            )
            if row.condition == MET and row.alternatives:
                over.add(row.alternatives)
            if column is not None:
                x[column], y[column] = x.get(column, 0.0) + row.x, y.get(column, 0.0) + row.y
        return x, y, fixed_x, fixed_y

    def _counted(self, row: ScoredRow, better: list[int]) -> int:
        """A column that is 1 where a row of a set of alternatives is met and no better one; ``better`` gets its condition."""
        counted = self.built.column(integral=False)
        met = None if row.condition == MET else self._met(row.condition)
        own = {} if met is None else {met: -1.0}
        self.built.row({counted: 1.0, **own}, high=1.0 if met is None else 0.0)
        self.built.row({counted: 1.0, **own, **dict.fromkeys(better, 1.0)}, low=1.0 if met is None else 0.0)
        for other in better:
            self.built.row({counted: 1.0, other: 1.0}, high=1.0)
        if met is not None:
            better.append(met)
        return counted

    def _exposure(self, group: GroupInputs, table: list[Piece], states: list[tuple[int, int | None]]) -> None:
        """The exposure of the state is that of the topics which stay unmet; all as shares of the exposure without any action."""
        total = sum(topic.amount for topic in group.topics)
        line: Linear = {}
        for piece, (inside, up) in zip(table, states, strict=True):
            line[inside] = piece.low / total
            if up is not None:
                line[up] = (piece.high - piece.low) / total
        for topic in group.topics:
            column = self._met(topic.condition)
            if column is not None:
                line[column] = line.get(column, 0.0) + topic.amount / total
        self.built.row(line, low=1.0 - UNSURE, high=1.0 + UNSURE)

    def _function(self, function: Sum) -> None:
        """The sum of the terms meets the target."""
        line: Linear = {}
        fixed = 0.0
        for term in function.terms:
            tables = [[cell.piece for cell in self._cells[at]] for at in term.groups]
            ends = [self._ends(table) for table in tables]
            if len(term.groups) == 1:
                self._single(term, line, function.limit)
            elif prod(map(len, tables)) <= MOST_JOINT:
                self._joint(term, line, function.limit)
            elif prod(map(len, ends)) <= MOST_BOUNDED:
                fixed += min(pieces.least(term, list(each)) for each in product(*ends)) / function.limit
        self.built.row(line, high=1.0 + SLACK - fixed)

    @staticmethod
    def _ends(table: list[Piece]) -> list[Piece]:
        """Piece by piece the least and the largest bands, from the least to the largest exposure."""
        low, high = min(piece.low for piece in table), max(piece.high for piece in table)
        bands = sorted({(piece.s, piece.s_d, piece.option) for piece in table})
        return [Piece(s, s_d, low, high, option) for s, s_d, option in bands]

    def _single(self, term: Term, line: Linear, limit: float) -> None:
        (group,) = term.groups
        for cell in self._cells[group]:
            piece = cell.piece
            if (term.value, piece) not in self._lines:
                self._lines[term.value, piece] = pieces.line_below(term, piece)
            start, slope = self._lines[term.value, piece]
            line[cell.inside] = line.get(cell.inside, 0.0) + start / limit
            if cell.up is not None:
                line[cell.up] = line.get(cell.up, 0.0) + slope * (piece.high - piece.low) / limit

    def _joint(self, term: Term, line: Linear, limit: float) -> None:
        """States of alternatives together: each combination has its result."""
        tables = [[cell.piece for cell in self._cells[at]] for at in term.groups]
        margins: dict[tuple[int, int], Linear] = {}
        for combination in product(*(range(len(table)) for table in tables)):
            column = self.built.column(integral=False)
            chosen = [table[at] for table, at in zip(tables, combination, strict=True)]
            line[column] = pieces.least(term, chosen) / limit
            for group, at in zip(term.groups, combination, strict=True):
                margins.setdefault((group, at), {})[column] = 1.0
        for (group, at), columns in margins.items():
            self.built.row({**columns, self._cells[group][at].inside: -1.0}, low=0.0, high=0.0)
