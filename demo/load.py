"""``python -m demo.load``: fill the database with the invented demo plant."""

from __future__ import annotations

import sys
from pathlib import Path

from checks import plant_file
from checks.faults import Refused
from checks.store.errors import StoreUnavailable
from checks.store.store import Store

PLANT = Path(__file__).parent / "quillmarch.yaml"


def into(store: Store) -> int:
    """Import the demo plant and its answers; returns its number in the store."""
    return store.import_plant(plant_file.read(PLANT), by="demo", writer="demo")


def main() -> int:
    """Fill the database that SHARED_CAUSE_DB names, or the default one."""
    try:
        key = into(Store())
    except (Refused, StoreUnavailable) as error:
        print(error, file=sys.stderr)
        return 2
    print(f"The demo plant is in the store as number {key}. Invented data - not for use.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
