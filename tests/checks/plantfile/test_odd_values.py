"""Any value anywhere in a plant file is computed, or rejected with one line for each fault."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from checks.analysis.json_results import outcome
from checks.assessment.assessment import Assessment
from checks.plantfile import plant_file
from tests.checks.given import plain, plain_2, plain_with_element, told

Path = tuple[str | int, ...]
REMOVED = "(removed)"
ODD: list[Any] = [
    None,
    True,
    False,
    0,
    -1,
    1,
    2,
    24,
    87600,
    438000,
    10**14,
    1e-9,
    1e6,
    float("nan"),
    float("inf"),
    "",
    "x",
]
ODD += ["1oo1", "8oo8", "1oo8", "none", "outside", "plant", "group:", "zone:sis", [], [[]], [[None]], ["x"], [1, 2]]
ODD += [[True, None, 1.5], [{}], {}, {"x": 1}, {"x": {}}, {"": None}, "a" * 3000, "\u202e", "é", REMOVED]


def _paths(node: Any, path: Path = ()) -> Iterator[Path]:
    if path:
        yield path
    steps = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for step, inner in steps:
        yield from _paths(inner, (*path, step))


# conventions.voting_factor has tests of its own.
FILES = {"format 1": plain, "format 2": plain_2, "an element": plain_with_element}
PATHS = [
    (name, path)
    for name, read in FILES.items()
    for path in _paths(read())
    if path != ("conventions", "voting_factor") and (name != "an element" or path[:2] == ("groups", "esv"))
]


def _with(file: str, path: Path, value: Any) -> str:
    """A valid file with one node replaced or removed, written as JSON, which is valid YAML."""
    raw = FILES[file]()
    node: Any = raw
    for step in path[:-1]:
        node = node[step]
    if value == REMOVED:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return json.dumps(raw, ensure_ascii=False).replace("NaN", ".nan").replace("Infinity", ".inf")


@settings(deadline=None, max_examples=500)
@given(place=st.sampled_from(PATHS), value=st.sampled_from(ODD))
def test_any_value_in_any_place_is_computed_or_refused_in_one_line_for_each_fault(
    place: tuple[str, Path], value: Any
) -> None:
    text = _with(*place, value)
    lines = told(text)
    assert all(line.startswith("FILE: ") and "\n" not in line for line in lines)
    if not lines:
        plant = plant_file.from_text("FILE", text)
        assert json.dumps(outcome(Assessment(plant)), allow_nan=False)
        assert plant_file.from_text("again", plant_file.to_text(plant)) == plant
