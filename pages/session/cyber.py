"""Cyber session: one question at a time for a zone, with levels, exposure and adjusted betas beside it."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks import decisive
from checks.assess import Assessment
from checks.bank import Question
from checks.figures import NONE, measure, measure_name, percent
from checks.live import Live, State
from checks.results import ZoneResult
from pages.shared import frame
from pages.shared.charts import CONFIG
from pages.shared.levels import level_rows
from pages.shared.rails import rail, rails
from pages.shared.walk import Walk, draw, listing, progress
from pages.shared.wording import plain, titled
from scoring.exposure import SCENARIO

BANKS = {"cyber": "60 exposure topics", "requirements": "100 requirements of IEC 62443-3-3"}


def _scopes(zone: str, question: Question) -> list[str]:
    return ["plant", f"zone:{zone}"] if question.asked_of == "plant" else [f"zone:{zone}"]


def _walk(now: State, zone: str, bank: str) -> Walk:
    assessment = now.assessment
    questions = {"cyber": assessment.banks.cyber, "requirements": assessment.banks.requirements}[bank]
    return Walk(
        questions=list(questions.values()),
        held={name: one for name, one in assessment.zone(zone).held.items() if name in questions},
        scopes=lambda question: _scopes(zone, question),
        own=lambda question: decisive.addressee(question, assessment, group=None, zone=zone),
        open_effects=lambda: decisive.open_topics_of_zone(assessment, zone) if bank == "cyber" else [],
    )


def _draw(live: Live, now: State) -> None:
    if not now.plant.zones:
        st.info("No zone is described yet: import a plant file on the Plant screen.")
        return
    names = {key: titled(key, one.name) for key, one in now.plant.zones.items()}
    safety = [key for key, one in now.plant.zones.items() if one.safety_related]
    left, right = st.columns([1, 1])
    with left:
        zone = frame.choose("Zone", "zone", names, default=safety[0] if safety else None, clear=("q",))
    with right:
        bank = frame.choose("Questions", "bank", BANKS, clear=("q",))
    walk = _walk(now, zone, bank)
    left, right = st.columns([7, 5], gap="large")
    with left:
        question, scope = draw(live, now, walk)
    with right:
        _effect(now, zone, now.before(question.id, scope))
    progress(walk)
    with st.expander("All answers of this zone"):
        st.dataframe(pd.DataFrame(listing(now, walk)), hide_index=True, key="answers", alt="All answers of this zone")


def _effect(now: State, key: str, earlier: Assessment) -> None:
    st.markdown("**What this answer does**")
    zone, was = now.assessment.zone(key), earlier.zone(key)
    if not zone.reviewed:
        st.caption("Not reviewed yet: the first answer to a topic of this zone begins its review.")
    _gaps(zone, was)
    rows = level_rows(zone)
    st.markdown(
        "\n".join(
            ["| | target | indicated | short | asked |", "|---|---:|---:|---:|---:|"]
            + [
                f"| {row['Requirement']} | {row['Target']} | {row['Indicated']} | {row['Short']} | {row['Asked']} |"
                for row in rows
            ]
        )
    )
    worst = now.assessment.worst_function(zone.groups)
    if worst is None:
        st.caption("No group lies in this zone: its answers show in levels and gaps only.")
        return
    drawn = rail(worst, now.plant.functions[worst.id].name, before=earlier.function(worst.id))
    axis = "risk reduction factor" if worst.demand == "low" else "hours to a dangerous failure, 1/PFH"
    figure = rails([drawn], frame.palette(), axis=axis, legend=False)
    st.plotly_chart(figure, key="effect", theme=None, config=CONFIG, alt=f"{worst.id}: {drawn.figures}")
    _groups(now, zone, earlier)
    before, after = (measure(worst.demand, one.cases.adjusted) for one in (earlier.function(worst.id), worst))
    st.markdown(f"{measure_name(worst.demand)} of {plain(worst.id)}: {before} before this answer, **{after}** now.")
    st.caption(f"{SCENARIO[0].upper()}{SCENARIO[1:]}.")
    frame.rule(now)


def _gaps(zone: ZoneResult, was: ZoneResult) -> None:
    if zone.reviewed:
        change = len(zone.gaps) - len(was.gaps)
        moved = f" ({change:+d} by this answer)" if change else ""
        st.markdown(f"**{len(zone.gaps)} gaps**{moved}; {zone.asked} of 100 requirements asked.")


def _groups(now: State, zone: ZoneResult, earlier: Assessment) -> None:
    lines = ["| group | exposure | beta scored | adjusted before | adjusted now |", "|---|---:|---:|---:|---:|"]
    for key in zone.groups[:12]:
        one, old = now.assessment.group(key), earlier.group(key)
        exposure = percent(one.exposure)
        if one.betas is None or old.betas is None:
            lines.append(f"| {plain(key)} | {exposure} | no redundancy | {NONE} | {NONE} |")
            continue
        before, after = percent(old.betas.beta_adjusted), percent(one.betas.beta_adjusted)
        lines.append(f"| {plain(key)} | {exposure} | {percent(one.betas.beta)} | {before} | **{after}** |")
    st.markdown("\n".join(lines))
    if len(zone.groups) > 12:
        st.caption(f"12 of {len(zone.groups)} groups shown.")


page = frame.screen(_draw)
