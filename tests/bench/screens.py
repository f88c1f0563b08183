"""How long a person waits at the screen: from the start to the first chart, from an answer to the figures, between screens."""

from __future__ import annotations

from math import inf
from time import perf_counter

from playwright.sync_api import Browser, Page

from checks.answers import Answers
from checks.assess import Assessment
from checks.figures import measure as shown
from checks.groups import questioned
from checks.live import Live
from checks.plant import Answer
from checks.store.store import Store
from tests.bench.app import AppFailed, page, running
from tests.bench.figures import Line, time

CHART = ".js-plotly-plot .main-svg"
SCREENS = {
    "Common-cause session": ".st-key-choose_group .st-key-jump",
    "Cyber session": ".st-key-choose_bank .st-key-jump",
    "Redundancy left": ".st-key-choose_function .st-key-steps",
    "Zones and gaps": ".st-key-choose_zone .st-key-filter_answer",
    "Plant": ".st-key-rails_low .st-key-open",
}
"""Each screen by its link, with the widgets by which it is known. It is whole when the run that drew them has ended."""

ROUNDS = 4

_WATCH = """
([scope, parts]) => {
  const now = () => {
    const head = [...document.querySelectorAll('table')].find((one) => one.querySelector('th:last-child')?.innerText === 'now');
    return head?.querySelector('tbody td:last-child')?.innerText;
  };
  const chart = () => document.querySelector('.st-key-effect .main-svg .infolayer')?.textContent;
  const idle = () => document.querySelector('[data-testid=stApp]').dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-stale=true], [data-testid=stSkeleton]');
  const drawn = () => parts.every((one) => document.querySelector(one))
    && [...document.querySelectorAll('.js-plotly-plot')].every((one) => one.querySelector('.main-svg'));
  const before = [now(), chart()];
  const ends = scope === 'answer'
    ? { table: () => now() && now() !== before[0], chart: () => chart() && chart() !== before[1], idle }
    : { drawn, idle: () => drawn() && idle() };
  window.__took = new Promise((resolve) => document.addEventListener('click', (event) => {
    const took = {}, begun = event.timeStamp;
    const look = () => {
      for (const [name, reached] of Object.entries(ends)) {
        if (!(name in took) && (name !== 'idle' || Object.keys(took).length === Object.keys(ends).length - 1) && reached()) {
          took[name] = performance.now() - begun;
        }
      }
      const over = performance.now() - begun > 10000;
      if (over || Object.keys(took).length === Object.keys(ends).length) { resolve(took); } else { requestAnimationFrame(look); }
    };
    requestAnimationFrame(look);
  }, { capture: true, once: true }));
}
"""


def _first_paint(held: Browser, url: str) -> tuple[float, float]:
    """Times from the start command to the app listening and to the first chart of the Plant screen."""
    with page(held) as at, running(url) as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        return app.listened, perf_counter() - app.begun


def _settled(at: Page) -> None:
    at.locator("[data-testid=stApp][data-test-script-state=notRunning]").wait_for()
    at.wait_for_timeout(250)


def _took(at: Page) -> dict[str, float]:
    """Times from the click to each end that was reached [s]."""
    took: dict[str, float] = at.evaluate("window.__took")
    return {name: value / 1000.0 for name, value in took.items()}


def _answered(at: Page, address: str, *, group: str, question: str, times: int) -> list[dict[str, float]]:
    """Times from the click on an answer to the figures in the table, in the chart, and the end of the run.

    A screen that has moved on to another question is brought back first.
    """
    here = f"{address}/common-cause?group={group}&q={question}"
    answers = at.get_by_role("radiogroup", name="Answer")
    found: list[dict[str, float]] = []
    for _ in range(times):
        if at.url != here:
            at.goto(here)
            answers.wait_for()
            _settled(at)
        met = answers.get_by_role("radio", name="Met", exact=True)
        other = answers.get_by_role("radio", name="Not met", exact=True)
        at.evaluate(_WATCH, ["answer", []])
        (other if met.get_attribute("aria-checked") == "true" else met).click()
        found.append(_took(at))
        if "table" not in found[-1]:
            raise AppFailed(f"10 s after an answer its figure has not changed: {at.url}")
        _settled(at)
    return found


def _answer_lines(where: str, found: list[dict[str, float]]) -> list[Line]:
    def times(name: str) -> list[float]:
        return [one[name] for one in found if name in one]

    return [
        Line(f"{where}: click on an answer to the new figure", times("table"), aim=0.150, aim_p95=0.300),
        Line(f"{where}: … to the redrawn chart", times("chart")),
        Line(f"{where}: … to the end of the run", times("idle")),
    ]


def _moves(at: Page) -> list[Line]:
    """Times from the click on a link of the top navigation to the whole screen; one that never comes is left at once."""
    found: dict[str, list[float]] = {name: [] for name in SCREENS}
    for _ in range(ROUNDS):
        for name in (name for name, took in found.items() if inf not in took):
            at.evaluate(_WATCH, ["screen", SCREENS[name].split()])
            at.get_by_role("link", name=name, exact=True).first.click()
            found[name].append(_took(at).get("idle", inf))
            _settled(at)
    return [
        Line(f"large plant: move to {name}", took, aim=1.0, said=f"first {time(took[0])}")
        for name, took in found.items()
    ]


def _movable(assessment: Assessment) -> tuple[str, str]:
    """A group and a question of it by whose answer the figure of its worst function changes."""

    def figure(group: str, question: str, value: str) -> str:
        answer = Answer.model_validate({"question": question, "of": f"group:{group}", "value": value})
        then = assessment.with_answers([answer]).worst_by_shared_causes([group])
        return shown(then.demand, then.cases.adjusted) if then else ""

    for group, one in assessment.plant.groups.items():
        own: Answers = assessment.answers
        for question in (name for name in questioned(one) if own.get(name, f"group:{group}")):
            if figure(group, question, "met") != figure(group, question, "not-met"):
                return group, question
    raise AppFailed("no answer of the large plant moves a figure")


def on_demo(held: Browser, folder: str) -> list[Line]:
    """Start of the app and answers on the demo plant; the first start makes the database."""
    starts = [_first_paint(held, f"sqlite:///{folder}/demo.sqlite3") for _ in range(4)]
    lines = [
        Line("demo plant: start to first chart, new database", [starts[0][1]], aim=4.0),
        Line("demo plant: start to first chart", [one[1] for one in starts[1:]], aim=4.0),
        Line("demo plant: … of it until the app listens", [one[0] for one in starts[1:]]),
    ]
    with page(held) as at, running(f"sqlite:///{folder}/demo.sqlite3") as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        found = _answered(at, app.address, group="esv-501", question="TST1", times=60)
    return lines + _answer_lines("demo plant", found)


def on_large(held: Browser, url: str) -> list[Line]:
    """Screens and answers on the large plant, which is in the store at ``url`` already."""
    store = Store(url)
    group, question = _movable(Live(store, next(iter(store.plants()))).state().assessment)
    store.engine.dispose()
    with page(held) as at, running(url) as app:
        at.goto(app.address)
        at.locator(CHART).first.wait_for(state="visible")
        first = perf_counter() - app.begun
        _settled(at)
        lines = [Line("large plant: start to first chart", [first]), *_moves(at)]
        found = _answered(at, app.address, group=group, question=question, times=20)
    return lines + _answer_lines("large plant", found)
