"""Stored results of a revision: a schema of its own, independent of ``--json`` and of the screens.

``written`` returns JSON data, ``known`` reads it back as the values that screens and reports show. Revisions of releases
1 and 2 have no splits and bands; if this program computes the same figures, it adds its own, else they are None.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from math import isclose
from typing import Any

from checks.assessment.assessment import Assessment
from checks.assessment.results import Band, Betas, FunctionResult, Gap, GroupResult, Measured, ZoneResult
from checks.questions.bank import Question
from scoring import voting
from scoring.common_cause import Score
from scoring.equipment import Split
from scoring.erosion import Cases
from scoring.levels import Level

Raw = Mapping[str, Any]
CLOSE = 1e-9
"""Relative difference up to which a recomputed figure counts as equal: machines may differ in the last digits."""
BETAS = ("beta_int", "beta_d_int", "voting_factor", "beta", "beta_d", "beta_adjusted", "beta_d_adjusted")
Known = tuple[dict[str, GroupResult], dict[str, FunctionResult], dict[str, ZoneResult]]
"""Results of groups, functions and zones by id."""
CASES = ("single", "ideal", "scored", "adjusted")


def written(
    assessment: Assessment, *, groups: tuple[str, ...], functions: tuple[str, ...], zones: tuple[str, ...]
) -> Raw:
    """Results of some groups, functions and zones as JSON data; floats with all digits."""
    return {
        "plant": assessment.plant.plant.model_dump(),
        "conventions": assessment.plant.conventions.model_dump(),
        "groups": {key: _group(assessment.group(key)) for key in groups},
        "functions": {key: _function(assessment.function(key)) for key in functions},
        "zones": {key: _zone(assessment.zone(key), groups) for key in zones},
    }


def _group(group: GroupResult) -> Raw:
    score, betas = group.score, group.betas
    points = score and {"x": score.x, "y": score.y, "z": score.z, "s": score.s, "s_d": score.s_d}
    return {
        "voting": str(group.voting),
        "part": group.part,
        "score": points,
        **(dict.fromkeys(BETAS) if betas is None else asdict(betas)),
        "beta_band": None if group.beta_band is None else list(group.beta_band),
        "exposure": group.exposure,
        "pfd": asdict(group.low.cases),
        "pfh": asdict(group.high.cases),
        "parts": _split(group.low.adjusted),
        "splits": {name: _splits(measured) for name, measured in (("pfd", group.low), ("pfh", group.high))},
        "bands": {name: _band(measured.band) for name, measured in (("pfd", group.low), ("pfh", group.high))},
        "asked": group.asked,
        "unanswered": group.unanswered,
    }


def _splits(measured: Measured) -> Raw:
    return {"scored": _split(measured.scored), "adjusted": _split(measured.adjusted)}


def _split(split: Split | None) -> Raw | None:
    return None if split is None else asdict(split)


def _band(band: Band | None) -> Raw | None:
    return None if band is None else asdict(band)


def _function(function: FunctionResult) -> Raw:
    cases, low = function.cases, function.demand == "low"
    return {
        "demand": function.demand,
        "groups": [group.id for group in function.groups],
        ("pfd" if low else "pfh"): asdict(cases),
        "rrf": {case: 1.0 / value for case, value in asdict(cases).items()} if low else None,
        "target": function.target,
        "meets_target": {case: function.meets(case) for case in ("scored", "adjusted")},
        "share": function.share,
        "benefit_ideal": cases.benefit_ideal,
        "benefit_kept": cases.benefit_kept,
        "share_kept": cases.share_kept,
        "band": _band(function.band),
        "breakeven_compromise": function.break_even,
        "unreviewed": list(function.unreviewed),
    }


def _zone(zone: ZoneResult, groups: tuple[str, ...]) -> Raw:
    """A zone with its groups that belong to the system; groups of other systems are not named."""
    return {
        "reviewed": zone.reviewed,
        "sl_target": zone.target,
        "sl_indicated": {fr: level.indicated for fr, level in zone.levels.items()},
        "levels": {fr: asdict(level) for fr, level in zone.levels.items()},
        "short": zone.short,
        "asked": zone.asked,
        "not_asked": zone.not_asked,
        "gaps": [_gap(gap, zone) for gap in zone.gaps],
        "groups": [key for key in groups if key in zone.groups],
        "reach": list(zone.reach),
    }


def _gap(gap: Gap, zone: ZoneResult) -> Raw:
    return {
        "topic": gap.question if gap.is_topic else None,
        "fr": list(gap.fr),
        "sr": list(gap.requirements),
        "answer": gap.value,
        "weight": gap.weight if gap.is_topic else None,
        "reach": list(zone.reach),
    }


def apart(stored: Any, computed: Any, place: str = "results") -> Iterator[str]:
    """Places at which stored and computed results differ. Computed fields that are not stored are ignored."""
    if isinstance(stored, Mapping) and isinstance(computed, Mapping):
        for name in stored:
            if name in computed:
                yield from apart(stored[name], computed[name], f"{place}.{name}")
            else:
                yield f"{place}.{name} is stored, but not computed"
    elif isinstance(stored, list) and isinstance(computed, list | tuple) and len(stored) == len(computed):
        for at, pair in enumerate(zip(stored, computed, strict=True)):
            yield from apart(*pair, f"{place}[{at}]")
    elif _number(stored) and _number(computed):
        if not isclose(stored, computed, rel_tol=CLOSE):
            yield f"{place} is {stored}, computed {computed}{_by(stored, computed)}"
    elif stored != computed:
        yield f"{place} is {stored!r}, computed {computed!r}"


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _by(stored: float, computed: float) -> str:
    """The relative difference of two figures, in brackets."""
    return f" ({(computed - stored) / stored:+.2%})" if stored else ""


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
        score, asked = raw["score"], self.computed.questioned(key)
        answers = self.computed.answers_for(key)
        band = raw.get("beta_band", self._from(lambda: self.computed.group(key).beta_band))
        return GroupResult(
            id=key,
            part=raw["part"],
            voting=voting.read(raw["voting"]),
            score=score and Score(score["x"], score["y"], score["z"]),
            betas=None if raw["beta"] is None else Betas(*(raw[name] for name in BETAS)),
            exposure=raw["exposure"],
            low=self._measured(key, raw, "pfd"),
            high=self._measured(key, raw, "pfh"),
            beta_band=None if band is None else (band[0], band[1]),
            answers=answers,
            asked=raw.get("asked", len(asked)),
            unanswered=raw.get("unanswered", sum(name not in answers for name in asked)),
        )

    def _from(self, read: Callable[[], Any]) -> Any:
        """What this program computes, if its figures equal the stored ones; else None."""
        return read() if self.fits else None

    def _measured(self, key: str, raw: Raw, measure: str) -> Measured:
        cases = Cases(*(raw[measure][case] for case in CASES))
        if "splits" in raw:
            splits, band = raw["splits"][measure], raw["bands"][measure]
            read = {name: split and Split(**split) for name, split in splits.items()}
            return Measured(cases, read["scored"], read["adjusted"], band and Band(**band))
        group = self._from(lambda: self.computed.group(key))
        known = group and (group.low if measure == "pfd" else group.high)
        adjusted = Split(**raw["parts"]) if measure == "pfd" else known and known.adjusted
        return Measured(cases, known and known.scored, adjusted, known and known.band)

    def _read_function(self, key: str, raw: Raw, groups: Mapping[str, GroupResult]) -> FunctionResult:
        cases = raw["pfd" if raw["demand"] == "low" else "pfh"]
        names = raw.get("groups", self.computed.plant.functions[key].groups)
        band = raw["band"] if "band" in raw else self._from(lambda: _band(self.computed.function(key).band))
        return FunctionResult(
            id=key,
            demand=raw["demand"],
            groups=tuple(groups[name] for name in names),
            cases=Cases(*(cases[case] for case in CASES)),
            target=raw["target"],
            band=band and Band(**band),
            break_even=raw["breakeven_compromise"],
            unreviewed=tuple(raw.get("unreviewed", self.computed.function(key).unreviewed)),
        )

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
