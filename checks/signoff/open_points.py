"""What is open before signing: evidence, confirmations, zones and gaps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.plantfile.plant import Asked
from checks.questions.bank import LEVELS, banks
from checks.recording import field_checks
from checks.signoff import revisions, sampling
from checks.signoff.signers import banks_of
from checks.state import plant_data_waiting
from checks.state.live import State
from checks.state.revision_status import REVIEWED, Revision

CLAIMED = ("met", "equivalent")
SHOWN = 8
FEWEST_LETTERS, FEWEST_WORDS = 6, 2
"""Shortest evidence text of a scoring answer (house rule): a document and a number, such as "walk-down 12"."""


def in_the_way(current: State, revision: Revision, fixed: Mapping[str, Any], half: str) -> list[str]:
    """Reasons why nobody can sign this half of a revision; empty if it is ready to sign."""
    reasons = []
    status = revisions.status_of(current, revision)
    if status != REVIEWED:
        reasons.append(f"revision {revision.number} is {status}, not under review")
    if half in current.records.counting(current.records.again(revision)):
        reasons.append(f"its {half} half is signed already")
    return reasons + lacking(current, fixed, half)


def lacking(state: State, fixed: Mapping[str, Any], half: str) -> list[str]:
    """What a fixed revision lacks for one half of a sign-off. An answer to give again is listed once, as unconfirmed."""
    reasons = []
    of_half = banks_of(half, fixed)
    in_half = {name for name, question in banks().questions.items() if question.bank in of_half}
    open_again = _to_answer_again(state, fixed)
    answers = [
        answer
        for answer in fixed["facts"]["plant"].get("answers", [])
        if (answer["question"], answer["of"]) not in open_again
    ]
    without_evidence = [answer for answer in answers if _claims(answer) and _lacks_evidence(answer, in_half)]
    saying_nothing = [
        answer for answer in answers if answer not in without_evidence and _says_nothing(answer, fixed, in_half)
    ]
    if saying_nothing:
        reasons.append(
            f"{_count(saying_nothing, 'answer')} whose evidence says nothing, such as a single word: "
            f"{_listed(saying_nothing)}; name the document and what it shows"
        )
    if without_evidence:
        reasons.append(
            f"{_count(without_evidence, 'answer')} without evidence, but scoring: {_listed(without_evidence)}"
        )
    expired = [
        answer for answer in answers if answer not in without_evidence and _evidence_expired(state, answer, in_half)
    ]
    if expired:
        reasons.append(f"{_count(expired, 'answer')} with expired evidence: {_listed(expired)}")
    unconfirmed = [answer for answer in fixed["to_confirm"] if answer["question"] in in_half]
    if unconfirmed:
        reasons.append(f"{_count(unconfirmed, 'answer')} still to be confirmed after a change: {_listed(unconfirmed)}")
    unnamed = [answer for answer in answers if answer["question"] in in_half and not answer.get("by", "").strip()]
    if unnamed:
        again = "answer it again" if len(unnamed) == 1 else "answer them again"
        reasons.append(f"{_count(unnamed, 'answer')} without a name: {_listed(unnamed)}; {again}")
    if places := plant_data_waiting.of_system(state, fixed["system"]):
        names = ", ".join(list(places)[:SHOWN]) + (f" and {len(places) - SHOWN} more" if len(places) > SHOWN else "")
        reasons.append(f"plant data still to be checked after a change: {names}")
    if half == "security":
        reasons += _zone_reasons(state, fixed)
    return reasons


def _to_answer_again(state: State, fixed: Mapping[str, Any]) -> set[Asked]:
    """Questions of a fixed revision that must be answered again, whatever their answers are."""
    return {(answer["question"], answer["of"]) for answer in fixed["to_confirm"]} & state.records.to_answer_again.keys()


def _count(items: list[Any], noun: str) -> str:
    return f"{len(items)} {noun}{'' if len(items) == 1 else 's'}"


def _claims(answer: Mapping[str, Any]) -> bool:
    """Whether an answer claims a measure in full, or a level better than the worst."""
    value = answer["value"]
    return value in CLAIMED or (value in LEVELS and sampling.scores(answer["question"], value))


def _lacks_evidence(answer: Mapping[str, Any], in_half: set[str]) -> bool:
    return answer["question"] in in_half and not answer.get("evidence", "").strip()


def _says_nothing(answer: Mapping[str, Any], fixed: Mapping[str, Any], in_half: set[str]) -> bool:
    """Whether a scoring answer has an evidence text of one word or a few letters, and no evidence on record."""
    if answer["question"] not in in_half or not _claims(answer):
        return False
    asked = (answer["question"], answer["of"])
    recorded = any((piece["question"], piece["of"]) == asked and piece["strength"] for piece in fixed["evidence"])
    text = answer.get("evidence", "").strip()
    return not recorded and (len(text) < FEWEST_LETTERS or field_checks.says_little(text, FEWEST_WORDS))


def _evidence_expired(state: State, answer: Mapping[str, Any], in_half: set[str]) -> bool:
    """Whether the evidence of a scoring answer has expired since the revision was fixed."""
    claims = answer["question"] in in_half and _claims(answer)
    return claims and state.ended((answer["question"], answer["of"]))


def _listed(answers: list[Any]) -> str:
    names = ", ".join(f"{answer['question']} of {answer['of']}" for answer in answers[:SHOWN])
    return names + (f" and {len(answers) - SHOWN} more" if len(answers) > SHOWN else "")


def _zone_reasons(state: State, fixed: Mapping[str, Any]) -> list[str]:
    reviewed = {
        answer["of"] for answer in fixed["facts"]["plant"].get("answers", []) if answer["question"] in banks().cyber
    }
    reasons = [
        f"zone {zone} was never reviewed" for zone in fixed["results"]["zones"] if f"zone:{zone}" not in reviewed
    ]
    open_again = _to_answer_again(state, fixed)
    unsettled = [
        f"{name} of {zone}"
        for zone, name, value in open_gaps(fixed)
        if not state.records.stays(fixed["system"], zone, name, value, state.day)
        and open_again.isdisjoint({(name, f"zone:{zone}"), (name, "plant")})
    ]
    if unsettled:
        more = f" and {len(unsettled) - SHOWN} more" if len(unsettled) > SHOWN else ""
        reasons.append(
            f"{_count(unsettled, 'gap')} neither closed nor accepted as residual risk: {', '.join(unsettled[:SHOWN])}{more}"
        )
    return reasons


def open_gaps(fixed: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """Zone, question and answer of each gap of a fixed revision."""
    return [
        (zone, gap["topic"] or gap["sr"][0], gap["answer"])
        for zone, result in fixed["results"]["zones"].items()
        for gap in result["gaps"]
    ]
