"""The statement that a signer signs: its fields, and one page of plain prose that says the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from checks.actions import recorded_actions
from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.progress import open_questions
from checks.progress.open_questions import TOPICS, Place
from checks.revision import basis
from checks.signoff import sampling
from checks.signoff.open_points import open_gaps
from checks.signoff.signers import banks_of, signer_of
from checks.signoff.terms import VERDICTS, Terms, Unanswered, listed
from checks.state.live import State
from checks.state.revision_status import Revision
from checks.text.number_format import measure, measure_name

SAYS = "an assessment, not an audit and not a certificate"
SCOPE = {
    "safety": "common-cause questions of each redundant group, the beta factors that follow, and the results with them",
    "security": "exposure and requirement questions of each zone, the gaps that follow, and the results with the cyber scenario",
}
"""What each half covers, in words."""
NOT_YET = "not stated yet"
"""What stands in the place of words that the signer has not given yet; nothing is signed with it."""


def never_answered(fixed: Mapping[str, Any], half: str) -> Unanswered:
    """Questions of one half of a fixed revision that nobody ever answered: of the groups, or of the zones."""
    assessment = basis.assessment_of(fixed["facts"])
    scope = basis.scope(assessment.plant, assessment.links, fixed["system"])
    if half == "safety":
        places = [open_questions.of_group(assessment, key) for key in scope.groups if assessment.asked(key)]
    else:
        places = [Place(TOPICS, key) for key in scope.zones]
    asked, missing = 0, []
    for place in places:
        progress = open_questions.progress(assessment, place)
        asked += progress.asked
        missing += [(name, place.addressee) for name in progress.missing]
    return Unanswered(asked, tuple(missing))


def covered(state: State, fixed: Mapping[str, Any], half: str) -> dict[str, list[dict[str, str]]]:
    """What a signature covers at this moment besides the fixed revision: open actions and accepted residual risks.

    Actions are those of the whole system; residual risks belong to the security half.
    """
    system = fixed["system"]
    gaps = open_gaps(fixed) if half == "security" else []
    accepted = [
        state.records.accepted[system, zone, name]
        for zone, name, value in gaps
        if state.records.stays(system, zone, name, value, state.day)
    ]
    return {
        "open_actions": [
            {
                "id": action.id,
                "what": action.what,
                "owner": action.owner,
                "due": action.due.isoformat(),
                "state": action.state,
            }
            for action in recorded_actions.under_way(state, system)
        ],
        "accepted_gaps": [
            {"zone": gap.zone, "question": gap.question, "reason": gap.reason, "until": gap.until} for gap in accepted
        ],
    }


def fields(
    state: State, fixed: Mapping[str, Any], revision: Revision, signer: str, *, half: str, terms: Terms
) -> dict[str, Any]:
    """The statement as data, with its page of prose under ``text``; without key, time and place in the journal."""
    never = never_answered(fixed, half)
    drawn = sampling.sample(fixed, banks_of(half, fixed), revision=revision.hash, who=signer, turns=terms.turns)
    given = {verdict.asked: verdict for verdict in terms.verdicts}
    stated: dict[str, Any] = {
        "says": f"reviewed, {half} half; {SAYS}",
        "plant": fixed["plant"],
        "system": revision.system,
        "number": revision.number,
        "revision": revision.hash,
        "half": half,
        "signer": signer,
        "independence": terms.independence.strip(),
        "competence": terms.competence.strip(),
        "conditions": [condition.words.strip() for condition in terms.conditions],
        "condition_actions": [condition.action for condition in terms.conditions],
        "until": terms.until,
        "sample": drawn,
        "verdicts": [
            {**answer, "verdict": verdict.verdict, "remark": verdict.remark.strip()}
            for answer in drawn
            if (verdict := given.get((answer["question"], answer["of"]))) is not None
        ],
        "unanswered": {
            "asked": never.asked,
            "missing": [{"question": question, "of": of} for question, of in never.missing],
            "accepted": terms.unanswered,
        },
        **covered(state, fixed, half),
    }
    return {**stated, "text": prose(fixed, revision, stated)}


def prose(fixed: Mapping[str, Any], revision: Revision, stated: Mapping[str, Any]) -> str:
    """The statement as plain prose, paragraphs parted by an empty line."""
    return "\n\n".join(_paragraphs(fixed, revision, stated))


def _paragraphs(fixed: Mapping[str, Any], revision: Revision, stated: Mapping[str, Any]) -> Iterator[str]:
    half, system = stated["half"], stated["system"]
    assessment = basis.revision_assessment(fixed)
    name = assessment.plant.systems[system].name
    role = "" if signer_of(half) in stated["signer"] else f" {signer_of(half)},"
    yield (
        f"I, {stated['signer']},{role} reviewed the {half} half of revision {revision.number} of the safety "
        f"system {system}{f' ({name})' if name else ''} of {fixed['plant']}. This is {SAYS}: it says that the answers are "
        "supported by the evidence I looked at, not that the plant is safe."
    )
    yield (
        f"Reviewed was what the revision fixed on {revision.cause.day} under SHA-256 {revision.hash}: the {SCOPE[half]}. "
        f"{_editions(fixed, half)}"
    )
    yield _questions(stated)
    yield f"Results. {' '.join(_results(assessment, system))}"
    yield _sample(stated)
    yield _conditions(stated)
    if half == "security":
        yield _accepted(stated)
    yield _actions(stated)
    yield f"Independence: {_closed(stated['independence'])} Competence: {_closed(stated['competence'])}"
    yield (
        "Not covered: what was not asked, parts outside this system, later changes, and whether plant data are true to the "
        "plant. Local codes and the competent person in charge decide on operation."
    )


def _editions(fixed: Mapping[str, Any], half: str) -> str:
    banks = [
        f"{name.replace('_', ' ')} {entry['edition']}"
        for name, entry in fixed["facts"]["banks"].items()
        if name in banks_of(half, fixed)
    ]
    methods = fixed["facts"].get("methods", {})
    named = "; ".join(f"{kind.replace('_', ' ')}: {entry}" for kind, entry in _method_names(methods))
    for group, own in fixed["facts"].get("group_methods", {}).items():
        named += "".join(f"; {kind} of {group}: {entry}" for kind, entry in _method_names(own))
    return f"Question banks: {', '.join(banks)}. Methods: {named or 'as the release fixed them'}."


def _method_names(methods: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for kind, entry in methods.items():
        yield kind, f"{entry['id']}, edition {entry['edition']}" if isinstance(entry, Mapping) else str(entry)


def _questions(stated: Mapping[str, Any]) -> str:
    asked, missing = stated["unanswered"]["asked"], stated["unanswered"]["missing"]
    if not missing:
        return f"All {asked} questions of this half were answered."
    names = listed([(entry["question"], entry["of"]) for entry in missing])
    accepts = "I accept the revision with them" if stated["unanswered"]["accepted"] == len(missing) else NOT_YET
    return f"Of {asked} questions of this half {len(missing)} were never answered ({names}); they count as not met: {accepts}."


def _results(assessment: Assessment, system: str) -> Iterator[str]:
    for name in assessment.plant.systems[system].functions:
        function = assessment.function(name)
        figures = ", ".join(
            f"{measure_name(function.demand)} {measure(function.demand, getattr(function.cases, case))} {words}"
            for case, words in verdicts.CASES.items()
        )
        yield f"{name}: {figures}. {verdicts.both_verdicts(function)}"


def _sample(stated: Mapping[str, Any]) -> str:
    if not stated["sample"]:
        return "No answer of this half improves a result, so none was sampled."
    told = "; ".join(
        f"{verdict['question']} of {verdict['of']}: {VERDICTS.get(verdict['verdict'], 'no verdict')} ({verdict['remark']})"
        for verdict in stated["verdicts"]
    )
    count = len(stated["sample"])
    return f"Of the answers that improve a result {count} were drawn at random, and I judged each: {told or NOT_YET}."


def _conditions(stated: Mapping[str, Any]) -> str:
    if not stated["conditions"]:
        return "I set no condition."
    told = "; ".join(
        f"{words} ({action})" for words, action in zip(stated["conditions"], stated["condition_actions"], strict=True)
    )
    until = f"until {stated['until']}" if stated["until"] else "without an end date yet"
    return f"My signature holds {until} under these conditions, each tied to an action: {told}. Where one of these actions is dropped, it ends."


def _accepted(stated: Mapping[str, Any]) -> str:
    accepted = stated["accepted_gaps"]
    if not accepted:
        return "No residual risk is accepted for this system."
    alike: dict[tuple[str, str], dict[str, list[str]]] = {}
    for gap in accepted:
        alike.setdefault((gap["until"], gap["reason"]), {}).setdefault(gap["zone"], []).append(gap["question"])
    told = "; ".join(
        f"until {until} {', '.join(f'{zone}: {_names(names)}' for zone, names in zones.items())} ({_open(reason)})"
        for (until, reason), zones in alike.items()
    )
    count = "1 residual risk" if len(accepted) == 1 else f"{len(accepted)} residual risks"
    return f"{count} that the asset owner accepted: {told}."


def _actions(stated: Mapping[str, Any]) -> str:
    actions = stated["open_actions"]
    if not actions:
        return "No action is open."
    told = (f"{action['id']} {action['what']} ({action['owner']}, due {action['due']})" for action in actions)
    return f"Open actions: {'; '.join(told)}."


def _names(questions: list[str]) -> str:
    return " ".join(questions)


def _open(text: str) -> str:
    return text.rstrip(".")


def _closed(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text or NOT_YET}."


def signing_line(at: str, journal: Mapping[str, Any]) -> str:
    """The last paragraph of a signed statement: time (UTC), and the journal that the signature holds."""
    return (
        f"Signed {at} (UTC). The audit trail then had {journal['events']} events, the last with SHA-256 {journal['head']}; "
        "this signature holds all of them."
    )
