"""How long a person waits at the screen: from the start to the first chart, from an answer to the figures, between screens."""

from __future__ import annotations

from math import inf
from time import perf_counter

from playwright.sync_api import Browser, Page

from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.state.live import Live
from checks.text.number_format import measure as shown
from tests.bench.app import AppFailed, page, running
from tests.bench.clicks import Question, settled, timed, warm
from tests.bench.figures import Line, time

CHART = ".js-plotly-plot .main-svg"
BARE = "tests/bench/bare.py"
SCREENS = {
    "Common-cause session": ("choose_group", "jump"),
    "Cyber session": ("choose_bank", "jump"),
    "Redundancy left": ("choose_function", "steps"),
    "Zones and gaps": ("choose_zone", "filter_answer"),
    "Plant": ("rails_low", "open"),
}
"""Each screen by its link, with the widgets by which it is known. It is whole when the run that drew them has ended."""

ROUNDS = 4
ANSWERED = 60


def _widget(name: str) -> str:
    """Selector of a widget. A number may stand behind its name: it took another's place."""
    return f"[class*=' st-key-{name}']"


def _first_paint(held: Browser, url: str) -> tuple[float, float]:
    """Times from the start command to the app listening and to the first chart of the Plant screen."""
    with page(held) as at, running(url) as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        return app.listened, perf_counter() - app.begun


def _moves(at: Page) -> list[Line]:
    """Times from the click on a link of the top navigation to the whole screen; one that never comes is left at once."""
    found: dict[str, list[float]] = {name: [] for name in SCREENS}
    for _ in range(ROUNDS):
        for name in (name for name, took in found.items() if inf not in took):
            link = at.get_by_role("link", name=name, exact=True).first
            found[name].append(timed(link, list(map(_widget, SCREENS[name])), scope="screen").get("idle", inf))
            settled(at)
    return [
        Line(f"large plant: move to {name}", took, aim=1.0, said=f"first {time(took[0])}")
        for name, took in found.items()
    ]


def _movable(assessment: Assessment) -> tuple[str, str]:
    """A group and a question of it by whose answer the figure of its worst function changes."""

    def figure(group: str, question: str, value: str) -> str:
        answer = Answer.model_validate({"question": question, "of": f"group:{group}", "value": value})
        then = assessment.with_answers([answer]).worst_by_common_cause([group])
        return shown(then.demand, then.cases.scored) if then else ""

    for group in assessment.plant.groups:
        own: Answers = assessment.answers
        for question in (name for name in assessment.questioned(group) if own.get(name, f"group:{group}")):
            if figure(group, question, "met") != figure(group, question, "not-met"):
                return group, question
    raise AppFailed("no answer of the large plant moves a figure")


def on_demo(held: Browser, folder: str) -> list[Line]:
    """Start of the app and answers on the demo plant; the first start makes the database."""
    url = f"sqlite:///{folder}/demo.sqlite3"
    starts = [_first_paint(held, url) for _ in range(4)]
    lines = [
        Line("demo plant: start to first chart, new database", [starts[0][1]], aim=4.0),
        Line("demo plant: start to first chart", [one[1] for one in starts[1:]], aim=4.0),
        Line("demo plant: … of it until the app listens", [one[0] for one in starts[1:]]),
    ]
    return lines + answers(held, url)


def answers(held: Browser, url: str) -> list[Line]:
    """Answers on the demo plant in turn with clicks in a bare app: what loads the machine meanwhile loads both."""
    with page(held) as at, page(held) as beside, running(url) as app, running(url, BARE) as alone:
        question = Question(at, app, "/common-cause?group=esv-501&q=TST1")
        bare = Question(beside, alone)
        warm([question, bare])
        for _ in range(ANSWERED):
            question.answer()
            bare.answer()
    lines = [Line("bare framework: click on an answer to its name", bare.times("table")), bare.cost("bare framework")]
    return lines + question.lines("demo plant", bare)


def on_large(held: Browser, url: str) -> list[Line]:
    """Screens and answers on the large plant, which is in the store at ``url`` already."""
    store = Store(url)
    group, question = _movable(Live(store, next(iter(store.plants()))).state().assessment)
    store.engine.dispose()
    with page(held) as at, running(url) as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        first = perf_counter() - app.begun
        settled(at)
        lines = [Line("large plant: start to first chart", [first]), *_moves(at)]
        asked = Question(at, app, f"/common-cause?group={group}&q={question}")
        for _ in range(20):
            asked.answer()
    return lines + asked.lines("large plant")
