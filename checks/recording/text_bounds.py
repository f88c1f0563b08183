"""The longest text of an event: one bound for every field that somebody types into, whatever the screen allows.

Functions that record an event have finer bounds where a field is a name or a reference.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.journal.event_body import EventBody
from checks.journal.text_limits import texts_in
from checks.recording.field_checks import too_long
from checks.text.faults import Fault


def length_faults(body: EventBody, data: Mapping[str, Any]) -> list[Fault]:
    """Faults of the texts of an event that are too long; ``data`` is its body as JSON data."""
    typed = {name: value for name, value in data.items() if name not in body.CARRIES}
    return [fault for place, text in texts_in(body.KIND, typed) for fault in too_long(place, text)]
