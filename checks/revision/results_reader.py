"""Reading of stored results: the JSON data of a revision as the values that screens and reports show.

Revisions of releases 1 and 2 have no splits and bands; if this program computes the same figures, it adds its own, else they
are None.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from checks.assessment import entries
from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, Betas, Entry, FunctionResult, Gap, GroupResult, Measured, ZoneResult
from checks.questions.bank import Question
from checks.revision.stored_results import BETAS, Raw
from scoring import voting
from scoring.common_cause import Score
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.levels import Level
from scoring.method import Measure
from scoring.testing import NO_TERMS, Terms

Known = tuple[dict[str, GroupResult], dict[str, FunctionResult], dict[str, ZoneResult]]
"""Results of groups, functions and zones by id."""
CASES = ("single", "ideal", "scored", "adjusted")


def _read_measured(cases: Cases, splits: Raw, band: Raw | None, terms: Terms) -> Measured:
    read = {name: split and Split(**split) for name, split in splits.items()}
    return Measured(cases, read["scored"], read["adjusted"], Band(**band) if band else None, terms)


class _Reader:
    """Reads stored results. ``computed`` is the assessment of the facts; ``fits``: its figures equal the stored ones."""

    def __init__(self, results: Raw, computed: Assessment, *, fits: bool) -> None:
        self._results, self.computed, self.fits = results, computed, fits

    def known(self) -> Known:
        """Groups, functions and zones."""
        results = self._results
        groups = {key: self._read_group(key, raw) for key, raw in results["groups"].items()}
        functions = {key: self._read_function(key, raw, groups) for key, raw in results["functions"].items()}
        return groups, functions, {key: self._read_zone(key, raw) for key, raw in results["zones"].items()}

    def _read_group(self, key: str, raw: Raw) -> GroupResult:
        score, asked = raw["score"], self.computed.asked(key)
        answers = self.computed.answers_for(key)
        band = raw.get("beta_band", self._from(lambda: self.computed.group(key).beta_band))
        return GroupResult(
            id=key,
            part=raw["part"],
            voting=voting.read(raw["voting"]),
            stated=raw.get("stated", False),
            score=score and Score(score["x"], score["y"], score["z"]),
            betas=None if raw["beta"] is None else Betas(*(raw[name] for name in BETAS)),
            exposure=raw["exposure"],
            low=raw["pfd"] and self._measured(key, raw, "pfd"),
            high=raw["pfh"] and self._measured(key, raw, "pfh"),
            beta_band=None if band is None else (band[0], band[1]),
            answers=answers,
            asked=raw.get("asked", len(asked)),
            unanswered=raw.get("unanswered", sum(name not in answers for name in asked)),
        )

    def _from(self, read: Callable[[], Any]) -> Any:
        """What this program computes, if its figures equal the stored ones; else None."""
        return read() if self.fits else None

    def _measured(self, key: str, raw: Raw, measure: Measure) -> Measured:
        cases = Cases(*(raw[measure][case] for case in CASES))
        if "splits" in raw:
            terms = Terms(**raw["terms"][measure]) if "terms" in raw else NO_TERMS
            return _read_measured(cases, raw["splits"][measure], raw["bands"][measure], terms)
        known = self._from(lambda: self.computed.group(key).measured(measure))
        adjusted = Split(**raw["parts"]) if measure == "pfd" else known and known.adjusted
        return Measured(cases, known and known.scored, adjusted, known and known.band)

    def _read_function(self, key: str, raw: Raw, groups: Mapping[str, GroupResult]) -> FunctionResult:
        cases = raw["pfd" if raw["demand"] == "low" else "pfh"]
        band = raw["band"] if "band" in raw else self._from(lambda: self.computed.function(key).band)
        return FunctionResult(
            id=key,
            demand=raw["demand"],
            entries=self._read_entries(key, raw, groups),
            cases=Cases(*(cases[case] for case in CASES)),
            target=raw["target"],
            band=Band(**band) if isinstance(band, Mapping) else band,
            break_even=raw["breakeven_compromise"],
            unreviewed=tuple(raw.get("unreviewed", self.computed.function(key).unreviewed)),
            target_sil=self.computed.plant.functions[key].target_sil,
        )

    def _read_entries(self, key: str, raw: Raw, groups: Mapping[str, GroupResult]) -> tuple[Entry, ...]:
        measure: Measure = "pfd" if raw["demand"] == "low" else "pfh"
        if "entries" not in raw:
            names = raw.get("groups", self.computed.plant.functions[key].group_ids)
            return tuple(entries.single(measure, groups[name]) for name in names)
        return tuple(self._read_entry(measure, entry, groups) for entry in raw["entries"])

    def _read_entry(self, measure: Measure, raw: Raw, groups: Mapping[str, GroupResult]) -> Entry:
        if "group" in raw:
            return entries.single(measure, self._read_group(raw["group"], raw["result"]))
        cases = Cases(*(raw["cases"][case] for case in CASES))
        measured = _read_measured(cases, raw["splits"], raw["band"], NO_TERMS)
        return Entry(tuple(groups[name] for name in raw["any"]), measured, raw["beta"])

    def _read_zone(self, key: str, raw: Raw) -> ZoneResult:
        computed = self.computed.zone(key)
        known = raw.get("levels") or self._levels(raw, computed)
        return ZoneResult(
            id=key,
            reviewed=raw.get("reviewed", computed.reviewed),
            target=dict(raw["sl_target"]),
            levels={fr: Level(**level) for fr, level in known.items()},
            gaps=tuple(self._read_gap(gap) for gap in raw["gaps"]),
            groups=tuple(raw.get("groups", computed.groups)),
            reach=tuple(raw.get("reach", computed.reach)),
            answers=computed.answers,
        )

    @staticmethod
    def _levels(raw: Raw, computed: ZoneResult) -> dict[str, Raw]:
        """Levels of a revision that stored only the indicated ones; the numbers asked follow from the answers."""
        return {fr: {**asdict(computed.levels[fr]), "indicated": level} for fr, level in raw["sl_indicated"].items()}

    def _read_gap(self, raw: Raw) -> Gap:
        name = raw["topic"] or raw["sr"][0]
        question: Question = self.computed.banks.questions[name]
        return Gap(
            question=name,
            is_topic=raw["topic"] is not None,
            fr=tuple(raw["fr"]),
            requirements=tuple(raw["sr"]),
            value=raw["answer"],
            weight=question.weight if raw["weight"] is None else raw["weight"],
            action=question.action,
        )


def known(results: Raw, computed: Assessment, *, fits: bool) -> Known:
    """Stored results as the values that screens and reports show.

    ``computed`` is the assessment of the facts, used for relations and for the answers that apply; ``fits``: its figures equal
    the stored ones. Raises KeyError, ValueError or TypeError for data of another form.
    """
    return _Reader(results, computed, fits=fits).known()
