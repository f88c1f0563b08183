"""Plant file to Plant and back. A file is taken whole or refused whole, with every fault listed."""

from __future__ import annotations

from itertools import chain, islice
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError
from pydantic_core import ErrorDetails

from checks import formats, links
from checks.faults import Fault, Refused
from checks.plant import Plant
from checks.yaml_text import Place, decoded, lines_of, parsed, plain, written

ALLOWED = {
    "format": "1 or 2",
    "beta_method": "iec61508-6-2010",
    "voting_factor": "iec61508-6-2010, pds-2013 or none",
    "redundancy_method": "annex-b (timeline is not available in this version)",
    "exposure_rule": "in format 2 to-single, graded, credits or none; in format 1 graded or none",
    "lambda_du_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "lambda_dd_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "lambda_s_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "part": "sensor, logic or final",
    "voting": "M, two letters o, N, with 1 <= M <= N <= 8, as in 2oo3",
    "channels": "one list of device ids a channel, as in [[PT], [PT], [PT]]",
    "interval_h": "hours, 24 to 438,000 (1 year = 8760)",
    "full_interval_h": "hours, 24 to 438,000 (10 years = 87600)",
    "coverage": "a fraction, 0 to 1 (90 % = 0.9)",
    "beta": "a fraction, 0 to 1 (5 % = 0.05)",
    "beta_d": "a fraction, 0 to 1 (2.5 % = 0.025)",
    "mttr_h": "hours, 0 to 87,600",
    "mrt_h": "hours, 0 to 87,600",
    "diagnostic_interval_h": "hours, above 0 to 87,600",
    "demand": "low or high",
    "target_rrf": "a risk reduction factor, above 1 to 1,000,000",
    "target_pfh": "dangerous failures per hour, above 0 and below 0.01, as in 1.0e-6",
    "sl_target": "levels 0 to 4 for IAC, UC, SI, DC, RDF, TRE, RA",
    "value": "met, partly, not-met, unknown, equivalent or not-applicable",
    "of": "plant, system:ID, group:ID or zone:ID",
    "on": "a date, as in 2025-03-04",
    "between": "two zone ids, or one zone id and outside",
    "programmable": "true or false",
    "staggered": "true or false",
    "acts_on_detected": "true or false",
    "safety_related": "true or false",
}
_WRONG_TYPE = {
    "string_type": "text; put it in quotes",
    "dict_type": "a mapping of keys and values",
    "model_type": "a mapping of keys and values",
    "list_type": "a list",
    "float_type": "a number",
    "int_type": "a whole number",
    "bool_type": "true or false",
    "string_pattern_mismatch": "letters, digits, dot, dash and underscore",
}


_YAML_WORDS = {None: "null", True: "true", False: "false"}


def _short(value: Any) -> str:
    text = _YAML_WORDS.get(value, repr(value)) if value is None or isinstance(value, bool) else repr(value)
    return text if len(text) <= 60 else text[:57] + "…"


def type_fault(error: ErrorDetails) -> tuple[Place, Fault]:
    """Place and fault of one thing that the types refused."""
    place: Place = tuple(step for step in error["loc"] if step != "[key]")
    kind, name = error["type"], next((str(step) for step in reversed(place) if isinstance(step, str)), "")
    if kind == "extra_forbidden":
        return place, Fault(written(place), "unknown key", "remove it or mend the spelling")
    if kind == "missing":
        return place, Fault(written(place), "missing", ALLOWED.get(name, "this key is needed"))
    if "[key]" in error["loc"]:
        if len(place) > 1 and place[-2] == "sl_target":
            return place, Fault(written(place), "unknown foundational requirement", ALLOWED["sl_target"])
        rule = _WRONG_TYPE["string_pattern_mismatch"]
        return place, Fault(written(place), f"{_short(error['input'])} is no id that can be used here", rule)
    if kind.endswith(("too_short", "too_long")) and name not in ALLOWED:
        return place, Fault(written(place), f"found {_short(error['input'])}", f"allowed: {_length(error)}")
    own = [step for step in place if str(step) in ALLOWED]
    rule = ALLOWED[str(own[-1])] if own and (own[-1] == name or kind not in _WRONG_TYPE) else ""
    if not rule or (kind in ("string_type", "list_type", "dict_type", "model_type") and own[-1:] != [name]):
        rule = _WRONG_TYPE.get(kind, error["msg"])
    return place, Fault(written(place), f"found {_short(error['input'])}", f"allowed: {rule}")


def _length(error: ErrorDetails) -> str:
    bounds = error.get("ctx", {})
    least, most = bounds.get("min_length"), bounds.get("max_length")
    count = least if most is None else most
    one, many = ("letter", "letters") if isinstance(error["input"], str) else ("entry", "entries")
    return f"{'at least' if most is None else 'at most'} {count} {one if count == 1 else many}"


MOST_LOOKED_AT = 2000
"""Faults beyond this are counted but not written out."""


def _typed(raw: dict[str, Any]) -> tuple[Plant | None, list[tuple[Place, Fault]], int]:
    """The plant, or what its types refuse and how many faults more there are of that kind."""
    try:
        return Plant.model_validate(raw), [], 0
    except ValidationError as error:
        count = error.error_count()
        if count <= MOST_LOOKED_AT:
            return None, [type_fault(one) for one in error.errors(include_url=False)], 0
    _, told, _ = _typed(_beginning(raw))  # a file of hundreds of thousands of faults: look at its beginning
    return None, told, count - len(told)


def _beginning(value: Any, most: int = 40) -> Any:
    """The first entries of every block and list."""
    if isinstance(value, dict):
        return {key: _beginning(held, most) for key, held in islice(value.items(), most)}
    return [_beginning(held, most) for held in value[:most]] if isinstance(value, list) else value


def from_text(name: str, text: str) -> Plant:
    """Plant of the text of a plant file; raises Refused with every fault of it. ``name`` is what faults call the file."""
    raw, form = parsed(name, text)
    plant, wrong, unlisted = _typed(raw)
    told = {fault.place for fault in form}
    wrong = [one for one in wrong if one[1].place not in told]
    told |= {fault.place for _, fault in wrong}
    linked = (one for one in chain(links.faults(raw), formats.faults(raw)) if one[1].place not in told)
    wrong += islice(linked, MOST_LOOKED_AT)
    unlisted += sum(1 for _ in islice(linked, 1))  # at least one more; finding all would take too long
    if plant is None or wrong or form:
        lines = lines_of(text, {place for place, _ in wrong})
        placed = [Fault(one.place, one.found, one.allowed, lines[place] if place else 1) for place, one in wrong]
        raise Refused(name, sorted([*form, *placed], key=lambda fault: fault.line or 0), unlisted=unlisted)
    return plant


def from_bytes(name: str, raw: bytes) -> Plant:
    """Plant of the bytes of an uploaded plant file."""
    return from_text(name, decoded(name, raw))


def read(path: Path) -> Plant:
    """Plant of a plant file on disk; raises Refused with every fault, also when it cannot be read at all."""
    try:
        raw = path.read_bytes()
    except OSError as error:
        why = error.strerror or "cannot be read"
        raise Refused(str(path), [Fault("(file)", why, "name a plant file that can be read")]) from error
    return from_bytes(str(path), raw)


def to_text(plant: Plant) -> str:
    """Text of a plant file that reads back as the same plant."""
    data = formats.in_full(plant.model_dump(mode="json", exclude_defaults=True), plant)
    data = {"format": plant.format, "plant": data.pop("plant"), "conventions": plant.conventions.model_dump(), **data}
    return str(yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=120))


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Writes text so that the strict reader takes it for text again."""


def _text(dumper: Any, text: str) -> Any:
    style = None if isinstance(plain(text), str) else "'"
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style=style)


_Dumper.add_representer(str, _text)
