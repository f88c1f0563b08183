"""``python -m demo.load``: fill the database with the invented demo plant and its history."""

from __future__ import annotations

import sys
from pathlib import Path

from checks.access.roles import MEMBER, Person
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.recording import plant_import
from checks.text.faults import Refused
from demo import replay

PLANT = Path(__file__).parent / "quillmarch.yaml"
LOADS = Person("demo", frozenset({MEMBER}), writer=replay.WRITER)


def into(store: Store) -> int:
    """Load the demo plant with its history; returns its number in the store.

    If the store has the plant already, its present data and answers are imported into it.
    """
    present = plant_file.read(PLANT)
    if present.plant.name in store.plants().values():
        return plant_import.import_plant(store, LOADS, present)
    return store.take_over(*replay.replayed(present))


def main() -> int:
    """Fill the database named by SHARED_CAUSE_DB, or the default one. Returns the exit status."""
    try:
        key = into(Store())
    except (Refused, StoreUnavailable) as error:
        print(error, file=sys.stderr)
        return 2
    print(f"The demo plant is in the store as number {key}. Invented data - not for use.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
