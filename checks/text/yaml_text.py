"""From the text of a plant file to plain mappings, lists and scalars, and to the line number of each place.

A strict subset of YAML: no tags, no anchors, no duplicate keys, one document, keys are text. Words such as
``on`` or ``yes`` stay text. The file is parsed event by event: a hostile file is rejected at its first invalid
event, and a file of 100,000 answers takes about a second.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from checks.text import yaml_hints
from checks.text.faults import Fault, Refused

Place = tuple[str | int, ...]

MOST_BYTES = 32 * 1024 * 1024
DEEPEST = 8
MOST_SYNTAX_FAULTS = 50
_Parser: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml where the wheel has it: thirty times faster
_NUMBER = re.compile(r"-?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][-+]?[0-9]+)?")
_TOP_KEY = re.compile(r"^([A-Za-z_][\w-]*):(?=\s|$)", re.MULTILINE)
_HALF = re.compile("[\ud800-\udfff]")
"""Half of a surrogate pair: not a character, so it can be neither printed nor stored."""

_WORDS: dict[str, Any] = {
    "": None,
    "~": None,
    "null": None,
    "true": True,
    "false": False,
    ".nan": float("nan"),
    ".inf": float("inf"),
    "-.inf": float("-inf"),
}


@dataclass
class _Open:
    """A mapping or list that is not complete yet."""

    value: dict[str, Any] | list[Any]
    place: Place
    key: str | None = None


@dataclass
class _Reader:
    name: str
    faults: list[Fault] = field(default_factory=list)
    stack: list[_Open] = field(default_factory=list)
    root: Any = None
    documents: int = 0

    def fault(self, event: Any, found: str, allowed: str, *, place: str = "") -> None:
        line = event.start_mark.line + 1
        self.faults.append(Fault(place or written(self.current_place()), found, allowed, line))
        if len(self.faults) >= MOST_SYNTAX_FAULTS:
            raise Refused(self.name, self.faults)

    def current_place(self) -> Place:
        if not self.stack:
            return ()
        top = self.stack[-1]
        return (*top.place, top.key if isinstance(top.value, dict) and top.key is not None else len(top.value))

    def put(self, event: Any, value: Any) -> None:
        """Add a scalar or a new container to the open container."""
        if not self.stack:
            self.root = value
            return
        top = self.stack[-1]
        if isinstance(top.value, list):
            top.value.append(value)
        elif top.key is None:
            self.fault(event, "a list or mapping in place of a key", "write keys as plain text")
            raise Refused(self.name, self.faults)
        else:
            top.value[top.key] = value
            top.key = None

    def scalar(self, event: Any) -> None:
        if event.anchor:
            self.fault(event, f"anchor &{event.anchor}", "anchors are not allowed: write the value out")
        if event.tag:
            self.fault(event, f"tag {event.tag}", "tags are not allowed: remove it")
        if not event.value.isascii() and _HALF.search(event.value):
            self.fault(event, "half of a character", "write the character itself")
            event.value = _HALF.sub("?", event.value)
        top = self.stack[-1] if self.stack else None
        if top and isinstance(top.value, dict) and top.key is None:
            if event.value in top.value:
                twice = written((*top.place, event.value))
                self.fault(event, "this key is listed twice", "each key once: remove one of the two", place=twice)
            top.key = event.value
        else:
            self.put(event, plain(event.value) if event.implicit[0] else event.value)

    def take(self, event: Any) -> None:
        """Take the next event of the file."""
        kind = type(event)
        if kind is yaml.ScalarEvent:
            self.scalar(event)
        elif kind is yaml.MappingStartEvent:
            self.open(event, {})
        elif kind is yaml.SequenceStartEvent:
            self.open(event, [])
        elif kind in (yaml.MappingEndEvent, yaml.SequenceEndEvent):
            self.stack.pop()
        elif kind is yaml.AliasEvent:
            self.fault(event, f"alias *{event.anchor}", "aliases are not allowed: write the value out")
            self.put(event, None)
        elif kind is yaml.DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                self.fault(event, "a second document", "one plant for each file", place="(file)")
                raise Refused(self.name, self.faults)

    def open(self, event: Any, value: dict[str, Any] | list[Any]) -> None:
        if event.anchor:
            self.fault(event, f"anchor &{event.anchor}", "anchors are not allowed: write the block out")
        if event.tag:
            self.fault(event, f"tag {event.tag}", "tags are not allowed: remove it")
        if len(self.stack) >= DEEPEST:
            self.fault(event, f"nested more than {DEEPEST} deep", "a plant file is at most 5 deep")
            raise Refused(self.name, self.faults)
        place = self.current_place()
        self.put(event, value)
        self.stack.append(_Open(value, place))


def plain(text: str) -> Any:
    """Value of an unquoted scalar: number, true, false, null, else the text itself.

    >>> plain("1e-6"), plain("on"), plain("2oo3"), plain("true")
    (1e-06, 'on', '2oo3', True)
    """
    if text in _WORDS:
        return _WORDS[text]
    if _NUMBER.fullmatch(text) is None:
        return text
    digits = text.removeprefix("-")
    if not digits.isdigit():
        return float(text)
    if text == "-0" or (len(digits) > 1 and digits[0] == "0"):
        return text  # 007 is a name, not a number
    return int(text) if len(digits) <= 15 else float(text)


def written(place: Place) -> str:
    """Place in dotted form: ``groups.pt-301.voting``.

    >>> written(("answers", 3, "of"))
    'answers.3.of'
    """
    return ".".join(str(step) for step in place) or "(file)"


class NotYaml(Refused):
    """A text with a fault of syntax, behind which it could not be read on."""


def _events(name: str, text: str) -> Iterator[Any]:
    try:
        parser = _Parser(text)
        while not isinstance(event := parser.get_event(), yaml.StreamEndEvent):
            yield event
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else None
        begun = error.context_mark.line + 1 if error.context_mark else None
        allowed = yaml_hints.hint(text, (line, line - 1 if line else None, begun))
        at = begun if begun and "end of stream" in str(error.problem) else line  # a quote or bracket that is not closed
        raise NotYaml(name, [Fault("(file)", f"not readable as YAML: {error.problem}", allowed, at)]) from error
    except yaml.YAMLError as error:
        problem = str(error).splitlines()[0]
        raise Refused(
            name, [Fault("(file)", f"not readable as YAML: {problem}", "save it as plain UTF-8 text")]
        ) from error


@dataclass(frozen=True, slots=True)
class Block:
    """A block at the top of a text: its key, the number of lines before it, and its text."""

    key: str
    before: int
    text: str


def blocks(text: str) -> list[Block]:
    """The blocks of a text, as far as their keys begin a line."""
    starts = list(_TOP_KEY.finditer(text))
    ends = [*(start.start() for start in starts), len(text)][1:]
    return [
        Block(start[1], text.count("\n", 0, start.start()), text[start.start() : end])
        for start, end in zip(starts, ends, strict=True)
    ]


def decoded(name: str, raw: bytes) -> str:
    """Text from the bytes of a file; raises Refused if it is too large or not UTF-8."""
    if len(raw) > MOST_BYTES:
        found = f"{len(raw):,} bytes"
        raise Refused(name, [Fault("(file)", found, f"at most {MOST_BYTES:,} bytes; is this a plant file?")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        allowed = "save the file as UTF-8"
        raise Refused(name, [Fault("(file)", f"byte {error.start} is not UTF-8 text", allowed, line)]) from error


def parsed(name: str, text: str) -> tuple[dict[str, Any], list[Fault]]:
    """Plain data from the text of a plant file, and the faults of form after which reading goes on.

    Raises Refused where reading cannot go on: not YAML, nested too deep, no mapping at the top.
    """
    reader = _Reader(name)
    for event in _events(name, text):
        reader.take(event)
    if not isinstance(reader.root, dict):
        found = "nothing in it" if reader.root is None else "no mapping at the top"
        raise Refused(name, [*reader.faults, Fault("(file)", found, "begin it with 'format: 1'")])
    root: dict[str, Any] = reader.root
    return root, reader.faults


def lines_of(text: str, places: set[Place]) -> dict[Place, int]:
    """Line number of each place; where the file does not have the place, that of the nearest enclosing one."""
    wanted = {place[:n] for place in places for n in range(1, len(place) + 1)}
    lines: dict[Place, int] = {}
    reader = _Reader("")
    for event in _events("", text):
        kind = type(event)
        if kind in (yaml.ScalarEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent):
            is_key = (
                kind is yaml.ScalarEvent
                and reader.stack
                and isinstance(reader.stack[-1].value, dict)
                and reader.stack[-1].key is None
            )
            place = (*reader.stack[-1].place, event.value) if is_key else reader.current_place()
            if place in wanted:
                lines.setdefault(place, event.start_mark.line + 1)
        reader.take(event)
    return {
        place: next((lines[place[:n]] for n in range(len(place), 0, -1) if place[:n] in lines), 1) for place in places
    }
