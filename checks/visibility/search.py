"""Search in a plant by id and by words, within what its reader may see."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from heapq import nsmallest

from checks.questions.bank import Question
from checks.state.live import State

MOST = 12
"""Matches returned at once."""
KINDS = ("function", "group", "tag", "system", "zone", "device", "question")
"""Kinds of things that are found, in the order in which equally good matches are listed."""


@dataclass(frozen=True, slots=True)
class Match:
    """Something found: its kind, id and name, and the addressees that say where it is shown.

    ``place`` holds the query parameters of its screen, such as ``group``; ``bank`` is that of a question.
    """

    kind: str
    key: str
    name: str
    place: Mapping[str, str]
    bank: str = ""


def find(state: State, text: str, *, here: Mapping[str, str | None], most: int = MOST) -> list[Match]:
    """The best matches for a text, best first; none for an empty text.

    Every word must occur in the id or the name, whatever its capitals. ``state`` holds only what its reader may see.
    ``here`` are the query parameters of the present screen: a question is opened for the group or zone shown there.
    """
    words = text.casefold().split()
    if not words:
        return []
    ranked = ((rank, match) for match in _everything(state, here) if (rank := _rank(match, words)) is not None)
    return [match for _, match in nsmallest(most, ranked, key=lambda pair: pair[0])]


def _rank(match: Match, words: list[str]) -> tuple[int, int, str] | None:
    """How well a match fits, the lower the better; None if a word is missing."""
    key, name = match.key.casefold(), match.name.casefold()
    if not all(word in key or word in name for word in words):
        return None
    typed = " ".join(words)
    quality = 0 if key == typed else 1 if key.startswith(typed) else 2 if typed in key else 3
    return quality, KINDS.index(match.kind), match.key


def _everything(state: State, here: Mapping[str, str | None]) -> Iterator[Match]:
    yield from _functions(state)
    for key, group in state.groups.items():
        yield Match("group", key, group.name, {"group": key})
        yield from (Match("tag", tag, f"{key} {group.name}".strip(), {"group": key}) for tag in group.tags)
    yield from (Match("system", key, system.name, {"system": key}) for key, system in state.systems.items())
    yield from (Match("zone", key, zone.name, {"zone": key}) for key, zone in state.zones.items())
    yield from _devices(state)
    yield from _questions(state, here)


def _functions(state: State) -> Iterator[Match]:
    """Functions of the systems that the reader may see; all of them for a reader who sees results only."""
    owner, systems = state.assessment.links.system_of_function, state.systems
    for key, function in state.plant.functions.items():
        if state.within is None or not systems or owner.get(key) in systems:
            yield Match("function", key, function.name, {"function": key})


def _devices(state: State) -> Iterator[Match]:
    """Devices, each in the first group that has it."""
    seen = set[str]()
    for key, group in state.groups.items():
        for device in group.devices:
            if device not in seen:
                seen.add(device)
                name = f"{state.plant.devices[device].name}, in {key}".lstrip(", ")
                yield Match("device", device, name, {"group": key})


def _questions(state: State, here: Mapping[str, str | None]) -> Iterator[Match]:
    """Questions, each for the group or zone shown, else for the first one that asks it."""
    banks, groups = state.assessment.banks, list(state.groups)
    if here.get("group") in state.groups:
        groups.insert(0, str(here["group"]))
    asked: dict[str, str] = {}
    for group in groups:
        for name in state.assessment.rows_of_plant(group):
            asked.setdefault(name, group)
    for name, question in banks.common_cause.items():
        if name in asked:
            yield _question(question, {"group": asked[name]}, "common-cause")
    redundant = next((key for key in groups if state.plant.groups[key].voted.redundant), None)
    for bank, questions in banks.opinions.items() if redundant is not None else ():
        place = {"group": str(redundant), "method": bank}
        yield from (_question(question, place, "common-cause") for question in questions.values())
    zone = _zone(state, here.get("zone"))
    if zone is not None:
        yield from (_question(question, {"zone": zone}, "cyber") for question in banks.cyber.values())
        yield from (_question(question, {"zone": zone}, "requirements") for question in banks.requirements.values())


def _zone(state: State, shown: str | None) -> str | None:
    """The zone for which a question of a zone is opened: the one shown, else the first safety zone."""
    if shown in state.zones:
        return shown
    return next(iter(sorted(state.zones, key=lambda key: not state.zones[key].safety_related)), None)


def _question(question: Question, place: Mapping[str, str], bank: str) -> Match:
    return Match("question", question.id, question.text or question.title, {**place, "q": question.id}, bank)
