"""Common-cause session: one question at a time for a group, with its effect beside it."""

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

HEAD = "**What this answer does**"


def _scopes(now: State, group: str, question: Question) -> list[str]:
    every = ["plant", *(f"system:{key}" for key in now.assessment.links.systems_of[group]), f"group:{group}"]
    return [of for of in every if ORDER[of.partition(":")[0]] >= ORDER[question.asked_of] and now.takes(of)]


def _walk(now: State, group: str) -> Walk:
    assessment = now.assessment
    rows = assessment.questioned(group)
    return Walk(
        name=f"group {group}",
        questions=[one for name, one in assessment.banks.common_cause.items() if name in rows],
        held={name: one for name, one in assessment.group(group).held.items() if name in rows},
        scopes=lambda question: _scopes(now, group, question),
        own=lambda question: answer_effects.addressee(question, assessment, group=group, zone=None),
        open_effects=lambda: answer_effects.open_questions_of_group(fresh_start.as_shown(now), group),
        check=lambda question: _coverage(now, group, question),
    )


def _coverage(now: State, group: str, question: Question) -> str:
    """What the entered rates say of a question about diagnostic coverage; empty for other questions."""
    if question.coverage is None:
        return ""
    low, high = question.coverage
    found = now.assessment.coverage(group)
    fits = low <= found < high or (high == 1.0 and found >= low)
    verdict = "in this range" if fits else "not in this range"
    return f"Cross-check: the entered rates give a diagnostic coverage of {percent(found)}, {verdict}."


def _shown(now: State, group: str, asked: Asked) -> tuple[object, ...]:
    """Results and records that this screen shows of a state; a result that nothing touched is mostly the same object."""
    held = now.assessment
    if group not in now.plant.groups:
        return (now.version,)
    functions = [held.function(name) for name in held.links.uses[group]]
    return (now.version.data, held.group(group), *functions, *evidence_forms.shown(now, asked))


def _draw(live: Live, now: State) -> Shown | None:
    names = {key: titled(key, f"{one.name} ({one.voting})") for key, one in now.groups.items()}
    if not names:
        frame.nothing(now, "group")
        return None
    asked = [key for key in now.groups if now.assessment.questioned(key)]
    group = frame.choose("Group", "group", names, default=asked[0] if asked else None, clear=("q",))
    result = now.assessment.group(group)
    if not now.assessment.questioned(group):
        _not_asked(now, result)
        return None
    walk = _walk(now, group)
    question = walk.current()
    scope = walk.scope(question)
    left, right = st.columns([7, 5], gap="large")
    with right:  # first: the effect is what an answer is waited for
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
            f"{result.voting} needs every channel, so there is no fault tolerance, and no beta to ask for. "
            "A common cause does not make it worse: two failures at one moment defeat it no more than one does. "
            "The equation counts every channel's failures and gives no credit for those that coincide."
        )
    else:
        st.info("One channel shares nothing with another: there is no beta, and no common-cause question to ask.")


def _betas(now: State, result: GroupResult, before: GroupResult) -> None:
    betas, was = result.betas, before.betas
    if betas is None or was is None or result.score is None:
        st.markdown(HEAD)
        return
    moved = f", was {percent(was.beta)}" if was.beta != betas.beta else ""
    st.markdown(f"{HEAD}\n\n**Beta {percent(betas.beta)}**{moved}")
    missing = now.assessment.editions.beta.missing(result.part, result.score.s)
    said = [f"1oo2 value {percent(betas.beta_int)} × MooN factor {betas.voting_factor:g}; S = {result.score.s:g}"]
    said.append("best band" if missing is None else f"{missing:g} points to the next better band")
    if result.exposure is None:
        said.append("zone not reviewed, so the cyber scenario is not known")
    elif not now.plant.groups[result.id].programmable:
        said.append("not programmable, so no cyber exposure of its own")
    else:
        said.append(f"with the cyber scenario, exposure {percent(result.exposure)}: {percent(betas.beta_adjusted)}")
    if result.beta_band is not None:
        best, worst = result.beta_band
        said.append(f"between {percent(best)} and {percent(worst)} while questions are open and claims lack evidence")
    st.caption("\n\n".join(("; ".join(said) + ".", *_thin(now, result))))


def _thin(now: State, result: GroupResult) -> Iterator[str]:
    """The kinds of defence that the score hardly rests on: a good beta from one kind alone is to be doubted."""
    claimed = {name for name, one in result.held.items() if one.claimed}
    thin = common_cause.thin_categories(result.part, claimed)
    asked, every = now.assessment.questioned(result.id), now.assessment.banks.common_cause
    titles = dict.fromkeys(every[name].section_title for name, row in asked.items() if row.category in thin)
    if titles:
        yield f"Each of these contributes under 5 % of the score: {plain(', '.join(titles))}."


def _effect(now: State, group: str, earlier: Assessment) -> None:
    result, before = now.assessment.group(group), earlier.group(group)
    _betas(now, result, before)
    worst = now.assessment.worst_by_common_cause([group])
    if worst is None:
        st.caption("No function uses this group.")
        return
    was = earlier.function(worst.id)
    answer_effect.moving_rail(now, worst, earlier)
    rows = [
        (worst.id, was.cases.scored, worst.cases.scored),
        ("cyber scenario", was.cases.adjusted, worst.cases.adjusted),
        (f"{group} alone", worst.group_cases(before).scored, worst.group_cases(result).scored),
    ]
    lines = [f"| {measure_name(worst.demand)}, common cause | before this answer | now |", "|---|---:|---:|"]
    lines += [
        f"| {plain(of)} | {measure(worst.demand, old)} | **{measure(worst.demand, new)}** |" for of, old, new in rows
    ]
    st.markdown("\n".join(lines))
    frame.rule(now, *answer_effect.worse_elsewhere(now, [group], worst))


page = frame.screen(_draw, needs="see the common-cause answers")
