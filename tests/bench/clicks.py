"""Times of a click, from its time stamp in the browser to the changed screen, and its processor time on the server."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import isnan
from pathlib import Path
from statistics import median

from playwright.sync_api import Locator, Page

from tests.bench.app import AppFailed, Running
from tests.bench.figures import Line

Took = dict[str, float]
"""Times from a click to each end reached [s]."""

_WATCH = """
([scope, parts]) => {
  const now = () => {
    const head = [...document.querySelectorAll('table')].find((one) => one.querySelector('th:last-child')?.textContent === 'now');
    return head?.querySelector('tbody td:last-child')?.textContent;
  };
  const rail = () => document.querySelector('.rails[role=img]')?.outerHTML;
  const idle = () => document.querySelector('[data-testid=stApp]').dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-stale=true], [data-testid=stSkeleton]');
  const drawn = () => parts.every((one) => document.querySelector(one))
    && [...document.querySelectorAll('.js-plotly-plot')].every((one) => one.querySelector('.main-svg'));
  const before = [now(), rail()];
  const ends = scope === 'screen' ? { drawn, idle: () => drawn() && idle() }
    : { table: () => now() && now() !== before[0], idle };
  if (scope === 'answer' && before[1]) { ends.rail = () => rail() && rail() !== before[1]; }
  window.__took = new Promise((resolve) => document.addEventListener('click', (event) => {
    const took = {}, begun = event.timeStamp;
    const look = () => {
      for (const [name, reached] of Object.entries(ends)) {
        const last = Object.keys(took).length === Object.keys(ends).length - 1;
        if (!(name in took) && (name !== 'idle' || last) && reached()) { took[name] = performance.now() - begun; }
      }
      const over = performance.now() - begun > 10000;
      if (over || Object.keys(took).length === Object.keys(ends).length) { resolve(took); } else { requestAnimationFrame(look); }
    };
    requestAnimationFrame(look);
  }, { capture: true, once: true }));
}
"""


def settled(at: Page) -> None:
    """Wait until no script run is active, and 250 ms more."""
    at.locator("[data-testid=stApp][data-test-script-state=notRunning]").wait_for()
    at.wait_for_timeout(250)


def timed(place: Locator, parts: Sequence[str] = (), *, scope: str = "answer") -> Took:
    """Click, and return the time to each end [s]: new figures after an answer, or all ``parts`` of another screen."""
    place.page.evaluate(_WATCH, [scope, list(parts)])
    place.click()
    took: Took = place.page.evaluate("window.__took")
    return {name: value / 1000.0 for name, value in took.items()}


def processor(process: int) -> float:
    """Processor time of a process with all its threads [s]; NaN on systems other than Linux."""
    if not sys.platform.startswith("linux"):
        return float("nan")
    # The process name may contain spaces and ends with the last bracket; user and system time are fields 14 and 15.
    fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@dataclass(slots=True)
class Question:
    """A page with six answers at one address, for repeated clicks."""

    page: Page
    app: Running
    place: str = "/"
    shown: str = ""
    """The address once the program has completed it."""
    took: list[Took] = field(default_factory=list)
    used: float = 0.0
    """Processor time of the server for these clicks [s], including its polling for changes."""

    def open(self) -> None:
        """Go to the question."""
        self.page.goto(self.app.address + self.place)
        self.page.get_by_role("radiogroup", name="Answer").wait_for()
        settled(self.page)
        self.shown = self.page.url

    def answer(self) -> None:
        """Choose the other of two answers, after returning to the question if the screen has moved to another one."""
        if self.page.url != self.shown:
            self.open()
        answers = self.page.get_by_role("radiogroup", name="Answer")
        met = answers.get_by_role("radio", name="Met", exact=True)
        other = answers.get_by_role("radio", name="Not met", exact=True)
        before = processor(self.app.process)
        self.took.append(timed(other if met.get_attribute("aria-checked") == "true" else met))
        if "table" not in self.took[-1]:
            raise AppFailed(f"10 s after an answer its figure has not changed: {self.page.url}")
        settled(self.page)
        self.used += processor(self.app.process) - before

    def times(self, name: str) -> list[float]:
        """Times to one of the ends [s]."""
        return [ends[name] for ends in self.took if name in ends]

    def painted(self) -> list[float]:
        """Times until table and rail both show the answer [s]."""
        return [max(ends["table"], ends.get("rail", 0.0)) for ends in self.took]

    def lines(self, where: str, bare: Question | None = None) -> list[Line]:
        """Lines of the table; with ``bare``, which was clicked alternately, also the ratio to it."""

        def ratio(of: Callable[[Question], list[float]]) -> str:
            return "" if bare is None else f"{median(of(self)) / median(of(bare)):.1f} times the bare framework"

        clicked = f"{where}: click on an answer"
        return [
            Line(
                f"{clicked} to the new figure",
                self.times("table"),
                0.150,
                0.300,
                ratio(lambda question: question.times("table")),
            ),
            Line(f"{where}: … to figure and rail", self.painted(), said=ratio(Question.painted)),
            Line(
                f"{where}: … to the end of the run",
                self.times("idle"),
                said=ratio(lambda question: question.times("idle")),
            ),
            self.cost(where),
        ]

    def cost(self, where: str) -> Line:
        """Line with the processor time of the server."""
        count = len(self.took)
        spent = [] if isnan(self.used) else [self.used / count]
        remark = f"mean of {count} clicks, including polling for changes" if spent else "measured on Linux only"
        return Line(f"{where}: … processor time of the server", spent, said=remark)


def warm(questions: Sequence[Question], *, rounds: int = 3) -> None:
    """Open each question and discard its first few answers, so that code and connections are loaded."""
    for question in questions:
        question.open()
    for _ in range(rounds):
        for question in questions:
            question.answer()
    for question in questions:
        question.took.clear()
        question.used = 0.0
