"""Times of the cheapest set: 8 functions that share groups, 40 open answers, both cases, targets that take several answers."""

from __future__ import annotations

from random import Random

from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.gains import alone, together
from checks.improvement.model import model
from checks.improvement.plan import of_model
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from scoring.common_cause import PARTS, Part, rows
from tests.bench.figures import Line, once
from tests.bench.large_plant import DEVICES

PLANTS, OPEN, FUNCTIONS = 12, 40, 8
DEVICE = {"sensor": "PT", "logic": "LS", "final": "ESV"}


def _plant(random: Random) -> Plant:
    """Eight functions: sensors of their own for some, logic and valves shared; the rest of the answers settled."""
    groups = {}
    for at in range(9):
        part: Part = "logic" if at == 0 else "final" if at < 4 else "sensor"
        voting = random.choice(["1oo2", "2oo3"])
        groups[f"g{at}"] = {
            "part": part,
            "voting": voting,
            "channels": [[DEVICE[part]]] * int(voting[-1]),
            "zone": random.choice(["z1", "z2"]),
            "proof_test": {"interval_h": 8760, "coverage": 1.0},
            "mttr_h": 24,
            "mrt_h": 24,
            "diagnostic_interval_h": 1,
            "acts_on_detected": True,
        }
    functions = {
        f"F{at}": {"demand": "low", "target_rrf": 100, "groups": ["g0", f"g{1 + at % 3}", f"g{4 + at % 5}"]}
        for at in range(FUNCTIONS)
    }
    raw = {
        "format": 2,
        "plant": {"name": "Generated"},
        "conventions": {},
        "devices": DEVICES,
        "zones": {"z1": {}, "z2": {}},
        "groups": groups,
        "systems": {"S1": {"functions": list(functions)[:5]}, "S2": {"functions": list(functions)[5:]}},
        "functions": functions,
        "answers": [answer.model_dump() for answer in _answers(random, groups)],
    }
    return Plant.model_validate(raw)


def _answers(random: Random, groups: dict[str, dict[str, object]]) -> list[Answer]:
    known = banks()
    asked = [
        (name, f"group:{key}")
        for key, group in groups.items()
        for name, question in known.common_cause.items()
        if question.asked_of == "group" and name in rows(next(part for part in PARTS if part == group["part"]))
    ]
    asked += [(name, "plant") for name, question in known.common_cause.items() if question.asked_of == "plant"]
    asked += [
        (name, f"system:{key}")
        for key in ("S1", "S2")
        for name, question in known.common_cause.items()
        if question.asked_of == "system"
    ]
    topics = [(name, f"zone:{zone}") for name in known.cyber for zone in ("z1", "z2")]
    unmet = set(random.sample(asked, OPEN - 15)) | set(random.sample(topics, 15))
    return [
        Answer(question=name, of=of, value="not-met" if (name, of) in unmet else _settled(random), note="settled")
        for name, of in (*asked, *topics)
    ]


def _settled(random: Random) -> str:
    return random.choice(["met", "met", "not-applicable"])


def _times(case: Case) -> tuple[list[float], list[float], int]:
    sets, gains, unproven = [], [], 0
    for seed in range(PLANTS):
        random = Random(seed)  # noqa: S311  (a generated plant, no secret)
        plant = _plant(random)
        assessment = Assessment(plant)
        names = list(plant.functions)
        built = model(assessment, names, case, efforts={})
        every = built.improved(frozenset(range(len(built.actions))))
        functions = {}
        for name, function in plant.functions.items():  # two thirds of the way to what all answers reach
            now, best = (getattr(each.function(name).cases, case) for each in (assessment, every))
            functions[name] = function.model_copy(update={"target_rrf": max(1.1, now ** (-1 / 3) * best ** (-2 / 3))})
        harder = Assessment(plant.model_copy(update={"functions": functions}))
        efforts = {asked: float(random.choice([1, 2, 3, 5])) for asked in built.actions}
        found, took = once(lambda: of_model(model(harder, names, case, efforts=efforts)))  # noqa: B023  (called at once)
        _, listed = once(lambda: (alone(found.model), together(found.model)))  # noqa: B023  (called at once)
        sets.append(took)
        gains.append(listed)
        unproven += not found.proven or not found.feasible
    return sets, gains, unproven


def measure() -> list[Line]:
    """Time of the cheapest set, and of the gains of all answers, in both cases."""
    _times("scored")  # imports the solver
    lines = []
    cases: tuple[Case, ...] = ("scored", "adjusted")
    for case in cases:
        sets, gains, unproven = _times(case)
        said = f"{unproven} of {PLANTS} not proven" if unproven else "all proven"
        lines.append(Line(f"cheapest set, {OPEN} open answers, {FUNCTIONS} functions, {case}", sets, 1.0, 3.0, said))
        lines.append(Line(f"gains of all open answers, {case}", gains))
    return lines
