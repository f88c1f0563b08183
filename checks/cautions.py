"""What must be said wherever a number leaves the program."""

from __future__ import annotations

from checks.groups import rates, upkeep
from checks.plant import Plant
from scoring import annex_b, exposure, levels

CAUTIONS = (
    "Decision support for competent people. It certifies nothing and replaces no specification, assessment or judgement.",
    "Figures are orders of magnitude. Betas from a questionnaire are judgement; real values can be higher.",
    "Local law, codes and licensed practice come first; the duty holder decides and stays responsible.",
    "A result of PFD or PFH alone supports no SIL: architecture and systematic capability are separate statements.",
    f"Exposure and adjusted beta: {exposure.SCENARIO}.",
    "No probability of an attack is computed. Not for use in real time; not part of a safety system.",
)

EDITIONS = {
    "iec61508-6-2010": "IEC 61508-6:2010",
    "pds-2013": "PDS 2013 (C_MooN)",
    "none": "none",
    "annex-b": "IEC 61508-6:2010 Annex B",
    "graded": "graded (house rule)",
}


def method(plant: Plant) -> str:
    """Method and conventions in one line, to stand beside every result."""
    held = plant.conventions
    return (
        f"Beta: {EDITIONS[held.beta_method]} Annex D; voting factor: {EDITIONS[held.voting_factor]}; "
        f"PFD and PFH: {EDITIONS[held.redundancy_method]}; exposure: {EDITIONS[held.exposure_rule]}"
    )


def remarks(plant: Plant) -> list[str]:
    """What a reader of the results must know about this plant's data. Nothing of it is refused or clamped."""
    found = []
    for key, group in plant.groups.items():
        if annex_b.outside_range(rates(plant, group), upkeep(group)):
            found.append(f"{key}: dangerous rate times test interval exceeds 0.1, outside the range of the equations")
        if group.proof_test.staggered:
            found.append(f"{key}: tests are staggered, but Annex B gives no credit for it")
        if len({tuple(channel) for channel in group.channels}) > 1:
            found.append(f"{key}: unlike channels; their rates are replaced by the geometric mean (approximation)")
        if group.stated_beta and not group.stated_beta.source:
            found.append(f"{key}: the stated beta names no source")
        if group.zone is None and group.programmable:
            found.append(f"{key}: lies in no zone, so its beta is not adjusted")
    for key, zone in plant.zones.items():
        missing = [fr for fr in levels.FOUNDATIONAL if fr not in zone.sl_target]
        if zone.sl_target and missing:
            found.append(f"{key}: no target level for {', '.join(missing)}")
    in_system = {name for system in plant.systems.values() for name in system.functions}
    found += [f"{key}: belongs to no safety system" for key in plant.functions if key not in in_system]
    return found
