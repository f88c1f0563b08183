"""Waiting times at the screen: from start to first chart, from an answer to its figures, between screens."""

from __future__ import annotations

from math import inf
from pathlib import Path
from time import perf_counter

from playwright.sync_api import Browser, Page

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.state.live import Live
from checks.text.number_format import measure as shown
from tests import demo_database
from tests.bench.app import AppFailed, page, running
from tests.bench.clicks import Question, settled, timed, warm
from tests.bench.figures import Line, time

CHART = ".js-plotly-plot .main-svg"
WAYS = ".st-key-look_at_demo button"
BARE = "tests/bench/bare.py"
SCREENS = {
    "Common-cause session": ("choose_group", "jump"),
    "Cyber session": ("choose_bank", "jump"),
    "Redundancy left": ("choose_function", "steps"),
    "Zones and gaps": ("choose_zone", "filter_answer"),
    "Reach of a compromise": ("choose_foothold", "reach_map"),
    "What to fix first": ("choose_fix", "enter_efforts"),
    "Plant": ("rails_low", "open"),
}
"""Each screen by its name, with the widgets that identify it. It is complete when the script run that drew them has ended."""
LINKS = {"Common-cause session": "Answer", "Redundancy left": "Results"}
"""The first screen of a section opens by the link of its section."""

ROUNDS = 4
ANSWERED = 60


def _widget(name: str) -> str:
    """Selector of a widget. Its name may have a number appended, where it replaced another widget."""
    return f"[class*=' st-key-{name}']"


def _first_paint(chromium: Browser, url: str, shown: str = CHART) -> tuple[float, float]:
    """Times from the start command to the app listening and to the first chart of the Plant screen, or what is named."""
    with page(chromium) as at, running(url) as app:
        at.goto(app.address)
        at.locator(shown).first.wait_for(state="visible")
        return app.listened, perf_counter() - app.begun


def _moves(at: Page) -> list[Line]:
    """Times from a click in the navigation to the complete screen; a screen that never completes is not tried again."""
    times: dict[str, list[float]] = {name: [] for name in SCREENS}
    for _ in range(ROUNDS):
        for name in (name for name, took in times.items() if inf not in took):
            link = at.get_by_role("link", name=LINKS.get(name, name), exact=True).first
            times[name].append(timed(link, list(map(_widget, SCREENS[name])), scope="screen").get("idle", inf))
            settled(at)
    return [
        Line(f"large plant: move to {name}", took, aim=1.0, said=f"first {time(took[0])}")
        for name, took in times.items()
    ]


def _movable(assessment: Assessment) -> tuple[str, str]:
    """A group and one of its questions whose answer changes the figure of the worst function."""

    def figure(group: str, question: str, value: str) -> str:
        answer = Answer.model_validate({"question": question, "of": f"group:{group}", "value": value})
        worst = assessment.with_answers([answer]).worst_by_common_cause([group])
        return shown(worst.demand, worst.cases.scored) if worst else ""

    for group in assessment.plant.groups:
        given_answers: Answers = assessment.answers
        for question in (name for name in assessment.questioned(group) if given_answers.get(name, f"group:{group}")):
            if figure(group, question, "met") != figure(group, question, "not-met"):
                return group, question
    raise AppFailed("no answer of the large plant moves a figure")


def on_demo(chromium: Browser, folder: str) -> list[Line]:
    """Start of the app on an empty database and on the demo plant, and answers there."""
    empty = [_first_paint(chromium, f"sqlite:///{folder}/empty-{turn}.sqlite3", WAYS)[1] for turn in range(3)]
    url = f"sqlite:///{folder}/demo.sqlite3"
    demo_database.written(Path(folder) / "demo.sqlite3")
    starts = [_first_paint(chromium, url) for _ in range(3)]
    lines = [
        Line("empty database: start to first screen", empty, aim=3.0),
        Line("demo plant: start to first chart", [start[1] for start in starts], aim=4.0),
        Line("demo plant: … of it until the app listens", [start[0] for start in starts]),
    ]
    return lines + answers(chromium, url)


def answers(chromium: Browser, url: str) -> list[Line]:
    """Answers on the demo plant, alternating with clicks in a bare app, so that other load affects both."""
    with page(chromium) as at, page(chromium) as beside, running(url) as app, running(url, BARE) as alone:
        question = Question(at, app, "/common-cause?group=esv-501&q=TST1")
        bare = Question(beside, alone)
        warm([question, bare])
        for _ in range(ANSWERED):
            question.answer()
            bare.answer()
    lines = [Line("bare framework: click on an answer to its name", bare.times("table")), bare.cost("bare framework")]
    return lines + question.lines("demo plant", bare)


def on_large(chromium: Browser, url: str) -> list[Line]:
    """Screens and answers on the large plant, which the store at ``url`` already has."""
    store = Store(url)
    group, question = _movable(Live(store, next(iter(store.plants()))).state().assessment)
    store.engine.dispose()
    with page(chromium) as at, running(url) as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        first = perf_counter() - app.begun
        settled(at)
        lines = [Line("large plant: start to first chart", [first]), *_moves(at)]
        asked = Question(at, app, f"/common-cause?group={group}&q={question}")
        for _ in range(20):
            asked.answer()
    return lines + asked.lines("large plant")
