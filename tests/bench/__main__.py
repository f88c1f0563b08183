"""``python -m tests.bench``: run all measurements once and print the table. Takes some minutes; needs an idle machine."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from playwright.sync_api import sync_playwright

from checks.plantfile import plant_file
from demo.load import PLANT
from tests import postgres
from tests.bench import (
    at_once,
    command_line,
    fix_first,
    large_plant,
    reach,
    recorded,
    screens,
    set_up,
    storing,
    timeline,
    uncertainty,
)
from tests.bench.app import browser
from tests.bench.figures import Line, once, table, time

GROUPS = ("pt-301", "esv-301", "tt-302", "pt-401", "pt-501", "esv-501", "gd-702", "con-210")
PLACES = [
    f"/common-cause?group={GROUPS[at % len(GROUPS)]}&q={('DIV3', 'ENV2', 'TST1')[at // len(GROUPS)]}"
    for at in range(at_once.PEOPLE)
]
"""Address for each of twenty people: a question and group that nobody else answers."""


def _report_done(step: str, lines: list[Line]) -> list[Line]:
    print(f"{step}: done", file=sys.stderr, flush=True)
    return lines


def main() -> int:
    """Measure and print; returns 0 even if an aim is missed, because this is not a test."""
    begun, busy = perf_counter(), os.getloadavg()[0]
    with TemporaryDirectory(prefix="bench-", ignore_cleanup_errors=True) as folder, sync_playwright() as playwright:
        plant = large_plant.make()
        path, url = Path(folder) / "large.yaml", f"sqlite:///{folder}/large.sqlite3"
        text, written = once(lambda: plant_file.to_text(plant))
        path.write_text(text, encoding="utf-8")
        lines = [Line(f"large plant: write its file, {len(text) / 1e6:.1f} MB (the download)", [written])]
        lines += _report_done("command line", command_line.measure(path))
        lines += _report_done("timeline", timeline.measure())
        lines += _report_done("what to fix first", fix_first.measure())
        lines += _report_done("set-up", set_up.measure(plant))
        lines += _report_done("reach", reach.measure(plant))
        lines += _report_done("store", storing.measure(plant, url))
        demo = plant_file.read(PLANT)
        lines += _report_done("uncertainty", uncertainty.measure(demo))
        lines += _report_done("records", recorded.verify(demo, f"sqlite:///{folder}/long.sqlite3"))
        lines += _report_done("history", recorded.history(demo, f"sqlite:///{folder}/years.sqlite3"))
        lines += _report_done("report", recorded.report(f"sqlite:///{folder}/report.sqlite3"))
        databases = {"SQLite": f"sqlite:///{folder}/twenty.sqlite3"}
        server = postgres.Server() if postgres.binaries() else None
        if server is None:
            print("no PostgreSQL on this machine: not measured", file=sys.stderr)
        else:
            databases["PostgreSQL"] = server.url(server.new())
        chromium = browser(playwright)
        try:
            for name, twenty in databases.items():
                lines += _report_done(f"twenty writers, {name}", at_once.writers(name, demo, twenty))
                lines += _report_done(f"twenty browsers, {name}", at_once.browsers(name, chromium, twenty, PLACES))
            lines += _report_done("demo plant in a browser", screens.on_demo(chromium, folder))
            lines += _report_done("large plant in a browser", screens.on_large(chromium, url))
        finally:
            chromium.close()
            if server is not None:
                server.remove()
    counts = ", ".join(
        f"{len(block):,} {name}"
        for name, block in (
            ("systems", plant.systems),
            ("functions", plant.functions),
            ("groups", plant.groups),
            ("zones", plant.zones),
            ("answers", plant.answers),
        )
    )
    print(table(lines), f"Large plant: {counts}.", sep="\n")
    print(
        f"Measured in {time(perf_counter() - begun)} on {os.cpu_count()} cores; load before it {busy:.1f}: results count only on an idle machine."
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
