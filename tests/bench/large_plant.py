"""A generated plant of the largest intended size: 200 systems, 1,000 functions, 60 zones and 100,000 answers.

It is the same in each run and invented throughout.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from checks.plantfile.plant import Plant
from checks.questions.bank import Question, banks
from scoring.common_cause import Part, rows
from scoring.exposure import concerns
from scoring.levels import FOUNDATIONAL

SYSTEMS, PER_SYSTEM, ZONES, SAFETY_ZONES, ANSWERS = 200, 5, 60, 50, 100_000
SECOND_SENSORS = 800
"""Functions with a second sensor group; with 1,000 first ones, 1,000 final and 200 logic groups this makes 3,000 groups."""

VALUES = ("met", "partly", "not-met", "unknown", "equivalent", "not-applicable")
OFTEN = (52, 12, 20, 8, 4, 4)
VOTINGS: dict[Part, tuple[str, ...]] = {
    "sensor": ("1oo1", "1oo2", "1oo2", "2oo3", "2oo3", "2oo4"),
    "logic": ("1oo1", "1oo2", "2oo3", "2oo3", "1oo3"),
    "final": ("1oo1", "1oo2", "1oo2", "1oo2", "2oo2"),
}
DEVICES: dict[str, dict[str, Any]] = {
    "PT": {"name": "Pressure transmitter", "lambda_du_fit": 450, "lambda_dd_fit": 850, "source": "invented"},
    "TT": {"name": "Temperature transmitter", "lambda_du_fit": 150, "lambda_dd_fit": 270, "source": "invented"},
    "LS": {"name": "Logic solver", "lambda_du_fit": 56, "lambda_dd_fit": 5500, "source": "invented"},
    "SOV": {"name": "Solenoid valve", "lambda_du_fit": 300, "lambda_dd_fit": 15, "source": "invented"},
    "ESV": {"name": "Shutdown valve", "lambda_du_fit": 2100, "lambda_dd_fit": 110, "source": "invented"},
}
CHANNELS: dict[Part, tuple[tuple[str, ...], ...]] = {
    "sensor": (("PT",), ("TT",)),
    "logic": (("LS",),),
    "final": (("SOV", "ESV"),),
}
WORDS = (
    "cable",
    "schedule",
    "walkdown",
    "photo",
    "order",
    "record",
    "revision",
    "loop",
    "drawing",
    "rack",
    "valve",
    "file",
)


def _group(random: Random, part: Part, zone: str) -> dict[str, Any]:
    voting = random.choice(VOTINGS[part])
    channel = list(random.choice(CHANNELS[part]))
    return {
        "name": f"{part} group, {voting}",
        "part": part,
        "voting": voting,
        "channels": [channel] * int(voting[-1]),
        "zone": zone,
        "programmable": part != "final" or random.random() < 0.3,
        "proof_test": {"interval_h": random.choice((4380.0, 8760.0, 17520.0))},
        "mttr_h": 24.0,
        "mrt_h": 24.0,
        "diagnostic_interval_h": random.choice((1.0, 24.0)),
        "acts_on_detected": random.random() < 0.8,
    }


def _structure(random: Random) -> dict[str, Any]:
    groups: dict[str, Any] = {}
    functions: dict[str, Any] = {}
    systems: dict[str, Any] = {}
    for system in range(SYSTEMS):
        zone = f"Z{system % SAFETY_ZONES + 1:02d}"
        groups[f"ls-{system:03d}"] = _group(random, "logic", zone)
        names = [f"SIF-{system * PER_SYSTEM + at:04d}" for at in range(PER_SYSTEM)]
        systems[f"S{system:03d}"] = {"name": f"Shutdown system {system}", "functions": names}
        for name in names:
            number = int(name[4:])
            used: dict[str, Part] = {f"pt-{number:04d}": "sensor", f"esv-{number:04d}": "final"}
            if number < SECOND_SENSORS:
                used[f"tt-{number:04d}"] = "sensor"
            for key, part in used.items():
                groups[key] = _group(random, part, zone)
            goal: dict[str, Any] = {"demand": "low", "target_rrf": random.choice((20.0, 100.0, 300.0, 1000.0))}
            if random.random() < 0.05:
                goal = {"demand": "high", "target_pfh": random.choice((1e-6, 1e-7))}
            functions[name] = {"name": f"Protective action {number}", **goal, "groups": [*used, f"ls-{system:03d}"]}
    return {"groups": groups, "systems": systems, "functions": functions}


def _zones(random: Random) -> dict[str, Any]:
    zones = {
        f"Z{at + 1:02d}": {
            "name": f"Zone {at + 1}",
            "safety_related": at < SAFETY_ZONES,
            "sl_target": {fr: random.randint(1, 3) for fr in FOUNDATIONAL},
        }
        for at in range(ZONES)
    }
    keys = list(zones)
    joined = {f"C{at:02d}": [zone, random.choice(keys[SAFETY_ZONES:])] for at, zone in enumerate(keys[:SAFETY_ZONES])}
    return {"zones": zones, "conduits": {key: {"between": ends, "flow": "both ways"} for key, ends in joined.items()}}


def _redundant(group: dict[str, Any]) -> bool:
    return bool(group["voting"][0] < group["voting"][-1])


def _own(raw: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Question and addressee of all answers at their own level."""
    asked: dict[str, list[Question]] = {}
    for question in (*banks().common_cause.values(), *banks().cyber.values()):
        asked.setdefault(question.asked_of, []).append(question)
    yield from ((question.id, "plant") for question in asked["plant"])
    yield from ((question.id, f"system:{key}") for key in raw["systems"] for question in asked["system"])
    yield from ((question.id, f"zone:{key}") for key in raw["zones"] for question in asked["zone"])
    for key, group in raw["groups"].items():
        printed = rows(group["part"]) if _redundant(group) else {}
        yield from ((question.id, f"group:{key}") for question in asked["group"] if question.id in printed)


def _special(raw: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Question and addressee of all answers of groups that may differ from their plant, system or zone."""
    for key, group in raw["groups"].items():
        if group["programmable"]:
            topics = (question for question in banks().cyber.values() if concerns(question.elements, group["part"]))
            yield from ((question.id, f"group:{key}") for question in topics)
        if _redundant(group):
            broad = (question for question in banks().common_cause.values() if question.asked_of != "group")
            yield from ((question.id, f"group:{key}") for question in broad if question.id in rows(group["part"]))


def _answer(random: Random, question: str, of: str) -> dict[str, Any]:
    value = random.choices(VALUES, OFTEN)[0]
    text = " ".join(random.choices(WORDS, k=4))
    return {
        "question": question,
        "of": of,
        "value": value,
        "evidence": f"{text} {random.randint(1, 999)}" if random.random() < 0.7 else "",
        "note": f"Seen otherwise: {text}." if value in VALUES[4:] or random.random() < 0.1 else "",
        "by": f"engineer E-{random.randint(1, 20)}",
        "on": f"2025-{random.randint(1, 12):02d}-{random.randint(1, 28):02d}",
    }


def make() -> Plant:
    """Generate the plant: 90 % of the answers at their own level, and special ones up to 100,000."""
    random = Random(7)  # noqa: S311  (generated data)
    raw = {**_structure(random), **_zones(random)}
    asked = [pair for pair in _own(raw) if random.random() < 0.9]
    asked += random.sample(list(_special(raw)), ANSWERS - len(asked))
    raw["answers"] = [_answer(random, question, of) for question, of in asked]
    about = {"name": "Large made plant", "note": "made for measuring; invented data"}
    return Plant.model_validate({"format": 1, "plant": about, "devices": DEVICES, **raw})
