"""Plant data to check after a change: a to-do until somebody checks it or changes the data."""

from __future__ import annotations

from collections.abc import Collection

from checks.access.roles import Person
from checks.events.plant import data_check
from checks.journal.event import Event
from checks.recording import recorder, teams
from checks.recording.field_checks import missing, too_long
from checks.state import plant_data_waiting
from checks.state.live import Live
from checks.text.faults import Fault, Refused


def confirm_data(live: Live, person: Person, places: Collection[str], *, system: str, how: str) -> Event:
    """Record that plant data were checked after a change and are right; ``how`` says against what.

    Raises NotAllowed and Refused.
    """
    state = live.state()
    teams.require(state, person, data_check.Body.PERMISSION, [f"system:{system}"])
    known = plant_data_waiting.of_system(state, system)
    faults = missing("how", how, "say against what the data were checked") + too_long("how", how)
    if not places:
        faults.append(Fault("places", "none", "tick the data that were checked"))
    faults += [
        Fault("places", f"{place} does not wait to be checked", "nothing more to do for it")
        for place in sorted(set(places) - set(known))
    ]
    if faults:
        raise Refused("plant data", faults)
    systems = {key for place in places for key in plant_data_waiting.systems_of(state, known[place])}
    body = data_check.Body(places=tuple(sorted(places)), systems=tuple(sorted(systems)), how=how.strip())
    return recorder.record(live, person, body)
