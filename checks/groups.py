"""Answers that speak for one group to its betas, its PFD and its PFH."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from checks.answers import ByQuestion
from checks.bank import banks
from checks.plant import Group, Plant
from checks.results import Band, Betas, GroupResult
from scoring import annex_b, common_cause, erosion, exposure, voting
from scoring.units import per_hour

UNMET = {"met": 0.0, "equivalent": 0.0, "partly": 0.5, "not-met": 1.0, "unknown": 1.0}
"""Unmet share of a topic by its answer; a topic that does not apply is left out (house rule)."""

Exposed = tuple[str, int, float]
"""A topic that counts for a group: id, weight, unmet share."""


def rates(plant: Plant, group: Group) -> annex_b.Rates:
    """Dangerous rates of one channel of a group [1/h]; of unlike channels their geometric mean."""
    return annex_b.representative([_channel(plant, names) for names in group.channels])


def _channel(plant: Plant, names: Sequence[str]) -> annex_b.Rates:
    """Rates of devices in series. One without any dangerous failure adds nothing; ``links`` sees that another does."""
    each = [(per_hour(one.lambda_du_fit), per_hour(one.lambda_dd_fit)) for one in map(plant.devices.__getitem__, names)]
    return annex_b.in_series([annex_b.Rates(du, dd) for du, dd in each if du or dd])


def upkeep(group: Group) -> annex_b.Upkeep:
    """Test and repair of a group [h]."""
    test = group.proof_test
    full = test.interval_h if test.full_interval_h is None else test.full_interval_h
    return annex_b.Upkeep(test.interval_h, test.coverage, full, group.mrt_h, group.mttr_h)


def diagnostic_credit(plant: Plant, group: Group) -> float:
    """Z of a group: 0 unless its detected failures are acted on within a stated time."""
    if not group.acts_on_detected or group.diagnostic_interval_h is None:
        return 0.0
    coverage = rates(plant, group).coverage
    return common_cause.diagnostic_credit(group.part, coverage=coverage, interval=group.diagnostic_interval_h)


def exposed_to(group: Group, held: ByQuestion, *, reviewed: bool) -> list[Exposed] | None:
    """Topics that count for a group; None where its zone was never reviewed.

    A topic that nobody answered counts as unknown; one that does not apply is left out.
    """
    if not group.programmable:
        return []
    if not reviewed:
        return None
    found = []
    for topic in banks().cyber.values():
        if exposure.concerns(topic.elements, group.part):
            answer = held.get(topic.id)
            share = 1.0 if answer is None else UNMET.get(answer.value)
            if share is not None:
                found.append((topic.id, topic.weight, share))
    return found


def questioned(group: Group) -> dict[str, common_cause.Row]:
    """Rows of Table D.1 that are asked of a group: none without redundancy or where a beta is stated."""
    asked = group.voting.redundant and group.stated_beta is None
    return common_cause.rows(group.part) if asked else {}


def betas(plant: Plant, group: Group, claimed: Collection[str], *, z: float, g: float | None) -> Betas | None:
    """Betas of a group whose rows ``claimed`` are met and whose exposure is ``g``; None without redundancy."""
    if not group.voting.redundant:
        return None
    if group.stated_beta is not None:
        own = (group.stated_beta.beta, group.stated_beta.beta_d)
    else:
        points = common_cause.score(group.part, claimed, z=z)
        own = (common_cause.beta_int(group.part, points.s), common_cause.beta_int(group.part, points.s_d))
    k = voting.factor(group.voting, plant.conventions.voting_factor)
    cap = common_cause.worst_beta(group.part)
    raised = own if g is None else tuple(float(exposure.raised(one, g, cap=cap)) for one in own)
    beta, beta_d, adjusted, adjusted_d = (min(1.0, k * one) for one in (*own, *raised))
    return Betas(*own, k, beta, beta_d, adjusted, adjusted_d)


def assess(plant: Plant, key: str, held: ByQuestion, exposed: list[Exposed] | None) -> GroupResult:
    """Result of one group. ``exposed`` None leaves beta unadjusted."""
    group = plant.groups[key]
    g = None if exposed is None else exposure.exposure([(weight, share) for _, weight, share in exposed])
    rows, z = questioned(group), diagnostic_credit(plant, group)
    answered = {name: held[name] for name in rows if name in held}
    claimed = {name for name, one in answered.items() if one.claimed}
    hoped = claimed | {name for name in rows if name not in answered or answered[name].open}
    shown = {name for name in claimed if answered[name].evidence.strip()}
    now, best, worst = (betas(plant, group, names, z=z, g=g) for names in (claimed, hoped, shown))
    (pfd, parts, pfd_ends), (pfh, pfh_parts, pfh_ends) = _measures(plant, group, now, best, worst)
    ends = (best.beta_adjusted, worst.beta_adjusted) if best and worst else (0.0, 0.0)
    return GroupResult(
        id=key,
        part=group.part,
        voting=group.voting,
        score=common_cause.score(group.part, claimed, z=z) if rows else None,
        betas=now,
        exposure=g,
        pfd=pfd,
        pfh=pfh,
        parts=parts,
        pfh_parts=pfh_parts,
        band=Band(*ends, *pfd_ends),
        pfh_band=Band(*ends, *pfh_ends),
        held=held,
        asked=len(rows),
        unanswered=len(rows) - len(answered),
    )


def _pairs(now: Betas | None, best: Betas | None, worst: Betas | None) -> NDArray[np.float64]:
    """(beta, beta_D) of the ideal, scored, adjusted, optimistic and pessimistic case, shape (5, 2)."""
    if now is None or best is None or worst is None:
        return np.zeros((5, 2))
    adjusted = [(one.beta_adjusted, one.beta_d_adjusted) for one in (now, best, worst)]
    return np.array([(0.0, 0.0), (now.beta, now.beta_d), *adjusted])


Measured = tuple[erosion.Cases, annex_b.Split, tuple[float, float]]


def _measures(
    plant: Plant, group: Group, now: Betas | None, best: Betas | None, worst: Betas | None
) -> tuple[Measured, Measured]:
    """Four cases, adjusted split and band as PFD and as PFH."""
    channel, care, pairs = rates(plant, group), upkeep(group), _pairs(now, best, worst)
    beta, beta_d = pairs[:, 0], pairs[:, 1]
    pfd = annex_b.pfd(voting=group.voting, rates=channel, upkeep=care, beta=beta, beta_d=beta_d)
    pfh = annex_b.pfh(voting=group.voting, rates=channel, upkeep=care, beta=beta, beta_d=beta_d)
    return (
        _measured(pfd, annex_b.single("pfd", rates=channel, upkeep=care)),
        _measured(pfh, annex_b.single("pfh", rates=channel, upkeep=care)),
    )


def _measured(split: annex_b.Split, single: float) -> Measured:
    independent, shared = np.asarray(split.independent), np.asarray(split.shared)
    ideal, scored, adjusted, best, worst = (independent + shared).tolist()
    parts = annex_b.Split(float(independent[2]), float(shared[2]))
    return erosion.Cases(single, ideal, scored, adjusted), parts, (best, worst)
