"""Published betas: by class of equipment, as opinions with their source, and the ranges of surveys as backdrop."""

from __future__ import annotations

from dataclasses import dataclass

from scoring.common_cause import Part
from scoring.method import About
from scoring.source import table
from scoring.units import Fraction


@dataclass(frozen=True, slots=True)
class PublishedBeta:
    """Beta of a pair as published for one class of equipment."""

    equipment: str
    beta: Fraction


@dataclass(frozen=True, slots=True)
class PublishedBetas:
    """One published list of betas by class of equipment."""

    about: About
    table: str

    def of_part(self, part: Part) -> tuple[PublishedBeta, ...]:
        """Published betas of the classes of equipment that are used as a part, lowest first.

        >>> [each.equipment for each in PDS.of_part("logic")]
        ['safety PLC logic']
        """
        rows = (row for row in table(self.table).rows if row["part"] == part)
        found = [PublishedBeta(row["equipment"], float(row["values"][0])) for row in rows]
        return tuple(sorted(found, key=lambda each: (each.beta, each.equipment)))


@dataclass(frozen=True, slots=True)
class PublishedRange:
    """Range of beta that one survey found or recommends."""

    survey: str
    low: Fraction
    high: Fraction


RANGES = "jones_2012_beta_ranges"
FIELD_SURVEY = "IAEA, thirteen nuclear component types"


def ranges() -> tuple[PublishedRange, ...]:
    """Published ranges of beta in printed order.

    Source: H. W. Jones, Common Cause Failures and Ultra Reliability, AIAA 2012 (as collated there).
    """
    return tuple(PublishedRange(row["survey"], *map(float, row["values"])) for row in table(RANGES).rows)


def typical() -> PublishedRange:
    """Range of beta with good prevention, which the same paper draws from the others."""
    low, high = map(float, table(RANGES).extra["good_prevention"])
    return PublishedRange("with good prevention", low, high)


def field_range() -> PublishedRange:
    """The range that rests on field data of most component types."""
    return next(each for each in ranges() if each.survey == FIELD_SURVEY)


def ranges_source() -> str:
    """Document and edition of the ranges."""
    printed = table(RANGES)
    return f"{printed.document} {printed.edition}"


def _list(method: str, label: str, source: str, valid: str, name: str) -> PublishedBetas:
    about = About(method, 1, label, source, "memory", valid, ("beta = the published value of the class of equipment",))
    return PublishedBetas(about, name)


PDS = _list(
    "pds-2013",
    "Typical by equipment, PDS 2013",
    "SINTEF PDS data handbook, 2013",
    "equipment of the oil and gas industry",
    "pds_2013_beta",
)
FIELD = _list(
    "sintef-a26922",
    "Field data by equipment, SINTEF 2015",
    "Hauge and others, SINTEF A26922, 2015: some 12,000 maintenance notifications of six facilities",
    "equipment of the oil and gas industry as maintained there",
    "sintef_a26922_2015_beta",
)
NUCLEAR = _list(
    "nureg-cr-4780",
    "Generic by component, NUREG/CR-4780",
    "EPRI NP-3967 as reproduced in NUREG/CR-4780, 1988",
    "components of nuclear power plants",
    "nureg_cr_4780_beta",
)
