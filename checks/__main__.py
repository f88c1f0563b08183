"""The command line: ``python -m checks score``, ``improve``, ``import``, ``verify``, ``export``, ``report``.

Exit status 0; 1 for a record that was changed or a hash that is not there; 2 for invalid input. Like app.py this module is a frame: it is the only one
of this package that imports pages, and only the reports.
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

from checks.analysis.json_results import outcome
from checks.assessment import verdicts
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method, remarks
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
            stream.reconfigure(errors="backslashreplace")  # a terminal that lacks a character still shows the others
    if chosen.command == "import":
        from checks.plant_tables import commands as list_commands  # noqa: PLC0415  (a score needs no workbook library)

        return list_commands.run(chosen)
    if chosen.command == "improve":
        from checks.improvement import commands as improvement  # noqa: PLC0415  (a score needs no solver)

        return improvement.run(chosen)
    if chosen.command != "score":
        from checks.record_files import commands  # noqa: PLC0415  (a score does not need the database library)

        return commands.run(chosen, on_paper=_on_paper)
    if (chosen.all or chosen.curve) and not chosen.json:
        print("--all and --curve go with --json", file=sys.stderr)
        return 2
    try:
        plant = plant_file.read(chosen.plant)
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    assessment = Assessment(plant)
    if chosen.json:
        print(json.dumps(outcome(assessment, second=chosen.all, curve=chosen.curve), indent=1, allow_nan=False))
    else:
        print(_table(assessment))
    return 0


def _on_paper(record: Record, reader: str | None) -> bytes:
    """A verified record as PDF: the annex for a reader, the safety report without one."""
    from pages.reports import safety_report, security_annex  # noqa: PLC0415  (loads fonts, needed only here)

    day = datetime.now(UTC).date()
    if reader is None:
        return safety_report.report(record, day=day)
    return security_annex.annex(record, reader=reader, day=day)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m checks", description="Shared-Cause Review on the command line.")
    commands = parser.add_subparsers(dest="command", required=True)
    score = commands.add_parser("score", help="compute a plant file: betas, RRF, redundancy kept, gaps")
    score.add_argument("plant", type=Path, help="the plant file (YAML)")
    score.add_argument("--json", action="store_true", help="print one JSON object instead of a table")
    score.add_argument(
        "--all",
        action="store_true",
        help="with --json: method, second opinion, uncertainty and spurious trips of each result, architecture, and what a compromise reaches",
    )
    score.add_argument("--curve", action="store_true", help="with --json: each function over its mission")
    improve = commands.add_parser("improve", help="the cheapest set of answers that brings functions to their targets")
    improve.add_argument("plant", type=Path, help="the plant file (YAML)")
    which = improve.add_mutually_exclusive_group()
    which.add_argument("--function", help="one safety function; without it and --system all of the plant")
    which.add_argument("--system", help="the functions of one safety system")
    improve.add_argument(
        "--case", choices=("scored", "adjusted"), default="scored", help="with common cause, or with the cyber scenario"
    )
    improve.add_argument(
        "--efforts", type=Path, help="a CSV file: question, of, effort; without it each action takes 1"
    )
    improve.add_argument(
        "--allow",
        type=Path,
        help="a CSV file of allowed changes: group, change (interval, coverage, voting), test, to, effort",
    )
    improve.add_argument("--json", action="store_true", help="print one JSON object instead of a table")
    brought = commands.add_parser(
        "import", help="make a plant file of a list (XLSX or CSV), or write the template of a list"
    )
    brought.add_argument("list", type=Path, nargs="?", help="the list: an XLSX workbook, or CSV for one sheet")
    brought.add_argument("-o", "--output", type=Path, required=True, help="the file to write")
    brought.add_argument("--into", type=Path, help="a plant file that keeps what the list does not name")
    brought.add_argument("--columns", type=Path, help="a YAML file: sheets, columns and decimal sign of the list")
    brought.add_argument("--template", action="store_true", help="write an empty list with an example row instead")
    verify = commands.add_parser("verify", help="check the journal of the database, or a record file, for changes")
    verify.add_argument("file", type=Path, nargs="?", help="a record file; without it the database is checked")
    verify.add_argument(
        "--printed", metavar="HASH", help="find a printed hash too: which event or revision it belongs to"
    )
    export = commands.add_parser("export", help="write one revision with its journal and signatures as a record file")
    export.add_argument("system", help="the safety system, such as S30")
    export.add_argument("--revision", type=int, help="its number; without it the latest")
    export.add_argument("--plant", help="name of the plant, where several have such a system")
    export.add_argument("--by", default="", help="who exports it, for the journal; without it the user of this machine")
    export.add_argument(
        "--key", type=Path, help="an enrolled key file: signs the export, so that no event can be cut off its end"
    )
    export.add_argument("-o", "--output", type=Path, required=True, help="the file to write")
    report = commands.add_parser(
        "report", help="print the safety report of a record file, or its security annex, as PDF"
    )
    report.add_argument("file", type=Path, help="a record file, as export writes it; it is verified first")
    report.add_argument("--annex", action="store_true", help="the security annex, marked with its recipient, instead")
    report.add_argument("--reader", help="recipient of the annex: name and role, printed on every page")
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
"""Column heads of the table of functions: five figures, two verdicts, redundancy kept, and the limiting group."""


def _columns(rows: Sequence[tuple[str, ...]]) -> str:
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    return "\n".join([lines[0], "-" * len(lines[0]), *lines[1:]])


def _function_row(function: FunctionResult) -> tuple[str, ...]:
    cases = function.cases
    figures = (measure(function.demand, value) for value in (cases.single, cases.ideal, cases.scored, cases.adjusted))
    verdicts_shown = (verdicts.in_short(function, case) for case in verdicts.CASES)
    kept = percent(verdicts.share_kept(cases))
    aim = target(function.demand, function.target, function.target_sil)
    return (function.id, measure_name(function.demand), aim, *figures, *verdicts_shown, kept, function.weakest.id)


def _group_row(group: GroupResult) -> tuple[str, ...]:
    betas = group.betas
    three = (betas.beta_int, betas.beta, betas.beta_adjusted) if betas else (None, None, None)
    points = f"{group.score.s:g}" if group.score else NONE
    exposure = "not reviewed" if group.exposure is None else percent(group.exposure)
    return (group.id, group.arrangement, points, *(percent(beta) for beta in three), exposure, str(group.unanswered))


def _table(assessment: Assessment) -> str:
    plant = assessment.plant
    functions = [FUNCTION_HEAD] + [_function_row(function) for function in assessment.functions()]
    groups = [("group", "voting", "S", "beta_int", "beta", "cyber beta", "exposure", "open")] + [
        _group_row(assessment.group(key)) for key in plant.groups
    ]
    zones = [("zone", "asked of 100", "levels short", "gaps")]
    for key in plant.zones:
        zone = assessment.zone(key)
        short = ", ".join(f"{fr} {missing}" for fr, missing in zone.short.items() if missing) or NONE
        zones.append((key, str(zone.asked), short if zone.reviewed else "not reviewed", str(len(zone.gaps))))
    lines = [f"{plant.plant.name}. {plant.plant.note}".strip(), method(plant), ""]
    lines += [*verdicts.summary(assessment.functions()), ""]
    lines += [_columns(functions), "", _columns(groups), "", _columns(zones), ""]
    lines += [f"Note: {remark}." for remark in remarks(plant)] + list(CAUTIONS)
    return "\n".join(lines)


def _keep_output_for_python() -> None:
    """Send what a library writes to the process's standard output past Python to nowhere: a solver can print lines into JSON."""
    own = os.dup(1)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    sys.stdout = os.fdopen(own, "w", encoding=sys.stdout.encoding, errors=sys.stdout.errors)


if __name__ == "__main__":
    _keep_output_for_python()
    gc.disable()  # the process ends after one file: collecting garbage only costs time
    try:
        status = main()
        sys.stdout.flush()
    except BrokenPipeError:  # the reader of the output closed it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    sys.exit(status)
