"""Cyber session: one question at a time for a zone, with its levels, exposure and betas beside it."""

from __future__ import annotations

import streamlit as st

from checks.assessment import answer_effects
from checks.assessment.assessment import Assessment
from checks.assessment.results import ZoneResult
from checks.plantfile.plant import Asked
from checks.questions.bank import Question
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, percent
from checks.visibility import fresh_start
from pages.presentation.level_rows import level_rows
from pages.presentation.wording import plain, titled
from pages.session import answer_effect, evidence_forms
from pages.session.progress import asked_in, listed, progress
from pages.session.question_panel import Walk, draw
from pages.ui import frame
from pages.ui.frame import Shown
from scoring.exposure import SCENARIO, concerns
from scoring.levels import NAMES

MOST_GROUPS = 12
LEVEL_COLUMNS = ("FR", "Target", "Indicated", "Short", "Asked")
BANKS = {"cyber": "60 exposure topics", "requirements": "100 requirements of IEC 62443-3-3"}


def _scopes(current: State, zone: str, question: Question) -> list[str]:
    addressees = ["plant", f"zone:{zone}"] if question.asked_of == "plant" else [f"zone:{zone}"]
    if question.offered == "group":
        addressees += [f"group:{key}" for key in _concerned(current, zone, question)]
    return [of for of in addressees if current.takes(of)]


def _concerned(current: State, zone: str, question: Question) -> list[str]:
    """Programmable groups of a zone that a topic concerns; they are asked first, because the evidence is per tag."""
    groups = ((key, current.plant.groups[key]) for key in current.assessment.links.groups_in[zone])
    return [key for key, group in groups if group.programmable and concerns(question.elements, group.part)]


def _offered(current: State, zone: str, question: Question) -> str:
    """Addressee offered for a question: the first concerned group without its own answer, else the zone or the plant."""
    groups = _concerned(current, zone, question) if question.offered == "group" else []
    without = [key for key in groups if (question.id, f"group:{key}") not in current.stored]
    return answer_effects.addressee(
        question, current.assessment, group=next(iter([*without, *groups]), None), zone=zone
    )


def _walk(current: State, zone: str, bank: str) -> Walk:
    assessment = current.assessment
    questions = {"cyber": assessment.banks.cyber, "requirements": assessment.banks.requirements}[bank]
    return Walk(
        name=f"zone {zone} {bank}",
        questions=list(questions.values()),
        held={name: answer for name, answer in assessment.zone(zone).held.items() if name in questions},
        scopes=lambda question: _scopes(current, zone, question),
        own=lambda question: _offered(current, zone, question),
        open_effects=lambda: (
            answer_effects.open_topics_of_zone(fresh_start.as_shown(current), zone) if bank == "cyber" else []
        ),
    )


def _shown(current: State, zone: str, asked: Asked) -> tuple[object, ...]:
    """Results and records shown of a state, to be compared with a later one; most unchanged results are the same object."""
    assessment = current.assessment
    if zone not in current.plant.zones:
        return (current.version,)
    groups = assessment.links.groups_in[zone]
    functions = {name: assessment.function(name) for key in groups for name in assessment.links.uses[key]}
    results = (assessment.zone(zone), *(assessment.group(key) for key in groups), *functions.values())
    return (current.version.data, *results, *evidence_forms.shown(current, asked))


def _draw(live: Live, current: State) -> Shown | None:
    if not current.zones:
        frame.nothing(current, "zone")
        return None
    names = {key: titled(key, each.name) for key, each in current.zones.items()}
    safety = [key for key, each in current.zones.items() if each.safety_related]
    left, right = st.columns([1, 1])
    with left:
        zone = frame.choose("Zone", "zone", names, default=safety[0] if safety else None, clear=("q",))
    with right:
        bank = frame.choose("Questions", "bank", BANKS, clear=("q",))
    walk = _walk(current, zone, bank)
    question = walk.current()
    scope = walk.scope(question)
    left, right = st.columns([7, 5], gap="large")
    with right:  # drawn first: the user waits for the effect
        _effect(current, zone, current.before(question.id, scope))
    with left:
        draw(live, current, walk, question)
        evidence_forms.draw(live, current, (question.id, scope))
    progress(walk)
    evidence_forms.reveal(live, current, asked_in(walk))
    listed(current, walk, "All answers of this zone")
    return lambda later: _shown(later, zone, (question.id, scope))


def _effect(current: State, key: str, earlier: Assessment) -> None:
    st.markdown("**Effect of this answer**")
    zone, previous = current.assessment.zone(key), earlier.zone(key)
    if not zone.reviewed:
        st.caption("Not reviewed yet: the first answer to a topic of this zone starts its review.")
    _gaps(zone, previous)
    _worst(current, zone, earlier)
    lines = ["| level of | target | indicated | short | asked |", "|---|---:|---:|---:|---:|"]
    lines += [f"| {' | '.join(row[name] for name in LEVEL_COLUMNS)} |" for row in level_rows(zone)]
    st.markdown("\n".join(lines))
    frame.rule(current, "; ".join(f"{fr} {name.lower()}" for fr, name in NAMES.items()) + ".")


def _worst(current: State, zone: ZoneResult, earlier: Assessment) -> None:
    worst = current.assessment.worst_by_exposure(zone.groups)
    if worst is None:
        st.caption("No group lies in this zone: its answers show in levels and gaps only.")
        return
    answer_effect.moving_rail(current, worst, earlier)
    before, after = (measure(worst.demand, function.cases.adjusted) for function in (earlier.function(worst.id), worst))
    name = measure_name(worst.demand)
    st.markdown(
        f"{name} of {plain(worst.id)} with common cause {measure(worst.demand, worst.cases.scored)}; "
        f"with the cyber scenario {before} before this answer, **{after}** now."
    )
    remarks = [*answer_effect.worse_elsewhere(current, zone.groups, worst), *_groups(current, zone, earlier)]
    st.caption("\n\n".join((*remarks, f"{SCENARIO[0].upper()}{SCENARIO[1:]}.")))


def _gaps(zone: ZoneResult, previous: ZoneResult) -> None:
    if zone.reviewed and not previous.reviewed:
        st.markdown(f"**{len(zone.gaps)} gaps**: this answer starts the review; nobody has answered these yet.")
    elif zone.reviewed:
        change = len(zone.gaps) - len(previous.gaps)
        effect = f" ({change:+d} by this answer)" if change else ""
        st.markdown(f"**{len(zone.gaps)} gaps**{effect}; {zone.asked} of 100 requirements asked.")


def _groups(current: State, zone: ZoneResult, earlier: Assessment) -> list[str]:
    """Draw the table of groups with an exposure of their own; returns the remarks on it."""
    remarks = []
    lines = ["| group | exposure | beta | before | now |", "|---|---:|---:|---:|---:|"]
    groups = current.plant.groups
    exposed = [key for key in zone.groups if groups[key].programmable and groups[key].voting.redundant]
    for key in exposed[:MOST_GROUPS]:
        group, previous = current.assessment.group(key), earlier.group(key)
        if group.betas is not None and previous.betas is not None:
            before, after = percent(previous.betas.beta_adjusted), percent(group.betas.beta_adjusted)
            exposure = percent(group.exposure)
            lines.append(f"| {plain(key)} | {exposure} | {percent(group.betas.beta)} | {before} | **{after}** |")
    if exposed:
        st.markdown("\n".join(lines))
        remarks.append("Beta: with common cause. Before and now: with the cyber scenario.")
    hidden = len(zone.groups) - len(exposed[:MOST_GROUPS])
    if hidden:
        remarks.append(
            f"{hidden} more groups of this zone are not shown: no redundancy, no exposure of their own, or beyond the first {MOST_GROUPS}."
        )
    return remarks


page = frame.screen(_draw, needs="see gap detail")
