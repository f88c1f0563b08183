"""Common-cause session: one question at a time for a group, with the effect of the answer beside it."""

from __future__ import annotations

from collections.abc import Iterator

import streamlit as st

from checks.assessment import answer_effects
from checks.assessment.assessment import Assessment
from checks.assessment.results import GroupResult
from checks.plantfile.consistency import ORDER
from checks.plantfile.plant import Asked
from checks.questions.bank import Question
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, percent
from checks.visibility import fresh_start
from pages.presentation.wording import plain, titled
from pages.session import answer_effect, evidence_forms
from pages.session.progress import asked_in, listed, progress
from pages.session.question_panel import Walk, draw
from pages.ui import frame
from pages.ui.frame import Shown
from scoring import common_cause

HEAD = "**Effect of this answer**"


def _scopes(now: State, group: str, question: Question) -> list[str]:
    addressees = ["plant", *(f"system:{key}" for key in now.assessment.links.systems_of[group]), f"group:{group}"]
    return [of for of in addressees if ORDER[of.partition(":")[0]] >= ORDER[question.asked_of] and now.takes(of)]


def _walk(now: State, group: str) -> Walk:
    assessment = now.assessment
    rows = assessment.questioned(group)
    return Walk(
        name=f"group {group}",
        questions=[question for name, question in assessment.banks.common_cause.items() if name in rows],
        held={name: answer for name, answer in assessment.group(group).held.items() if name in rows},
        scopes=lambda question: _scopes(now, group, question),
        own=lambda question: answer_effects.addressee(question, assessment, group=group, zone=None),
        open_effects=lambda: answer_effects.open_questions_of_group(fresh_start.as_shown(now), group),
        check=lambda question: _coverage(now, group, question),
    )


def _coverage(now: State, group: str, question: Question) -> str:
    """Diagnostic coverage from the entered rates, for a question about it; empty for other questions."""
    if question.coverage is None:
        return ""
    low, high = question.coverage
    coverage = now.assessment.coverage(group)
    fits = low <= coverage < high or (high == 1.0 and coverage >= low)
    verdict = "in this range" if fits else "not in this range"
    return f"Cross-check: the entered rates give a diagnostic coverage of {percent(coverage)}, {verdict}."


def _shown(now: State, group: str, asked: Asked) -> tuple[object, ...]:
    """Results and records shown of a state, to be compared with a later one; most unchanged results are the same object."""
    assessment = now.assessment
    if group not in now.plant.groups:
        return (now.version,)
    functions = [assessment.function(name) for name in assessment.links.uses[group]]
    return (now.version.data, assessment.group(group), *functions, *evidence_forms.shown(now, asked))


def _draw(live: Live, now: State) -> Shown | None:
    names = {key: titled(key, f"{each.name} ({each.voting})") for key, each in now.groups.items()}
    if not names:
        frame.nothing(now, "group")
        return None
    questioned = [key for key in now.groups if now.assessment.questioned(key)]
    group = frame.choose("Group", "group", names, default=questioned[0] if questioned else None, clear=("q",))
    result = now.assessment.group(group)
    if not now.assessment.questioned(group):
        _not_asked(now, result)
        return None
    walk = _walk(now, group)
    question = walk.current()
    scope = walk.scope(question)
    left, right = st.columns([7, 5], gap="large")
    with right:  # drawn first: the user waits for the effect
        _effect(now, group, now.before(question.id, scope))
    with left:
        draw(live, now, walk, question)
        evidence_forms.draw(live, now, (question.id, scope))
    progress(walk)
    evidence_forms.reveal(live, now, asked_in(walk))
    listed(now, walk, "All answers of this group")
    return lambda later: _shown(later, group, (question.id, scope))


def _not_asked(now: State, result: GroupResult) -> None:
    group = now.plant.groups[result.id]
    if group.stated_beta is not None:
        source = plain(group.stated_beta.source) or "no source given"
        st.info(
            f"This group uses a specified beta of {percent(group.stated_beta.beta)} ({source}) instead of the questionnaire."
        )
    elif group.voting.n > 1:
        st.info(
            f"{result.voting} needs every channel: no fault tolerance, so there is no beta. "
            "A common cause does not make it worse, since one failure already defeats it. "
            "The equation counts the failures of every channel and gives no credit for those that coincide."
        )
    else:
        st.info("One channel: no fault tolerance, so there is no beta and no common-cause question.")


def _betas(now: State, result: GroupResult, before: GroupResult) -> None:
    betas, earlier = result.betas, before.betas
    if betas is None or earlier is None or result.score is None:
        st.markdown(HEAD)
        return
    change = f", was {percent(earlier.beta)}" if earlier.beta != betas.beta else ""
    st.markdown(f"{HEAD}\n\n**Beta {percent(betas.beta)}**{change}")
    missing = now.assessment.editions.beta.missing(result.part, result.score.s)
    remarks = [f"1oo2 value {percent(betas.beta_int)} × MooN factor {betas.voting_factor:g}; S = {result.score.s:g}"]
    remarks.append("best band" if missing is None else f"{missing:g} points to the next better band")
    if result.exposure is None:
        remarks.append("zone not reviewed, so the result with the cyber scenario is unknown")
    elif not now.plant.groups[result.id].programmable:
        remarks.append("not programmable, so no cyber exposure of its own")
    else:
        remarks.append(f"with the cyber scenario, exposure {percent(result.exposure)}: {percent(betas.beta_adjusted)}")
    if result.beta_band is not None:
        best, worst = result.beta_band
        remarks.append(
            f"between {percent(best)} and {percent(worst)} while questions are open and claims lack evidence"
        )
    st.caption("\n\n".join(("; ".join(remarks) + ".", *_thin(now, result))))


def _thin(now: State, result: GroupResult) -> Iterator[str]:
    """Names the kinds of measure that contribute under 5 % of the score: a good beta from one kind alone is doubtful."""
    claimed = {name for name, answer in result.held.items() if answer.claimed}
    thin = common_cause.thin_categories(result.part, claimed)
    rows, questions = now.assessment.questioned(result.id), now.assessment.banks.common_cause
    titles = dict.fromkeys(questions[name].section_title for name, row in rows.items() if row.category in thin)
    if titles:
        yield f"Each of these contributes under 5 % of the score: {plain(', '.join(titles))}."


def _effect(now: State, group: str, earlier: Assessment) -> None:
    result, before = now.assessment.group(group), earlier.group(group)
    _betas(now, result, before)
    worst = now.assessment.worst_by_common_cause([group])
    if worst is None:
        st.caption("No safety function uses this group.")
        return
    previous = earlier.function(worst.id)
    answer_effect.moving_rail(now, worst, earlier)
    rows = [
        (worst.id, previous.cases.scored, worst.cases.scored),
        ("cyber scenario", previous.cases.adjusted, worst.cases.adjusted),
        (f"{group} alone", worst.group_cases(before).scored, worst.group_cases(result).scored),
    ]
    lines = [f"| {measure_name(worst.demand)}, common cause | before this answer | now |", "|---|---:|---:|"]
    lines += [
        f"| {plain(label)} | {measure(worst.demand, old)} | **{measure(worst.demand, new)}** |"
        for label, old, new in rows
    ]
    st.markdown("\n".join(lines))
    frame.rule(now, *answer_effect.worse_elsewhere(now, [group], worst))


page = frame.screen(_draw, needs="see the common-cause answers")
