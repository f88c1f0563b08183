"""A variant of a safety function: changed cells of its groups, checked and calculated like plant data, stored nowhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Literal

from checks.analysis import beside_result, spurious_trips, uncertainty
from checks.analysis.beside_result import Beside
from checks.analysis.spurious_trips import FunctionTrips
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.plant_tables import cell_lists, draft, entries, rows
from checks.plant_tables.cell_values import Reading
from checks.plant_tables.columns import column
from checks.plant_tables.draft import Draft
from checks.plant_tables.entries import Sheet
from checks.plant_tables.rows import Row
from checks.plantfile.plant import Plant
from scoring import voting
from scoring.voting import VotingRefused

CELLS = (
    "voting",
    "channels",
    "zone",
    "proof_test.interval_h",
    "proof_test.coverage",
    "proof_test.full_interval_h",
    "stated_beta.beta",
)
"""Columns of the sheet Groups that a variant may change."""
FOLLOWING = (
    "stated_beta.beta_d",
    "stated_beta.of",
    "stated_beta.source",
    "conventions.beta_method",
    "conventions.beta_method_reason",
)
"""Columns that follow from a specified beta: it stands in place of a method of the group's own."""
SOURCE = "assumed in a variant"
"""Source of a specified beta that a variant assumes."""
MOST = 4
"""Largest number of variants of one function."""
NOTHING, HARDLY = 1.005, 1.1
"""Factors below which a variant buys nothing and hardly anything (house rule)."""


@dataclass(frozen=True)
class Variant:
    """Changed cells by group and column, as text, and the effort that somebody expects (default 1, no unit)."""

    name: str
    cells: Mapping[str, Row] = field(default_factory=dict)
    effort: float = 1.0

    def put(self, plant: Plant, group: str, key: str, text: str) -> Variant:
        """The variant with one cell changed; a cell as in the plant is no part of it. A new voting adds or drops channels."""
        built = _row(plant, group)
        changed = {**self.cells.get(group, {}), key: text.strip()}
        if key == "voting":
            changed = {**changed, "channels": _fitted(built, text)}
        if key == "stated_beta.beta":
            changed = {**changed, **_stated(built, text.strip())}
        kept = {name: entry for name, entry in changed.items() if entry != built.get(name, "")}
        others = {name: cells for name, cells in self.cells.items() if name != group}
        return replace(self, cells={**others, group: kept} if kept else others)

    def text(self, plant: Plant, group: str, key: str) -> str:
        """The text of a cell in this variant."""
        return self.cells.get(group, {}).get(key, _row(plant, group).get(key, ""))

    def changes(self, plant: Plant) -> tuple[tuple[str, str, str, str], ...]:
        """What differs from the plant: group, head of the column, text as built, text of the variant."""
        return tuple(
            (group, column("Groups", key).title, _row(plant, group).get(key, ""), cells[key])
            for group, cells in self.cells.items()
            for key in CELLS
            if key in cells
        )


@dataclass(frozen=True)
class Outcome:
    """What a variant makes of a function, with its uncertainty and spurious trips.

    ``function`` is None where its cells have faults, which ``draft`` lists.
    """

    variant: Variant
    draft: Draft
    built: FunctionResult
    function: FunctionResult | None
    uncertainty: Uncertainty | None = None
    trips: FunctionTrips | None = None

    @cached_property
    def gain(self) -> float | None:
        """Factor by which the result with common cause gets better; below 1 it gets worse."""
        return None if self.function is None else self.built.cases.scored / self.function.cases.scored

    @property
    def buys(self) -> Literal["nothing", "hardly anything", "something"]:
        """How much the variant changes the result with common cause, either way."""
        change = max(self.gain or 1.0, 1.0 / (self.gain or 1.0))
        return "nothing" if change < NOTHING else "hardly anything" if change < HARDLY else "something"

    @property
    def weak_link_untouched(self) -> bool:
        """Whether the entry that contributes most is as built, so that nothing which the variant changes can help much."""
        return self.function is not None and not any(
            group.id in self.variant.cells for group in self.function.weakest.groups
        )


def outcome(assessment: Assessment, function: str, variant: Variant) -> Outcome:
    """The result of a function in a variant. Groups keep their ids, so the same answers apply, hidden ones too: figures alone are shown."""
    checked, built = _draft(assessment.plant, variant), assessment.function(function)
    if checked.plant is None:
        return Outcome(variant, checked, built, None)
    changed = assessment.all_answers.with_plant(checked.plant)
    return Outcome(
        variant,
        checked,
        built,
        changed.function(function),
        uncertainty.of_function(changed, function),
        spurious_trips.of_function(changed, function),
    )


def beside(assessment: Assessment, function: str, variant: Variant) -> Beside:
    """What the second method says of a function in a variant without faults."""
    checked = _draft(assessment.plant, variant)
    if checked.plant is None:
        raise ValueError(f"variant {variant.name} has faults: {checked.faults}")
    return beside_result.of_function(assessment.all_answers.with_plant(checked.plant), function)


def _draft(plant: Plant, variant: Variant) -> Draft:
    lines = tuple(
        (number, {"id": group, **_row(plant, group), **cells})
        for number, (group, cells) in enumerate(variant.cells.items(), start=1)
    )
    columns = ("id", *CELLS, *FOLLOWING)
    kept = tuple((number, {key: text for key, text in line.items() if key in columns}) for number, line in lines)
    return draft.draft(plant, [entries.read(Sheet("Groups", kept, columns))], whole=False)


def _row(plant: Plant, group: str) -> Row:
    part = plant.model_copy(update={"groups": {group: plant.groups[group]}})
    return rows.of_sheet(part, "Groups")[0]


def _fitted(built: Row, text: str) -> str:
    """Channels for a voting: those that are built, the last one repeated, or the last ones left out."""
    channels: list[Any] = cell_lists.value("channels", built.get("channels", ""), Reading())
    try:
        count = voting.read(text.strip()).n
    except VotingRefused:
        return built.get("channels", "")
    fitted = [*channels[:count], *channels[-1:] * (count - len(channels))]
    return cell_lists.written("channels", fitted)


def _stated(built: Row, text: str) -> Row:
    """The cells beside a specified beta: beta_D is taken as beta, the larger of the usual values."""
    if text == built.get("stated_beta.beta", ""):
        return {key: built.get(key, "") for key in FOLLOWING}
    return dict(zip(FOLLOWING, (text, "pair", SOURCE, "", "") if text else ("",) * len(FOLLOWING), strict=True))
