"""What must be said wherever a number leaves the program."""

from __future__ import annotations

from checks.assessment import editions as known_editions
from checks.assessment.editions import Editions
from checks.assessment.groups import voted
from checks.plantfile.plant import Plant
from scoring import exposure, levels

CAUTIONS = (
    "Decision support for competent people. It certifies nothing and replaces no specification, assessment or judgement.",
    "Figures are orders of magnitude. Betas from a questionnaire are judgement; real values can be higher.",
    "Local law, codes and licensed practice come first; the duty holder decides and stays responsible.",
    "A result of PFD or PFH alone supports no SIL: architecture and systematic capability are separate statements.",
    f"Exposure and adjusted beta: {exposure.SCENARIO}.",
    "No probability of an attack is computed. Not for use in real time; not part of a safety system.",
)


def method(plant: Plant, editions: Editions | None = None) -> str:
    """Methods with their editions in one line, to stand beside every result; those of the plant's format by default."""
    about = (editions or known_editions.of_plant(plant)).about
    return (
        f"Beta: {about['beta_method'].label}; MooN factor: {about['voting_factor'].label}; "
        f"PFD and PFH: {about['redundancy_method'].label}; exposure: {about['exposure_rule'].label}"
    )


def remarks(plant: Plant, editions: Editions | None = None) -> list[str]:
    """What a reader of the results must know about this plant's data. Nothing of it is refused or clamped."""
    redundancy = (editions or known_editions.of_plant(plant)).redundancy
    found = []
    for key, group in plant.groups.items():
        found += [f"{key}: {remark}" for remark in redundancy.remarks(voted(plant, group))]
        if group.proof_test.staggered:
            found.append(f"{key}: tests are staggered, but Annex B gives no credit for it")
        if group.stated_beta and not group.stated_beta.source:
            found.append(f"{key}: the specified beta names no source")
        if group.zone is None and group.programmable:
            found.append(f"{key}: lies in no zone, so its beta is not adjusted")
    for key, zone in plant.zones.items():
        missing = [fr for fr in levels.FOUNDATIONAL if fr not in zone.sl_target]
        if zone.sl_target and missing:
            found.append(f"{key}: no target level for {', '.join(missing)}")
    in_system = {name for system in plant.systems.values() for name in system.functions}
    found += [f"{key}: belongs to no safety system" for key in plant.functions if key not in in_system]
    return found
