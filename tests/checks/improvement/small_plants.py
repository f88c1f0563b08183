"""Small random plants: groups shared by functions and systems, alternatives, other voting, few open answers."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from hypothesis import strategies as st

from checks.allowed_changes import fitting
from checks.allowed_changes.change import GroupChange, tests_of
from checks.assessment.assessment import Assessment
from checks.assessment.verdicts import Case
from checks.improvement.group_model import Step
from checks.improvement.model import met
from checks.plantfile import plant_file
from checks.plantfile.plant import Asked, Plant
from checks.questions.bank import banks
from checks.text.faults import Refused
from scoring.common_cause import rows
from scoring.methods import registry

PARTS = {"pt": "sensor", "ls": "logic", "fv": "final", "lt": "sensor"}
MOST_OPEN = 6
ASKED = {method.about.id: method.bank for method in registry.ASKED_BETA.editions().values()}
"""Banks of the methods that a group may have of its own, by their ids: their answers are no actions."""
DEVICES = {
    "PT": {"lambda_du_fit": 450, "lambda_dd_fit": 850},
    "LS": {"lambda_du_fit": 400, "lambda_dd_fit": 5000},
    "ESV": {"lambda_du_fit": 2100, "lambda_dd_fit": 110},
}
OF_PART = {"sensor": "PT", "logic": "LS", "final": "ESV"}


def _group(draw: st.DrawFn, part: str) -> dict[str, Any]:
    voting = draw(st.sampled_from(["1oo2", "1oo2", "2oo3", "1oo3", "1oo1", "2oo2"]))
    group = {
        "part": part,
        "voting": voting,
        "channels": [[OF_PART[part]]] * int(voting[-1]),
        "zone": draw(st.sampled_from(["sis", "sis", "field"])),
        "programmable": draw(st.sampled_from([True, True, False])),
        **_tests(draw),
        "mttr_h": draw(st.sampled_from([8, 72, 720])),
        "mrt_h": 24,
        "diagnostic_interval_h": 1,
        "acts_on_detected": draw(st.booleans()),
    }
    if draw(st.integers(0, 9)) == 0:
        group["stated_beta"] = {"beta": 0.05, "beta_d": 0.02, "of": "pair", "source": "site"}
    elif draw(st.integers(0, 4)) == 0:
        method = draw(st.sampled_from(("iec61508-6-2010", *ASKED)))
        group["conventions"] = {"beta_method": method, "beta_method_reason": "a machinery function"}
    return group


def _tests(draw: st.DrawFn) -> dict[str, Any]:
    """A full proof test; one with an overhaul; or two tests without names, of which the rarer one finds more."""
    interval = draw(st.sampled_from([4380, 8760, 43800]))
    kind = draw(st.sampled_from(["full", "full", "overhaul", "tests"]))
    if kind == "tests":
        tests = [{"interval_h": 2190, "coverage": 0.6}, {"interval_h": interval, "coverage": 0.95}]
        return {"tests": tests}
    rest = {"coverage": 0.9, "full_interval_h": 87600} if kind == "overhaul" else {"coverage": 1.0}
    return {"proof_test": {"interval_h": interval, **rest}}


def _entries(draw: st.DrawFn, groups: dict[str, Any], keys: list[str]) -> list[Any]:
    listed: list[Any] = list(keys)
    key = keys[0]
    n = int(groups[key]["voting"][-1])
    if n == 3 and draw(st.booleans()):
        listed[0] = {"group": key, "voting": draw(st.sampled_from(["1oo3", "2oo3"]))}
    elif draw(st.integers(0, 3)) == 0:
        other = "lt" if key == "pt" else "pt"
        if other in groups and other not in keys:
            listed[0] = {"any": [key, other], "stated_beta": {"beta": 0.02, "source": "site"}}
    return listed


@st.composite
def raw_plants(draw: st.DrawFn) -> dict[str, Any]:
    """Plain data of a plant of four groups and three functions in two systems, with its conventions, without answers."""
    groups = {key: _group(draw, part) for key, part in PARTS.items()}
    functions = {}
    for name in ("F1", "F2", "F3"):
        keys = draw(st.lists(st.sampled_from(list(groups)), min_size=1, max_size=3, unique=True))
        high = draw(st.integers(0, 3)) == 0
        target = {"demand": "high", "target_pfh": 1e-6} if high else {"demand": "low", "target_rrf": 100.0}
        functions[name] = {**target, "groups": _entries(draw, groups, keys)}
    return {
        "format": 2,
        "plant": {"name": "Small plant"},
        "conventions": {
            "mission_h": 131400,
            "voting_factor": draw(st.sampled_from(["iec61508-6-2010", "pds-2013", "none"])),
            "exposure_rule": draw(st.sampled_from(["to-single", "to-single", "graded", "credits", "none"])),
        },
        "devices": DEVICES,
        "zones": {"sis": {"sl_target": {"IAC": 2}}, "field": {}},
        "groups": groups,
        "systems": {"S1": {"functions": ["F1", "F2"]}, "S2": {"functions": ["F3"]}},
        "functions": functions,
    }


def _places(raw: dict[str, Any]) -> list[Asked]:
    """Every question at every addressee that an answer may have."""
    known = banks()
    asked: list[Asked] = []
    for question in known.common_cause.values():
        levels = {"group": ["group"], "system": ["group", "system"], "plant": ["group", "system", "plant"]}
        for level in levels[question.asked_of]:
            keys = {"group": raw["groups"], "system": raw["systems"], "plant": {"": None}}[level]
            asked += [(question.id, f"{level}:{key}" if key else level) for key in keys]
    for topic in known.cyber.values():
        asked += [(topic.id, f"zone:{zone}") for zone in raw["zones"]]
        asked += [(topic.id, "plant")] if topic.asked_of == "plant" else []
    return asked


@st.composite
def plants(draw: st.DrawFn) -> Plant:
    """A plant most of whose answers are settled, met or not applicable, and whose few others may be improved."""
    raw = draw(raw_plants())
    share = draw(st.sampled_from([0.3, 0.6, 0.9]))
    random = draw(st.randoms(use_true_random=False))
    places = _places(raw)
    answers: dict[Asked, str] = {}
    for asked in places:
        broad = not asked[1].startswith("group")
        if not broad and banks().questions[asked[0]].asked_of != "group":
            continue
        if asked[1] == "plant" or not asked[1].startswith("system"):
            answers[asked] = "met" if random.random() < share else "not-applicable"
    for key, group in raw["groups"].items():
        method = group.get("conventions", {}).get("beta_method")
        for name, question in banks().opinions[ASKED[method]].items() if method in ASKED else ():
            answers[name, f"group:{key}"] = question.best if random.random() < share else "unknown"
    useful = [asked for asked in places if _counts(raw, asked)]
    for asked in random.sample(useful, draw(st.integers(0, MOST_OPEN))):
        answers[asked] = random.choice(["not-met", "partly", "unknown", "none"])
        if answers[asked] == "none":
            del answers[asked]
    note = {"note": "a reason"}
    raw["answers"] = [
        {"question": question, "of": of, "value": value, **(note if value == "not-applicable" else {})}
        for (question, of), value in answers.items()
    ]
    return Plant.model_validate(raw)


def _counts(raw: dict[str, Any], asked: Asked) -> bool:
    """Whether a question can score where it is asked: it applies to a part there."""
    question, of = asked
    kind, _, key = of.partition(":")
    if question in banks().cyber:
        return True
    keys = [key] if kind == "group" else list(raw["groups"])
    return any(question in rows(raw["groups"][each]["part"]) for each in keys)


def best_by_trying_all(
    assessment: Assessment,
    functions: tuple[str, ...],
    case: Case,
    efforts: dict[Step, float],
    actions: tuple[Step, ...],
) -> tuple[Step, ...] | None:
    """The cheapest set by the real calculation of every subset: least effort, then fewest actions, then the first of them."""
    best: tuple[float, int, tuple[int, ...]] | None = None
    for size in range(len(actions) + 1):
        for chosen in combinations(range(len(actions)), size):
            rank = (round(sum(efforts[actions[at]] for at in chosen), 6), size, chosen)
            if (best is None or rank < best) and meets(
                assessment, functions, case, tuple(actions[at] for at in chosen)
            ):
                best = rank
    return None if best is None else tuple(actions[at] for at in best[2])


def meets(assessment: Assessment, functions: tuple[str, ...], case: Case, chosen: tuple[Step, ...]) -> bool:
    """Whether every function meets its target with these answers met and these changes entered in the plant file."""
    after = assessment.with_answers(met(each) for each in chosen if not isinstance(each, GroupChange))
    changes = [each for each in chosen if isinstance(each, GroupChange)]
    if changes:
        plant = entered(assessment.plant, changes)
        if plant is None:
            return False
        after = Assessment(plant, after.answers)
    return all(after.function(name).meets(case) for name in functions)


def entered(plant: Plant, changes: list[GroupChange]) -> Plant | None:
    """The plant file with these values written into it; None where two stand in one place, or where the file is refused."""
    raw = plant_file.plain(plant)
    written: set[tuple[str, str, str]] = set()
    for each in changes:
        place, group = (each.group, each.what, each.test), raw["groups"][each.group]
        if place in written:
            return None
        written.add(place)
        if each.what == "voting":
            group["voting"] = each.to
            continue
        test = group["tests"][int(each.test) - 1] if "tests" in group else group["proof_test"]
        field = (
            "full_interval_h"
            if each.test == "overhaul"
            else {"interval": "interval_h", "coverage": "coverage"}[each.what]
        )
        test[field] = float(each.to)
    return plant_file.from_data(raw)[0]


MOST_CHANGES = 5


@st.composite
def allowed_changes(draw: st.DrawFn, plant: Plant) -> dict[GroupChange, float]:
    """Some changes that fit a plant, with their efforts; of one group several may exclude each other."""
    found: dict[GroupChange, float] = {}
    for _ in range(draw(st.integers(1, MOST_CHANGES + 3))):
        key = draw(st.sampled_from(list(plant.groups)))
        group, what = plant.groups[key], draw(st.sampled_from(["interval", "coverage", "voting"]))
        tests = [""] if what == "voting" else list(tests_of(group)) if what == "interval" or group.tests else [""]
        to = {
            "interval": st.sampled_from(["2190", "8760", "17520", "87600"]),
            "coverage": st.sampled_from(["0.5", "0.9", "0.99", "1"]),
            "voting": st.integers(1, len(group.channels)).map(lambda m: f"{m}oo{len(group.channels)}"),  # noqa: B023
        }[what]
        texts = {"group": key, "change": what, "test": draw(st.sampled_from(tests)), "to": draw(to)}
        try:
            change = fitting.read(plant, texts)
        except Refused:
            continue
        if len(found) < MOST_CHANGES:
            found[change] = draw(st.sampled_from([0.5, 1.0, 1.0, 2.0, 3.0]))
    return found
