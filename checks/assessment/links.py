"""Relations in a plant: systems and functions of a group, groups in a zone, reach of a zone."""

from __future__ import annotations

from collections.abc import Iterable

from checks.plantfile.plant import Plant


class Links:
    """Relations in one plant: systems and functions of a group, groups in a zone, reach of a zone."""

    def __init__(self, plant: Plant) -> None:
        systems: dict[str, dict[str, None]] = {key: {} for key in plant.groups}
        uses: dict[str, list[str]] = {key: [] for key in plant.groups}
        inside: dict[str, list[str]] = {key: [] for key in plant.zones}
        owner = {name: key for key, system in plant.systems.items() for name in system.functions}
        for name, function in plant.functions.items():
            for key in function.group_ids:
                uses[key].append(name)
                if name in owner:
                    systems[key][owner[name]] = None
        for key, group in plant.groups.items():
            if group.zone is not None:
                inside[group.zone].append(key)
        self._programmable = {key for key, group in plant.groups.items() if group.programmable}
        self._functions = plant.functions
        self.system_of_function = owner
        self.systems_of = {key: tuple(names) for key, names in systems.items()}
        self.uses = {key: tuple(names) for key, names in uses.items()}
        self.groups_in = {key: tuple(names) for key, names in inside.items()}
        self.reached: dict[str, tuple[str, ...]] = {}

    def reach(self, zone: str) -> tuple[str, ...]:
        """Functions with a programmable group in a zone: one compromise of the zone defeats each of them."""
        if zone not in self.reached:
            inside = [key for key in self.groups_in[zone] if key in self._programmable]
            names = dict.fromkeys(name for key in inside for name in self.uses[key])
            self.reached[zone] = tuple(name for name in names if self._functions[name].defeated_by(inside))
        return self.reached[zone]

    def groups_of(self, addressee: str) -> Iterable[str]:
        """Groups whose result an answer for this addressee can change; none for an unknown addressee."""
        kind, _, key = addressee.partition(":")
        if kind == "group":
            return (key,) if key in self.uses else ()
        if kind == "zone":
            return self.groups_in.get(key, ())
        if kind == "system":
            return (name for name, systems in self.systems_of.items() if key in systems)
        return self.systems_of
