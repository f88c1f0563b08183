"""Sheets and their columns: key in the plant file, head as people read it, kind of value, what is allowed.

The same columns serve the grids on screen, the template, the download of a plant's own data, and lists that are brought in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from checks.plantfile.messages import ALLOWED
from scoring.common_cause import PARTS
from scoring.levels import FOUNDATIONAL
from scoring.methods import registry

Kind = Literal["id", "text", "number", "whole", "share", "hours", "fit", "voting", "choice", "flag", "ids"]
"""Kind of value of a cell; ``ids`` are lists: of ids, of names, of times, or the channels and entries of ``cell_lists``."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: ``key`` in the plant file with a dot for what lies inside; ``unit`` and ``also``, further names of it."""

    key: str
    title: str
    kind: Kind
    unit: str = ""
    choices: tuple[str, ...] = ()
    default: str = ""
    also: tuple[str, ...] = ()
    example: str = ""

    @property
    def head(self) -> str:
        """The head with its unit."""
        return f"{self.title} [{self.unit}]" if self.unit else self.title

    @property
    def allowed(self) -> str:
        """What is allowed in a cell."""
        name = self.key.rpartition(".")[2]
        return FORMS.get(self.key) or ALLOWED.get(self.key) or ALLOWED.get(name) or KINDS[self.kind]


KINDS: Mapping[Kind, str] = {
    "id": "letters, digits, dot, dash and underscore",
    "text": "text",
    "number": "a number",
    "whole": "a whole number",
    "share": "a fraction, 0 to 1 (90 % = 0.9)",
    "hours": "hours; or with a unit, as in 1 y or 6 months",
    "fit": "FIT, failures in 1e9 hours",
    "voting": "M, two letters o, N, as in 2oo3",
    "choice": "one of the choices",
    "flag": "yes or no",
    "ids": "ids with ; between them",
}
FORMS = {
    "channels": (
        "device ids with + in series and ; between channels, as in SOV+ESV; SOV+ESV; a redundant element as in "
        "1oo2 of SOV, SOV (beta 0.1, beta_d 0.1, source site study)+ESV"
    ),
    "groups": "group ids with ; between them; pt as 1oo3; any of ft, lt (beta 0.02, source site study)",
    "between": "two zone ids, or one and outside, as in ops; sis",
    "tags": "tags with ; between them",
    "devices": "device ids with ; between them; empty: all devices",
    "offsets_h": "hours with ; between them, one for each channel, as in 0; 4380",
    "programmable": "yes or no",
    "safety_related": "yes or no",
    "staggered": "yes or no",
    "acts_on_detected": "yes or no",
    "check_others": "yes or no",
    "proof_test.staggered": "yes or no",
}
"""What is allowed where the form in a cell differs from that in the plant file."""

YES_NO = ("yes", "no")

DEVICES = (
    Column("id", "Device", "id", also=("device id", "device type", "tag"), example="PT"),
    Column("name", "Name", "text", also=("description", "device name", "service"), example="Pressure transmitter"),
    Column("lambda_du_fit", "Lambda DU", "fit", "FIT", also=("du", "dangerous undetected"), example="450"),
    Column("lambda_dd_fit", "Lambda DD", "fit", "FIT", also=("dd", "dangerous detected"), example="850"),
    Column("lambda_s_fit", "Lambda S", "fit", "FIT", also=("safe", "lambda safe"), example="550"),
    Column("lambda_sd_fit", "Lambda SD, for 1oo2D", "fit", "FIT", also=("safe detected",)),
    Column("error_factor", "Error factor", "number", also=("ef",)),
    Column("source", "Source of the rates", "text", also=("reference", "data source"), example="data sheet, edition"),
    Column("type", "Type A or B", "choice", choices=("A", "B"), also=("element type", "type of element")),
    Column("field_data.confidence", "Confidence of the field data", "share", "fraction"),
    Column("field_data.source", "Source of the field data", "text"),
    Column("systematic_capability.sc", "Systematic capability", "whole", also=("sc",)),
    Column("systematic_capability.source", "Source of the systematic capability", "text"),
)
GROUPS = (
    Column("id", "Group", "id", also=("group id", "subsystem", "element"), example="pt-1"),
    Column("name", "Name", "text", also=("description", "group name"), example="Reactor pressure"),
    Column("part", "Part", "choice", choices=PARTS, also=("subsystem type",), example="sensor"),
    Column("voting", "Voting", "voting", also=("architecture", "moon", "vote"), example="2oo3"),
    Column("channels", "Channels", "ids", also=("devices of channels",), example="PT; PT; PT"),
    Column("tags", "Tags", "ids", also=("tag numbers", "tag"), example="PT-101A; PT-101B; PT-101C"),
    Column("zone", "Zone", "id", also=("security zone",), example="sis"),
    Column("programmable", "Programmable", "flag", default="yes", example="yes"),
    Column(
        "proof_test.interval_h", "Proof-test interval", "hours", "h", also=("ti", "test interval", "t1"), example="8760"
    ),
    Column("proof_test.coverage", "Proof-test coverage", "share", "fraction", also=("ptc", "coverage"), example="0.9"),
    Column("proof_test.full_interval_h", "Overhaul interval", "hours", "h", also=("t2",), example="87600"),
    Column("proof_test.staggered", "Tests staggered", "flag", default="no"),
    Column("mttr_h", "MTTR", "hours", "h", also=("mean time to restoration",), example="24"),
    Column("mrt_h", "MRT", "hours", "h", also=("mean repair time",), example="24"),
    Column("diagnostic_interval_h", "Diagnostic interval", "hours", "h", example="1"),
    Column("acts_on_detected", "Acts on detected failures", "flag", default="no", example="yes"),
    Column("diagnostic_switch", "K of 1oo2D", "share", "fraction"),
    Column("check_others", "Others tested after a failure", "flag", default="no"),
    Column("stated_beta.beta", "Specified beta", "share", "fraction", also=("beta", "beta factor")),
    Column("stated_beta.beta_d", "Specified beta of detected failures", "share", "fraction", also=("beta d",)),
    Column("stated_beta.of", "Specified beta is of", "choice", choices=("pair", "group"), default="pair"),
    Column("stated_beta.source", "Source of the specified beta", "text"),
    Column("stated_result.pfd", "Stated PFDavg", "number", also=("pfd", "pfdavg")),
    Column("stated_result.pfh", "Stated PFH", "number", "1/h", also=("pfh",)),
    Column("stated_result.source", "Source of the stated result", "text"),
    Column("stated_result.covers", "Stated result covers", "text"),
    Column("observed_since", "Failures recorded since", "text", also=("in service since",), example="2019-01-01"),
    Column("conventions.voting_factor", "MooN factor of this group", "choice", choices=registry.MOON_FACTORS.ids()),
    Column(
        "conventions.beta_method",
        "Beta method of this group",
        "choice",
        choices=tuple(dict.fromkeys((*registry.BETA.ids(), *registry.ASKED_BETA.ids()))),
    ),
    Column("conventions.beta_method_reason", "Reason for its own beta method", "text"),
    Column(
        "conventions.redundancy_method", "Redundancy method of this group", "choice", choices=registry.REDUNDANCY.ids()
    ),
    Column("systematic_capability.sc", "Systematic capability", "whole", also=("sc",)),
    Column("systematic_capability.source", "Source of the systematic capability", "text"),
    Column("note", "Note", "text", also=("remark", "comment")),
)
TESTS = (
    Column("group", "Group", "id", also=("group id",), example="esv-1"),
    Column("name", "Test", "text", also=("test name",), example="partial stroke"),
    Column("interval_h", "Interval", "hours", "h", also=("test interval",), example="720"),
    Column("coverage", "Coverage of all undetected failures", "share", "fraction", also=("coverage",), example="0.6"),
    Column("devices", "Devices tested", "ids", example="ESV"),
    Column("offsets_h", "First test of each channel", "ids", "h"),
    Column("duration_h", "Time in test", "hours", "h", default="0"),
    Column("bypass", "Out of service during the test", "choice", choices=("group", "channel", "none")),
    Column(
        "error", "Chance that the test leaves the group failed", "share", "fraction", default="0", also=("test error",)
    ),
)
FUNCTIONS = (
    Column("id", "Function", "id", also=("sif", "sif id", "function id", "sif tag"), example="SIF-1"),
    Column(
        "name", "Name", "text", also=("description", "service", "function name"), example="High pressure closes feed"
    ),
    Column("system", "System", "id", also=("safety system", "sis"), example="S1"),
    Column("demand", "Demand", "choice", choices=("low", "high"), also=("mode", "demand mode"), example="low"),
    Column("target_rrf", "Target RRF", "number", also=("rrf", "required rrf"), example="500"),
    Column("target_pfh", "Target PFH", "number", "1/h", also=("required pfh",)),
    Column("target_sil", "Target SIL", "whole", also=("sil", "required sil")),
    Column("demand_zone", "Zone of the demand", "id", also=("initiating zone", "control zone"), example="bpcs"),
    Column("groups", "Groups", "ids", also=("subsystems", "elements"), example="pt-1; ls-1; esv-1"),
)
SYSTEMS = (
    Column("id", "System", "id", also=("system id", "safety system"), example="S1"),
    Column("name", "Name", "text", also=("description", "system name"), example="Reactor shutdown system"),
)
ZONES = (
    Column("id", "Zone", "id", also=("zone id", "security zone"), example="sis"),
    Column("name", "Name", "text", also=("description", "zone name"), example="Safety controllers"),
    Column("safety_related", "Safety related", "flag", default="no", example="yes"),
    *(
        Column(f"sl_target.{fr}", f"SL-T {fr}", "whole", also=(f"target level {fr}", fr), example="2")
        for fr in FOUNDATIONAL
    ),
    Column("note", "Note", "text", also=("remark", "comment")),
)
CONDUITS = (
    Column("id", "Conduit", "id", also=("conduit id", "connection"), example="C1"),
    Column("between", "Between", "ids", also=("zones",), example="ops; sis"),
    Column("flow", "Flow", "text", also=("data flow", "protocol"), example="read"),
    Column("one_way_to", "Data diode to", "id", also=("one way to", "diode to")),
    Column("note", "Note", "text", also=("remark", "comment")),
)
PLANT = (
    Column("name", "Plant", "text", also=("plant name",), example="Example Works"),
    Column("note", "Note on every screen", "text"),
    Column("conventions.mission_h", "Mission time", "hours", "h", example="131400"),
    Column("conventions.beta_method", "Beta method", "choice", choices=registry.BETA.ids()),
    Column("conventions.voting_factor", "MooN factor", "choice", choices=registry.MOON_FACTORS.ids()),
    Column("conventions.redundancy_method", "Redundancy method", "choice", choices=registry.REDUNDANCY.ids()),
    Column("conventions.exposure_rule", "Exposure rule", "choice", choices=registry.EXPOSURE.ids()),
)
SHEETS: Mapping[str, tuple[Column, ...]] = {
    "Functions": FUNCTIONS,
    "Groups": GROUPS,
    "Tests": TESTS,
    "Devices": DEVICES,
    "Systems": SYSTEMS,
    "Zones": ZONES,
    "Conduits": CONDUITS,
    "Plant": PLANT,
}
"""Columns by sheet, in the order of a workbook."""
BLOCK = {sheet: sheet.lower() for sheet in SHEETS if sheet not in ("Tests", "Plant")}
"""Block of the plant file that a sheet holds; tests lie in their groups, Plant holds its name and its conventions."""


_BY_KEY = {sheet: {each.key: each for each in columns} for sheet, columns in SHEETS.items()}


def column(sheet: str, key: str) -> Column:
    """A column of a sheet by its key; raises KeyError."""
    return _BY_KEY[sheet][key]


def keys(sheet: str) -> tuple[str, ...]:
    """Keys of the columns of a sheet."""
    return tuple(each.key for each in SHEETS[sheet])
