"""What is open before signing: evidence, confirmations, zones and gaps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.signoff import revisions
from checks.signoff.signers import HALVES
from checks.state.entries import REVIEWED, Revision
from checks.state.live import State

CLAIMED = ("met", "equivalent")
SHOWN = 8


def in_the_way(now: State, revision: Revision, fixed: Mapping[str, Any], half: str) -> list[str]:
    """Why a half of this revision cannot be signed by anybody; empty where nothing stands in the way."""
    found = []
    state = revisions.stands(now, revision)
    if state != REVIEWED:
        found.append(f"revision {revision.number} is {state}, not under review")
    if half in now.records.counting(now.records.again(revision)):
        found.append(f"its {half} half is signed already")
    return found + lacking(now, fixed, half)


def lacking(now: State, fixed: Mapping[str, Any], half: str) -> list[str]:
    """What a fixed state lacks for one half of a sign-off; of an answer to give anew nothing more than that."""
    found = []
    ours = {name for name, one in banks().every.items() if one.bank in HALVES[half]}
    anew = _anew(now, fixed)
    given = [one for one in fixed["facts"]["plant"].get("answers", []) if (one["question"], one["of"]) not in anew]
    bare = [one for one in given if one["value"] in CLAIMED and _claim(one, ours)]
    if bare:
        found.append(f"{_count(bare, 'answer')} without evidence, but scoring: {_named(bare)}")
    ended = [one for one in given if one not in bare and _ended(now, one, ours)]
    if ended:
        found.append(f"{_count(ended, 'answer')} with expired evidence: {_named(ended)}")
    waiting = [one for one in fixed["to_confirm"] if one["question"] in ours]
    if waiting:
        found.append(f"{_count(waiting, 'answer')} still to be confirmed after a change: {_named(waiting)}")
    if half == "security":
        found += _of_zones(now, fixed)
    return found


def _anew(now: State, fixed: Mapping[str, Any]) -> set[Asked]:
    """Answers of a fixed state that stand in the way until they are given anew, whatever they say."""
    return {(one["question"], one["of"]) for one in fixed["to_confirm"]} & now.records.anew.keys()


def _count(several: list[Any], what: str) -> str:
    return f"{len(several)} {what}{'' if len(several) == 1 else 's'}"


def _claim(answer: Mapping[str, Any], ours: set[str]) -> bool:
    return answer["question"] in ours and not answer.get("evidence", "").strip()


def _ended(now: State, answer: Mapping[str, Any], ours: set[str]) -> bool:
    """Whether the evidence of a scoring answer has ended since it was fixed."""
    claims = answer["question"] in ours and answer["value"] in CLAIMED
    return claims and now.ended((answer["question"], answer["of"]))


def _named(several: list[Any]) -> str:
    shown = ", ".join(f"{one['question']} of {one['of']}" for one in several[:SHOWN])
    return shown + (f" and {len(several) - SHOWN} more" if len(several) > SHOWN else "")


def _of_zones(now: State, fixed: Mapping[str, Any]) -> list[str]:
    reviewed = {one["of"] for one in fixed["facts"]["plant"].get("answers", []) if one["question"] in banks().cyber}
    found = [f"zone {zone} was never reviewed" for zone in fixed["results"]["zones"] if f"zone:{zone}" not in reviewed]
    anew = _anew(now, fixed)
    left = [
        f"{name} of {zone}"
        for zone, name, value in open_gaps(fixed)
        if not now.records.stays(fixed["system"], zone, name, value, now.day)
        and anew.isdisjoint({(name, f"zone:{zone}"), (name, "plant")})
    ]
    if left:
        more = f" and {len(left) - SHOWN} more" if len(left) > SHOWN else ""
        found.append(
            f"{_count(left, 'gap')} neither closed nor accepted as residual risk: {', '.join(left[:SHOWN])}{more}"
        )
    return found


def open_gaps(fixed: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """Zone, question and answer of each gap of a fixed revision."""
    return [
        (zone, one["topic"] or one["sr"][0], one["answer"])
        for zone, held in fixed["results"]["zones"].items()
        for one in held["gaps"]
    ]
