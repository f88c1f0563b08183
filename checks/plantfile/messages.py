"""Messages for an invalid plant file: what is allowed, field by field."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from pydantic_core import ErrorDetails

from checks.text import days
from checks.text.faults import Fault
from checks.text.yaml_text import Place, written
from scoring.methods import registry

_DECIMAL_COMMA = re.compile(r"[-+]?\d+,\d+([eE][-+]?\d+)?")


def one_of(ids: Sequence[str]) -> str:
    """Ids in words: ``a, b or c``."""
    *others, last = ids
    return f"{', '.join(others)} or {last}" if others else last


ALLOWED = {
    "format": "1 or 2",
    "beta_method": one_of(registry.BETA.ids()),
    "beta_method_reason": "why this method carries the beta of this group, and not that of the plant",
    "voting_factor": one_of(registry.MOON_FACTORS.ids()),
    "redundancy_method": f"in format 2 {one_of(registry.REDUNDANCY.ids())}; in format 1 annex-b",
    "exposure_rule": f"in format 2 {one_of(registry.EXPOSURE.ids())}; in format 1 graded or none",
    "lambda_du_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "lambda_dd_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "lambda_s_fit": "FIT, failures in 1e9 hours: 0, or 0.001 to 1,000,000 (4.5e-7 per hour = 450)",
    "part": "sensor, logic or final",
    "voting": "M, two letters o, N, with 1 <= M <= N <= 8, as in 2oo3; 1oo2D in format 2",
    "channels": "one list of device ids for each channel, as in [[PT], [PT], [PT]]",
    "channels.voting": "M, two letters o, N, with 1 <= M <= N <= 8, as in 1oo2: of the devices of the redundant element",
    "channels.of": "device ids, one for each device of the redundant element, as in [SOV, SOV]",
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
    "lambda_sd_fit": "FIT, the detected part of lambda_s_fit: 0, or 0.001 to 1,000,000",
    "type": "A or B, after IEC 61508-2",
    "confidence": "a fraction, 0 to 1: the confidence of the rates from field data (90 % = 0.9)",
    "sc": "1, 2, 3 or 4, as in SC 3",
    "error_factor": "1 to 100: the upper 95 % bound of a rate over its median, as in 3",
    "mission_h": "hours, 8760 to 876,000 (15 years = 131400)",
    "offsets_h": "hours, 0 to the interval: one for each channel, as in [0, 4380]",
    "duration_h": "hours, 0 to 8760",
    "bypass": "group, channel or none",
    "error": "a fraction, 0 to 1 (0.1 % = 0.001)",
    "diagnostic_switch": "K, a fraction, 0 to 1: the efficiency of the switch between the channels",
    "stated_beta.of": "pair (times the MooN factor) or group (taken as it is)",
    "pfd": "a probability, above 0 and below 1, as in 1.2e-4",
    "pfh": "dangerous failures per hour, above 0 and below 0.01, as in 1.4e-8",
    "target_sil": "1, 2, 3 or 4",
    "check_others": "true or false",
    "target_pfh": "dangerous failures per hour, above 0 and below 0.01, as in 1.0e-6",
    "sl_target": "levels 0 to 4 for IAC, UC, SI, DC, RDF, TRE, RA",
    "value": "met, partly, not-met, unknown, equivalent or not-applicable; level-a to level-e where levels are asked",
    "of": "plant, system:ID, group:ID or zone:ID",
    "on": days.ALLOWED,
    "observed_since": f"the day from which on every failure is recorded: {days.ALLOWED}",
    "between": "two zone ids, or one zone id and outside",
    "one_way_to": "one of the two ends: hardware (a data diode) passes data to it and nothing back; leave it out otherwise",
    "demand_zone": "a zone id: where the control layer lies whose failure makes the demand",
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
    "tuple_type": "a list",
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
    """Place and fault from one validation error."""
    place: Place = tuple(step for step in error["loc"] if not str(step).startswith("["))
    what, allowed = _in_words(error, place)
    return place, Fault(written(place), what, allowed)


def _in_words(error: ErrorDetails, place: Place) -> tuple[str, str]:
    """What was found, and what is allowed."""
    kind, name = error["type"], next((str(step) for step in reversed(place) if isinstance(step, str)), "")
    if kind == "extra_forbidden":
        rest = f"write 0.{name} with a decimal point, if this is the rest of 0,{name}; or " if name.isdigit() else ""
        return "unknown key", f"{rest}remove it or correct the spelling"
    if kind == "missing":
        return "missing", ALLOWED.get(_in_entry(place), ALLOWED.get(name, "this key is needed"))
    if "[key]" in error["loc"]:
        if len(place) > 1 and place[-2] == "sl_target":
            return "unknown foundational requirement", ALLOWED["sl_target"]
        return f"{_short(error['input'])} is not a valid id", _WRONG_TYPE["string_pattern_mismatch"]
    point = _with_point(error["input"]) if kind in ("float_type", "int_type") else ""
    return f"found {_short(error['input'])}", f"allowed: {_rule(error, place, name)}{point}"


def _with_point(found: Any) -> str:
    """What to write instead of a number with a decimal comma; empty for anything else.

    >>> _with_point("0,9"), _with_point("many")
    ('; write 0.9, with a decimal point', '')
    """
    if not isinstance(found, str) or not _DECIMAL_COMMA.fullmatch(found):
        return ""
    return f"; write {found.replace(',', '.')}, with a decimal point"


def _rule(error: ErrorDetails, place: Place, name: str) -> str:
    """What is allowed at a place: of the field in its entry, of the field, of the type."""
    kind = error["type"]
    if kind.endswith(("too_short", "too_long")) and name not in ALLOWED:
        return _length(error)
    if (in_entry := _in_entry(place)) in ALLOWED:
        return ALLOWED[in_entry]
    own = [step for step in place if str(step) in ALLOWED]
    rule = ALLOWED[str(own[-1])] if own and (own[-1] == name or kind not in _WRONG_TYPE) else ""
    if not rule or (kind in ("string_type", "list_type", "dict_type", "model_type") and own[-1:] != [name]):
        rule = _WRONG_TYPE.get(kind, error["msg"])
    return rule


def _in_entry(place: Place) -> str:
    """The field of a place with that it lies in."""
    return ".".join([step for step in place if isinstance(step, str)][-2:])


def _length(error: ErrorDetails) -> str:
    bounds = error.get("ctx", {})
    least, most = bounds.get("min_length"), bounds.get("max_length")
    count = least if most is None else most
    singular, plural = ("character", "characters") if isinstance(error["input"], str) else ("entry", "entries")
    return f"{'at least' if most is None else 'at most'} {count} {singular if count == 1 else plural}"
