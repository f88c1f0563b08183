"""The command line: ``python -m checks score``, ``verify``, ``export``, ``report``.

Exit status 0; 1 where a record is not what it was; 2 for input that is not taken. It is a frame, as app.py is: it alone
of this package knows the pages, and of these only what is printed.
"""

from __future__ import annotations

import argparse
import gc
import io
import json
import os
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method, remarks
from checks.assessment.json_results import outcome
from checks.assessment.results import FunctionResult, GroupResult
from checks.plantfile import plant_file
from checks.text.faults import Refused
from checks.text.number_format import NONE, measure, measure_name, percent, target

if TYPE_CHECKING:
    from checks.record_files.record_file import Record


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit status."""
    chosen = _parser().parse_args(arguments)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal that lacks a letter still shows the rest
    if chosen.command != "score":
        from checks.record_files import commands  # noqa: PLC0415  (a score shall not wait for the database's library)

        return commands.run(chosen, on_paper=_on_paper)
    try:
        plant = plant_file.read(chosen.plant)
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    assessment = Assessment(plant)
    print(json.dumps(outcome(assessment), indent=1, allow_nan=False) if chosen.json else _table(assessment))
    return 0


def _on_paper(record: Record, reader: str | None) -> bytes:
    """A verified record as PDF: the annex for a reader, the safety report without one."""
    from pages.reports import safety_report, security_annex  # noqa: PLC0415  (fonts, for those who print)

    day = datetime.now(UTC).date()
    if reader is None:
        return safety_report.report(record, day=day)
    return security_annex.annex(record, reader=reader, day=day)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m checks", description="Shared-Cause Review on the command line.")
    commands = parser.add_subparsers(dest="command", required=True)
    score = commands.add_parser("score", help="compute a plant file: betas, RRF, what is left of the redundancy, gaps")
    score.add_argument("plant", type=Path, help="the plant file (YAML)")
    score.add_argument("--json", action="store_true", help="print one JSON object instead of a table")
    verify = commands.add_parser("verify", help="is the journal of the database, or a record file, what was written?")
    verify.add_argument("file", type=Path, nargs="?", help="a record file; without it the database is checked")
    export = commands.add_parser("export", help="write one revision with its journal and signatures as a record file")
    export.add_argument("system", help="the safety system, such as S30")
    export.add_argument("--revision", type=int, help="its number; without it the latest")
    export.add_argument("--plant", help="name of the plant, where several have such a system")
    export.add_argument(
        "--by", default="", help="who hands it out, for the journal; without it the user of this machine"
    )
    export.add_argument("-o", "--output", type=Path, required=True, help="the file to write")
    report = commands.add_parser(
        "report", help="print the safety report of a record file, or its security annex, as PDF"
    )
    report.add_argument("file", type=Path, help="a record file, as export writes it; it is verified first")
    report.add_argument("--annex", action="store_true", help="the security annex, marked with its reader, instead")
    report.add_argument("--reader", help="who the annex is for: name and role, as they stand on every page")
    report.add_argument("-o", "--output", type=Path, required=True, help="the PDF file to write")
    return parser


FUNCTION_HEAD = (
    "function",
    "",
    "target",
    "one channel",
    "no common cause",
    "with common cause",
    "cyber scenario",
    "with common cause",
    "cyber scenario",
    "kept",
    "limited by",
)
"""Heads of the table of functions: five figures, two verdicts, what is left, and the group that limits it."""


def _columns(rows: Sequence[tuple[str, ...]]) -> str:
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    return "\n".join([lines[0], "-" * len(lines[0]), *lines[1:]])


def _function_row(one: FunctionResult) -> tuple[str, ...]:
    cases = one.cases
    figures = (measure(one.demand, value) for value in (cases.single, cases.ideal, cases.scored, cases.adjusted))
    said = (verdicts.in_short(one, case) for case in verdicts.CASES)
    kept = percent(verdicts.share_kept(cases))
    aim = target(one.demand, one.target)
    return (one.id, measure_name(one.demand), aim, *figures, *said, kept, one.weakest.id)


def _group_row(one: GroupResult) -> tuple[str, ...]:
    betas = one.betas
    three = (betas.beta_int, betas.beta, betas.beta_adjusted) if betas else (None, None, None)
    points = f"{one.score.s:g}" if one.score else NONE
    exposure = "not reviewed" if one.exposure is None else percent(one.exposure)
    return (one.id, str(one.voting), points, *(percent(beta) for beta in three), exposure, str(one.unanswered))


def _table(assessment: Assessment) -> str:
    plant = assessment.plant
    functions = [FUNCTION_HEAD] + [_function_row(one) for one in assessment.functions()]
    groups = [("group", "voting", "S", "beta_int", "beta", "cyber beta", "exposure", "open")] + [
        _group_row(assessment.group(key)) for key in plant.groups
    ]
    zones = [("zone", "asked of 100", "levels short", "gaps")]
    for key in plant.zones:
        one = assessment.zone(key)
        short = ", ".join(f"{fr} {missing}" for fr, missing in one.short.items() if missing) or NONE
        zones.append((key, str(one.asked), short if one.reviewed else "not reviewed", str(len(one.gaps))))
    said = [f"{plant.plant.name}. {plant.plant.note}".strip(), method(plant), ""]
    said += [*verdicts.summary(assessment.functions()), ""]
    said += [_columns(functions), "", _columns(groups), "", _columns(zones), ""]
    said += [f"Note: {one}." for one in remarks(plant)] + list(CAUTIONS)
    return "\n".join(said)


if __name__ == "__main__":
    gc.disable()  # one file, one answer, then the process ends: collecting would only cost time
    try:
        status = main()
        sys.stdout.flush()
    except BrokenPipeError:  # the reader of our output went away
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status)
