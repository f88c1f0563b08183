"""What a plant may not say when somebody brings it in. Plants that an earlier release stored are not looked at."""

from __future__ import annotations

from collections.abc import Iterator

from checks.plantfile.plain_data import Found, found
from checks.plantfile.plant import Plant
from checks.text import days


def faults(plant: Plant) -> Iterator[Found]:
    """A blank name, and dates that are typing errors."""
    if not plant.plant.name.strip():
        yield found(("plant", "name"), "a blank name", "a name of 1 to 200 characters")
    for key, group in plant.groups.items():
        if group.observed_since and not days.enterable(group.observed_since):
            at_group = ("groups", key, "observed_since")
            yield found(at_group, f"found '{group.observed_since}'", f"allowed: {days.ALLOWED}")
    for at, answer in enumerate(plant.answers):
        if answer.on and not days.enterable(answer.on):
            yield found(("answers", at, "on"), f"found '{answer.on}'", f"allowed: {days.ALLOWED}")
