"""Cyber session: one question at a time for a zone, with its levels, exposure and betas beside it."""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st

from checks.assessment import answer_effects
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import method
from checks.assessment.results import FunctionResult, ZoneResult
from checks.plantfile.plant import Asked
from checks.progress import open_questions
from checks.progress.open_questions import REQUIREMENTS, TOPICS, Place
from checks.questions.bank import Question
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, percent
from pages.presentation.level_rows import level_rows
from pages.presentation.wording import escaped, paragraphs, small_print, titled
from pages.session import answer_effect, beside_answer, layout, room_view, steps
from pages.session.walk import Walk, system_of
from pages.ui import frame, places
from pages.ui.frame import Shown
from scoring.exposure import SCENARIO, concerns
from scoring.levels import NAMES

MOST_GROUPS = 12
LEVEL_COLUMNS = ("FR", "Target", "Indicated", "Short", "Asked")
BANKS = {TOPICS: "60 exposure topics", REQUIREMENTS: "100 requirements of IEC 62443-3-3"}


def _scopes(current: State, zone: str, question: Question) -> list[str]:
    addressees = ["plant", f"zone:{zone}"] if question.asked_of == "plant" else [f"zone:{zone}"]
    if question.offered == "group":
        addressees += [f"group:{key}" for key in _concerned(current, zone, question)]
    return [of for of in addressees if current.is_answerable(of)]


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


def _walk(current: State, place: Place) -> Walk:
    questions, zone = open_questions.questions(current.assessment, place), place.key
    answers = current.assessment.zone(zone).answers
    return Walk(
        place=place,
        questions=list(questions.values()),
        answers={name: answer for name, answer in answers.items() if name in questions},
        system=system_of(current, place),
        scopes=lambda question: _scopes(current, zone, question),
        own=lambda question: _offered(current, zone, question),
    )


def _shown(current: State, zone: str, asked: Asked) -> tuple[object, ...]:
    """Results and records shown of a state, to be compared with a later one; most unchanged results are the same object."""
    assessment = current.assessment
    if zone not in current.plant.zones:
        return (current.version,)
    groups = assessment.links.groups_in[zone]
    functions = {name: assessment.function(name) for key in groups for name in assessment.links.uses[key]}
    results = (assessment.zone(zone), *(assessment.group(key) for key in groups), *functions.values())
    return (current.version.data, *results, *beside_answer.shown(current, asked))


def _draw(live: Live, current: State) -> Shown | None:
    if not current.zones:
        frame.nothing_to_choose(current, "zone")
        return None
    names = {key: titled(key, each.name) for key, each in current.zones.items()}
    safety = [key for key, each in current.zones.items() if each.safety_related]
    room_view.style()
    row = st.container(horizontal=True, vertical_alignment="bottom", key="places")
    with row:
        zone = places.choose_place(current, "Zone", "zone", names, prefer=safety, clear=("q",))
        bank = places.choose("Questions", "bank", BANKS, clear=("q",))
    asked = layout.draw(
        live, current, _walk(current, Place(bank, zone)), lambda earlier: _effect(live, current, zone, earlier)
    )
    with row:  # drawn last, so that an answer's effect shows sooner
        steps.between(list(names), zone, "zone")
    return lambda later: _shown(later, zone, asked)


def _effect(live: Live, current: State, key: str, earlier: Assessment) -> None:
    zone = current.assessment.zone(key)
    st.markdown(paragraphs(answer_effect.HEAD, _gaps(zone, earlier.zone(key))))
    worst = current.assessment.worst_by_exposure(zone.groups)
    if worst is None:
        texts = [small_print("No group lies in this zone: its answers show in levels and gaps only.")]
    else:
        answer_effect.moving_rail(current, worst, earlier)
        first, *texts = _worst(current, zone, worst, earlier)
        st.markdown(first)
        answer_effect.beside(live, current, worst)
    if room_view.is_on():
        st.markdown(paragraphs(*(texts if worst is None else ()), *_short(zone)))
    else:
        st.markdown(paragraphs(*texts, *_levels(zone), small_print(escaped(method(current.plant)))))


def _gaps(zone: ZoneResult, previous: ZoneResult) -> str:
    if not zone.reviewed:
        return small_print("Not reviewed yet: the first answer to a topic of this zone starts its review.")
    if not previous.reviewed:
        return f"**{len(zone.gaps)} gaps**: this answer starts the review; nobody has answered these yet."
    change = len(zone.gaps) - len(previous.gaps)
    effect = f" ({change:+d} by this answer)" if change else ""
    return f"**{len(zone.gaps)} gaps**{effect}; {zone.asked} of 100 requirements asked."


def _worst(current: State, zone: ZoneResult, worst: FunctionResult, earlier: Assessment) -> Iterator[str]:
    """Paragraphs on the worst function that the zone can change, and on the groups of the zone."""
    before, after = (measure(worst.demand, function.cases.adjusted) for function in (earlier.function(worst.id), worst))
    name = measure_name(worst.demand)
    yield (
        f"{name} of {escaped(worst.id)} with common cause {measure(worst.demand, worst.cases.scored)}; "
        f"with the cyber scenario {before} before this answer, **{after}** now."
    )
    yield from map(small_print, answer_effect.worse_elsewhere(current, zone.groups, worst))
    yield from _groups(current, zone, earlier)
    yield small_print(f"{SCENARIO[0].upper()}{SCENARIO[1:]}.")


def _short(zone: ZoneResult) -> Iterator[str]:
    """The levels short of their targets, in one line for a meeting room."""
    rows = (row for row in level_rows(zone) if row["Short"].isdigit() and int(row["Short"]))
    short = [f"{row['FR']} by {row['Short']}" for row in rows]
    yield f"Levels short of their targets: {escaped(', '.join(short)) or 'none'}."


def _levels(zone: ZoneResult) -> Iterator[str]:
    lines = ["| level of | target | indicated | short | asked |", "|---|---:|---:|---:|---:|"]
    lines += [f"| {' | '.join(row[name] for name in LEVEL_COLUMNS)} |" for row in level_rows(zone)]
    yield "\n".join(lines)
    yield small_print("; ".join(f"{fr} {name.lower()}" for fr, name in NAMES.items()) + ".")


def _groups(current: State, zone: ZoneResult, earlier: Assessment) -> Iterator[str]:
    """A table of the groups with an exposure of their own, and remarks on it."""
    lines = ["| group | exposure | beta | before | now |", "|---|---:|---:|---:|---:|"]
    groups = current.plant.groups
    exposed = [key for key in zone.groups if groups[key].programmable and groups[key].voted.redundant]
    for key in exposed[:MOST_GROUPS]:
        group, previous = current.assessment.group(key), earlier.group(key)
        if group.betas is not None and previous.betas is not None:
            before, after = percent(previous.betas.beta_adjusted), percent(group.betas.beta_adjusted)
            exposure = percent(group.exposure)
            lines.append(f"| {escaped(key)} | {exposure} | {percent(group.betas.beta)} | {before} | **{after}** |")
    if exposed:
        yield "\n".join(lines)
        yield small_print("Beta: with common cause. Before and now: with the cyber scenario.")
    hidden = len(zone.groups) - len(exposed[:MOST_GROUPS])
    if hidden:
        yield small_print(
            f"{hidden} more groups of this zone are not shown: no redundancy, no exposure of their own, or beyond the first {MOST_GROUPS}."
        )


page = frame.screen(_draw, needs="see gap detail", place="zone", answers=True)
