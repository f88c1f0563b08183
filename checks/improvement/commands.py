"""The command ``improve``: the cheapest set of actions after which functions of a plant file meet their targets."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator

from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS, method
from checks.assessment.verdicts import CASES
from checks.improvement import efforts, plan, words
from checks.improvement.group_model import Step
from checks.improvement.plan import Plan
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.text.faults import Fault, Refused, printable
from checks.text.number_format import measure, measure_name, target
from scoring.exposure import SCENARIO


def run(chosen: argparse.Namespace) -> int:
    """Run the command and return its exit status: 2 for a plant file, an id, or a file of efforts or changes that is refused."""
    try:
        plant = plant_file.read(chosen.plant)
        entered: dict[Step, float] = {}
        if chosen.efforts:
            entered.update(efforts.read(chosen.efforts, plant).items())
        if chosen.allow:
            entered.update(efforts.read_changes(chosen.allow, plant).items())
        wanted = functions(plant, chosen)
        found = plan.plan(Assessment(plant), wanted, chosen.case, efforts=entered)
    except Refused as refused:
        print("\n".join(refused.lines()), file=sys.stderr)
        return 2
    if chosen.json:
        print(json.dumps(found.data(), indent=1, allow_nan=False))
    else:
        print("\n".join(printable(line) for line in _table(plant, found)))
    return 0


def functions(plant: Plant, chosen: argparse.Namespace) -> list[str]:
    """The functions that a command names: one, those of a system, or all. Raises Refused for an unknown id."""
    if chosen.function is not None:
        _known("--function", chosen.function, plant.functions)
        return [chosen.function]
    if chosen.system is not None:
        _known("--system", chosen.system, plant.systems)
        return list(plant.systems[chosen.system].functions)
    return list(plant.functions)


def _known(option: str, found: str, known: object) -> None:
    names = list(known) if isinstance(known, dict) else []
    if found not in names:
        raise Refused(
            "improve", [Fault(option, f"{found} is not in the plant file", f"one of {', '.join(names) or 'none'}")]
        )


def _table(plant: Plant, found: Plan) -> Iterator[str]:
    yield f"{plant.plant.name}. {plant.plant.note}".strip()
    yield method(plant)
    yield f"What to fix first, {CASES[found.model.case]}"
    if found.model.case == "adjusted":
        yield f"({SCENARIO})"
    yield ""
    yield f"{words.headline(found)}."
    yield from filter(None, [words.details(found), words.held(found)])
    yield ""
    for action, effort in words.listed(found):
        yield f"  {words.named(found, action)}, effort {effort:g}"
    if found.chosen:
        yield ""
    for name in found.model.functions:
        demand = plant.functions[name].demand
        before, after, every = (
            measure(demand, results[name]) for results in (found.before, found.after, found.together)
        )
        aim = target(demand, plant.functions[name].target, plant.functions[name].target_sil)
        line = f"{name}: {measure_name(demand)} {before} now, target {aim}"
        line += f", {after} after the set" if found.chosen else ""
        yield f"{line}, {every} {words.everything(found)}"
    yield ""
    yield from CAUTIONS
