"""What a property test draws: plants of a few groups with texts of any script, and answers to the valid plant."""

from __future__ import annotations

from functools import cache
from typing import Any

from hypothesis import strategies as st

from checks.plantfile.consistency import BEFORE, ORDER
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import Question, banks
from tests.checks.given import answer, bare_plant

LIKE_NUMBERS = ("1e6", "1e-6", "1.5e5", "-.5", "12E3", "007", "+7", "-0", "null", "true", "on")
"""Texts that a careless writer would give back as numbers or words of YAML."""

MARKUP = (
    "<script>alert(1)</script>",
    "[a](javascript:b)",
    "=cmd|' /C calc'!A0",
    "**bold** _it_ `code` $x^2$",
    "a: b # c",
    "- x\n- y\n",
    "&a *a !t %d @ ` | > ? {} []",
    "'\"''\"",
    "on",
    "yes",
    "null",
    "~",
    "<<",
    "2025-03-04",
    "12:30",
    "\u202eright to left",
    "e\u0301\u200d\U0001f3ed",
    "\t tab \r\n line \x85 \u2028 \ufeff",
)
VALUES = ("met", "partly", "not-met", "unknown", "equivalent", "not-applicable")

letters = st.characters(categories=["Lu", "Ll", "Lo"])
ids = st.builds("{}{}".format, letters, st.text(letters | st.sampled_from("0123456789_.-"), max_size=12))
fits = st.floats(0.001, 1e6)
shares = st.floats(0.0, 1.0)
hours = st.floats(24.0, 438000.0)


def texts(most: int = 40, least: int = 0) -> st.SearchStrategy[str]:
    """Texts of any script, and markup of every kind."""
    free = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=least, max_size=most)
    return free | st.sampled_from([one for one in (*MARKUP, *LIKE_NUMBERS) if len(one) <= most])


_factors = st.sampled_from(["iec61508-6-2010", "pds-2013", "none"])
_written = texts(least=1).filter(str.strip)


def _proof_tests() -> st.SearchStrategy[dict[str, Any]]:
    return st.builds(
        lambda interval, longer, coverage, staggered: {
            "interval_h": interval,
            "coverage": coverage,
            "full_interval_h": min(438000.0, interval * longer),
            "staggered": staggered,
        },
        hours,
        st.floats(1.0, 20.0),
        shares,
        st.booleans(),
    )


@st.composite
def _tests(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Several tests of a group, as format 2 has them: a rarer test finds at least what a more frequent one finds."""
    names = draw(st.lists(texts(least=1), min_size=1, max_size=3, unique=True))
    intervals, coverages = (sorted(draw(each) for _ in names) for each in (hours, shares))
    return [
        {
            "name": name,
            "interval_h": interval,
            "coverage": coverage,
            "duration_h": draw(shares) * min(interval, 8760.0),
            "bypass": draw(st.sampled_from(["group", "none"])),
            "error": draw(st.floats(0.0, 0.5)),
        }
        for name, interval, coverage in zip(names, intervals, coverages, strict=True)
    ]


def _stated_results() -> st.SearchStrategy[dict[str, Any]]:
    rates = {"pfd": st.floats(1e-9, 0.9), "pfh": st.floats(1e-12, 9e-3)}
    said = {"source": _written, "covers": texts()}
    return st.fixed_dictionaries({**rates, **said})


@st.composite
def _groups_2(draw: st.DrawFn, devices: list[str], zones: list[str]) -> dict[str, Any]:
    """A group as only format 2 has it: with a stated result, or with several tests and its own conventions."""
    group: dict[str, Any] = draw(_groups(devices, zones, _written))
    if draw(st.booleans()):
        kept = {key: group[key] for key in ("name", "part", "tags", "zone", "programmable", "note")}
        return {**kept, "stated_result": draw(_stated_results())}
    del group["proof_test"]
    group["tests"] = draw(_tests())
    group["conventions"] = {"voting_factor": draw(_factors)}
    if "stated_beta" in group:
        group["stated_beta"]["of"] = draw(st.sampled_from(["pair", "group"]))
    return group


@st.composite
def _groups(draw: st.DrawFn, devices: list[str], zones: list[str], sources: st.SearchStrategy[str]) -> dict[str, Any]:
    n = draw(st.integers(1, 4))
    group = {
        "name": draw(texts()),
        "part": draw(st.sampled_from(["sensor", "logic", "final"])),
        "voting": f"{draw(st.integers(1, n))}oo{n}",
        "channels": [draw(st.lists(st.sampled_from(devices), min_size=1, max_size=2)) for _ in range(n)],
        "tags": draw(st.lists(texts(), max_size=3)),
        "zone": draw(st.none() | st.sampled_from(zones)) if zones else None,
        "programmable": draw(st.booleans()),
        "proof_test": draw(_proof_tests()),
        "mttr_h": draw(st.floats(0.0, 87600.0)),
        "mrt_h": draw(st.floats(0.0, 87600.0)),
        "diagnostic_interval_h": draw(st.none() | st.floats(1e-6, 87600.0)),
        "acts_on_detected": draw(st.booleans()),
        "note": draw(texts(300)),
    }
    if draw(st.booleans()):
        group["stated_beta"] = {"beta": draw(shares), "beta_d": draw(shares), "source": draw(sources)}
    return group


@st.composite
def _functions_2(draw: st.DrawFn, groups: dict[str, Any], zones: list[str]) -> dict[str, Any]:
    """A function as only format 2 has it: with a target SIL, the zone of its demand, and a group that it votes in its own way."""
    function: dict[str, Any] = draw(_functions(list(groups)))
    if draw(st.booleans()):
        function = {key: value for key, value in function.items() if key not in ("target_rrf", "target_pfh")}
        function["target_sil"] = draw(st.integers(1, 4))
    function["demand_zone"] = draw(st.none() | st.sampled_from(zones)) if zones else None
    key = function["groups"][0]
    m, _, n = groups[key].get("voting", "1oo1").partition("oo")
    if m != n:
        function["groups"][0] = {"group": key, "voting": f"{draw(st.integers(1, int(n)))}oo{n}"}
    return function


@st.composite
def _functions(draw: st.DrawFn, groups: list[str]) -> dict[str, Any]:
    low = draw(st.booleans())
    target = {"target_rrf": draw(st.floats(1.5, 1e6))} if low else {"target_pfh": draw(st.floats(1e-12, 9e-3))}
    chosen = draw(st.lists(st.sampled_from(groups), min_size=1, max_size=3, unique=True))
    return {"name": draw(texts()), "demand": "low" if low else "high", "groups": chosen, **target}


@st.composite
def _conduits(draw: st.DrawFn, zone: str, *, newer: bool) -> dict[str, Any]:
    diode = draw(st.none() | st.sampled_from([zone, "outside"])) if newer else None
    return {"between": [zone, "outside"], "flow": draw(texts()), "note": draw(texts()), "one_way_to": diode}


def _some(draw: st.DrawFn, least: int = 0) -> list[str]:
    return draw(st.lists(ids.filter(lambda text: text != "outside"), min_size=least, max_size=3, unique=True))


@st.composite
def plants(draw: st.DrawFn) -> Plant:
    """Plants of a few groups in which every key of the file can stand."""
    devices, groups, zones, functions = _some(draw, 1), _some(draw, 1), _some(draw), _some(draw)
    newer = draw(st.booleans())
    plain_group = _groups(devices, zones, _written if newer else texts())
    drawn = {key: draw(plain_group | _groups_2(devices, zones) if newer else plain_group) for key in groups}
    levels = st.dictionaries(st.sampled_from(["IAC", "UC", "SI", "DC", "RDF", "TRE", "RA"]), st.integers(0, 4))
    about = {"name": draw(_written), "note": draw(texts(300))}
    raw = {
        "format": 2 if newer else 1,
        "plant": about,
        "conventions": {"voting_factor": draw(_factors)} | ({"mission_h": 438000.0} if newer else {}),
        "devices": {
            key: {"name": draw(texts()), "lambda_du_fit": draw(fits), "source": draw(texts())} for key in devices
        },
        "zones": {
            key: {"name": draw(texts()), "safety_related": draw(st.booleans()), "sl_target": draw(levels)}
            for key in zones
        },
        "conduits": {key: draw(_conduits(key, newer=newer)) for key in zones},
        "groups": drawn,
        "functions": {key: draw(_functions_2(drawn, zones) if newer else _functions(groups)) for key in functions},
        "systems": {draw(ids): {"name": draw(texts()), "functions": functions}},
    }
    given = {"evidence": draw(texts(300)), "note": "because " + draw(texts(300)), "by": draw(texts())}
    asked_of = [key for key in groups if "channels" in drawn[key]]
    asked = {
        "ASM3": "plant",
        **({"SEP1": f"group:{asked_of[0]}"} if asked_of else {}),
        **({"SR 7.3": f"zone:{zones[0]}"} if zones else {}),
    }
    raw["answers"] = [
        {"question": name, "of": of, "value": draw(st.sampled_from(VALUES)), "on": "2025-03-04", **given}
        for name, of in asked.items()
    ]
    return Plant.model_validate(raw)


@cache
def _addressees() -> dict[str, list[str]]:
    plant = bare_plant()
    return {
        "plant": ["plant"],
        "system": [f"system:{key}" for key in plant.systems],
        "zone": [f"zone:{key}" for key in plant.zones],
        "group": [f"group:{key}" for key in plant.groups],
    }


@st.composite
def answers(draw: st.DrawFn) -> Answer:
    """An answer that can be given of the valid plant: any question, any addressee that it may be asked of."""
    questions: list[Question] = list(
        draw(st.sampled_from([banks().common_cause, banks().cyber, banks().requirements])).values()
    )
    question = draw(st.sampled_from(questions))
    levels = [one for one in BEFORE[question.bank] if ORDER[one] >= ORDER[question.asked_of]]
    of = draw(st.sampled_from(_addressees()[draw(st.sampled_from(levels))]))
    return answer(question.id, of, draw(st.sampled_from(VALUES)), evidence=draw(st.sampled_from(["", "shown"])))
