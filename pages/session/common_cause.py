"""Common-cause session: one question at a time for a group, with the effect of the answer beside it."""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st

from checks.analysis import beta_opinions
from checks.assessment import answer_effects, score_bands
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import method
from checks.assessment.results import FunctionResult, GroupResult
from checks.plantfile.consistency import ORDER
from checks.plantfile.plant import Asked
from checks.progress import open_questions
from checks.progress.open_questions import CAUSES, Place
from checks.questions.bank import Question
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, percent
from pages.charts.ladder_html import ladder
from pages.presentation.direction import isolated
from pages.presentation.wording import escaped, paragraphs, small_print, titled
from pages.session import answer_effect, beside_answer, layout, room_view, steps
from pages.session.walk import Walk, system_of
from pages.ui import frame, places, state
from pages.ui.frame import Shown
from scoring.methods import registry


def _scopes(current: State, group: str, question: Question) -> list[str]:
    addressees = ["plant", *(f"system:{key}" for key in current.assessment.links.systems_of[group]), f"group:{group}"]
    return [
        of for of in addressees if ORDER[of.partition(":")[0]] >= ORDER[question.asked_of] and current.is_answerable(of)
    ]


def _walk(current: State, group: str, bank: str) -> Walk:
    assessment, place = current.assessment, Place(bank, group)
    questions = open_questions.questions(assessment, place)
    return Walk(
        place=place,
        questions=list(questions.values()),
        answers={name: answer for name, answer in assessment.group(group).answers.items() if name in questions},
        system=system_of(current, place),
        scopes=lambda question: _scopes(current, group, question),
        own=lambda question: answer_effects.addressee(question, assessment, group=group, zone=None),
        check=lambda question: _coverage(current, group, question),
    )


def _coverage(current: State, group: str, question: Question) -> str:
    """Diagnostic coverage from the entered rates, for a question about it; empty for other questions."""
    if question.coverage is None:
        return ""
    low, high = question.coverage
    coverage = current.assessment.coverage(group)
    fits = low <= coverage < high or (high == 1.0 and coverage >= low)
    verdict = "in this range" if fits else "not in this range"
    return f"Cross-check: the entered rates give a diagnostic coverage of {percent(coverage)}, {verdict}."


def _shown(current: State, group: str, asked: Asked) -> tuple[object, ...]:
    """Results and records shown of a state, to be compared with a later one; most unchanged results are the same object."""
    assessment = current.assessment
    if group not in current.plant.groups:
        return (current.version,)
    functions = [assessment.function(name) for name in assessment.links.uses[group]]
    return (current.version.data, assessment.group(group), *functions, *beside_answer.shown(current, asked))


def _draw(live: Live, current: State) -> Shown | None:
    names = {key: titled(key, f"{isolated(each.name)} ({each.arrangement})") for key, each in current.groups.items()}
    if not names:
        frame.nothing_to_choose(current, "group")
        return None
    questioned = [key for key in current.groups if current.assessment.asked(key)]
    room_view.style()
    row = st.container(horizontal=True, vertical_alignment="bottom", key="places")
    with row:
        group = places.choose_place(current, "Group", "group", names, prefer=questioned, clear=("q",))
        bank = _bank(current, group)
    asked: Asked | None = None
    if open_questions.is_opinion(current.assessment, Place(bank, group)):
        asked = layout.draw(
            live,
            current,
            _walk(current, group, bank),
            lambda earlier: answer_effect.of_opinion(current, group, bank, earlier),
        )
    elif current.assessment.asked(group):
        asked = layout.draw(
            live, current, _walk(current, group, bank), lambda earlier: _effect(live, current, group, earlier)
        )
    else:
        _not_asked(current, current.assessment.group(group))
    with row:  # drawn last, so that an answer's effect shows sooner
        steps.between(list(names), group, "group")
    return None if asked is None else lambda later: _shown(later, group, asked)


def _bank(current: State, group: str) -> str:
    """Draw the choice of the method that asks; returns its bank. Raises Gone where the address names no method."""
    if not beta_opinions.asks(current.plant.groups[group]):
        return CAUSES
    carries = current.assessment.editions.bank_of(group)
    options = {CAUSES: current.assessment.editions.beta.about.label}
    options |= {method.bank: method.about.label for method in registry.ASKED_BETA.editions().values()}
    options[carries] += ", carries the result" if carries != CAUSES else ""
    asked = current.assessment.banks.questions.get(state.at("q") or "")
    chosen = state.at("method") or (asked.bank if asked is not None and asked.bank in options else carries)
    if chosen not in options:
        raise state.Gone("method", chosen)
    places.chooser("Questions of", "choose_method", options, chosen, follows=("method", "q"))
    return chosen


def _not_asked(current: State, result: GroupResult) -> None:
    group = current.plant.groups[result.id]
    if group.stated_beta is not None:
        source = escaped(group.stated_beta.source) or "no source given"
        st.info(
            f"This group uses a specified beta of {percent(group.stated_beta.beta)} ({source}) instead of the questionnaire."
        )
    elif group.stated_result is not None:
        st.info(
            f"The result of this group is stated ({escaped(group.stated_result.source)}), so it has no beta and no question. "
            f"{escaped(group.stated_result.covers)}"
        )
    elif result.voting.n > 1:
        st.info(
            f"{result.voting} needs every channel: no fault tolerance, so there is no beta. "
            "A common cause does not make it worse, since one failure already defeats it. "
            "The equation counts the failures of every channel and gives no credit for those that coincide."
        )
    else:
        st.info("One channel: no fault tolerance, so there is no beta and no common-cause question.")


def _betas(current: State, result: GroupResult, before: GroupResult) -> Iterator[str]:
    """Paragraphs on beta: present and before the answer, and what it rests on."""
    betas, earlier = result.betas, before.betas
    if betas is None or earlier is None:
        return
    change = f", was {percent(earlier.beta)}" if earlier.beta != betas.beta else ""
    yield f"**Beta {percent(betas.beta)}**{change}"
    if room_view.is_on():
        return
    score = f"; S = {result.score.s:g}" if result.score else ""
    remarks = [f"1oo2 value {percent(betas.beta_int)} × MooN factor {betas.voting_factor:g}{score}"]
    remarks += _own_method(current, result.id)
    if result.exposure is None:
        remarks.append("zone not reviewed, so the result with the cyber scenario is unknown")
    elif not current.plant.groups[result.id].programmable:
        remarks.append("not programmable, so no cyber exposure of its own")
    else:
        remarks.append(f"with the cyber scenario, exposure {percent(result.exposure)}: {percent(betas.beta_adjusted)}")
    if result.beta_band is not None:
        best, worst = result.beta_band
        remarks.append(
            f"between {percent(best)} and {percent(worst)} while questions are open and claims lack evidence"
        )
    yield small_print("; ".join(remarks) + ".")
    yield from map(small_print, _thin(current, result))


def _own_method(current: State, group: str) -> Iterator[str]:
    """The method of a group that has one of its own, with its equation and the reason for it."""
    if group not in current.assessment.editions.betas_of_groups:
        return
    found = beta_opinions.of_group(current.assessment, group)
    if found is not None:
        yield f"method of this group: {escaped(found.carried.label)}, {escaped(found.carried.name)} ({escaped(found.carried.reason.rstrip(' .'))})"
        yield from map(escaped, found.carried.worked)


def _thin(current: State, result: GroupResult) -> Iterator[str]:
    """Names the kinds of measure that contribute under 5 % of the score: a good beta from one kind alone is doubtful."""
    claimed = {name for name, answer in result.answers.items() if answer.claimed}
    thin = current.assessment.beta_method(result.id).thin(result.part, claimed)
    rows, questions = current.assessment.questioned(result.id), current.assessment.banks.common_cause
    titles = dict.fromkeys(questions[name].section_title for name, row in rows.items() if row.category in thin)
    if titles:
        yield f"Each of these contributes under 5 % of the score: {escaped(', '.join(titles))}."


def _effect(live: Live, current: State, group: str, earlier: Assessment) -> None:
    result, before = current.assessment.group(group), earlier.group(group)
    st.markdown(paragraphs(answer_effect.HEAD, *_betas(current, result, before)))
    climbed = _ladder(current, before)
    worst = current.assessment.worst_by_common_cause([group])
    if worst is None:
        if climbed:
            st.html(climbed)
        st.caption("No safety function uses this group.")
        return
    answer_effect.moving_rail(current, worst, earlier, above=climbed)
    rows = _results(group, worst, earlier.function(worst.id), before, result)
    if room_view.is_on():
        label = f"{measure_name(worst.demand)} of {escaped(worst.id)} with common cause"
        st.markdown(answer_effect.moved(label, worst.demand, *rows[0][1:]))
        answer_effect.beside(live, current, worst)
        return
    lines = [f"| {measure_name(worst.demand)}, common cause | before this answer | now |", "|---|---:|---:|"]
    lines += [
        f"| {escaped(label)} | {measure(worst.demand, old)} | **{measure(worst.demand, new)}** |"
        for label, old, new in rows
    ]
    remarks = (*answer_effect.worse_elsewhere(current, [group], worst), escaped(method(current.plant)))
    st.markdown(paragraphs("\n".join(lines), *map(small_print, remarks)))
    answer_effect.beside(live, current, worst)


def _results(
    group: str, worst: FunctionResult, previous: FunctionResult, before: GroupResult, result: GroupResult
) -> list[tuple[str, float, float]]:
    """Results before the answer and now: of the function in two cases, and of the group alone."""
    return [
        (worst.id, previous.cases.scored, worst.cases.scored),
        ("cyber scenario", previous.cases.adjusted, worst.cases.adjusted),
        (f"{group} alone", before.measured(worst.measure).cases.scored, result.measured(worst.measure).cases.scored),
    ]


def _ladder(current: State, before: GroupResult) -> str:
    """The ladder of the bands of beta as HTML; empty where no score gives it."""
    here = score_bands.of_group(current.assessment, before.id)
    return "" if here is None else ladder(here, frame.palette(), None if before.score is None else before.score.s)


page = frame.screen(_draw, needs="see the common-cause answers", place="group", answers=True)
