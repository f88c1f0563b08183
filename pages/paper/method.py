"""How a result was computed: conventions with editions, question banks, rules, and remarks on the data."""

from __future__ import annotations

from checks.cautions import CAUTIONS, EDITIONS, method, remarks
from pages.paper import sheet
from pages.paper.fixed import Fixed
from pages.paper.sheet import Piece
from scoring import source

CONVENTIONS = {
    "beta_method": "Beta from answers",
    "voting_factor": "Factor of the voting",
    "redundancy_method": "PFDavg and PFH",
    "exposure_rule": "Exposure to raised beta",
}
BANKS = {"common_cause": "common cause", "cyber": "security topics", "requirements": "security requirements"}
RULES = (
    "Met, and met another way, score in full. Partly, not met and not known score nothing in the common-cause half.",
    "Of several answers the nearest speaks: that of the group, then of its system or zone, then of the plant.",
    "Of the answers of systems that share a group the least favourable speaks.",
    "While a dissent is open the less favourable of the two answers counts.",
    "An answer whose recorded evidence has all expired stands as a claim without evidence.",
    "The range of a result reaches from every open question met to every claim without evidence lost.",
)
"""Rules of the house without which the answers do not give the figures."""
HASHED = r"""sed -n 's/^"revision": \(.*\),$/\1/p' FILE | tr -d '\n' | sha256sum"""
CHECKS = (
    "With this program: python -m checks verify FILE. It checks the journal and the signatures and computes every figure anew.",
    f"Without it: the revision stands on one line of the file in canonical form (RFC 8785). This gives its hash: {HASHED}",
    "Each signature is Ed25519 (RFC 8032) over its statement in canonical form; statement and public key stand beside it.",
)
"""How a record file is checked."""
CONFIDENCE = {
    "read": "read in print",
    "cross-checked": "from two sources",
    "closure": "recalled; the printed sums close",
    "memory": "recalled, not seen in print",
}


def conventions(now: Fixed) -> list[Piece]:
    """Method, conventions with editions, question banks by their sums, and what to know about the data."""
    held = now.plant.conventions.model_dump()
    rows = [[words, EDITIONS[held[name]], f"{name}: {held[name]}"] for name, words in CONVENTIONS.items()]
    banks = [[BANKS[bank], one["edition"], one["sha256"]] for bank, one in sorted(now.body["facts"]["banks"].items())]
    said = remarks(now.plant)
    return [
        *sheet.lead(f"{method(now.plant)}."),
        *sheet.table(("What", "Edition", "In the plant file"), rows, widths=(2.0, 2.4, 2.8)),
        *sheet.table(("Question bank", "Edition", "SHA-256 of its files"), banks, widths=(1.5, 1.5, 4.2)),
        *sheet.heading("House rules, where no standard gives one", 3),
        *sheet.items(RULES),
        *(sheet.heading("To know about these data", 3) if said else []),
        *sheet.items(f"{one}." for one in said),
    ]


def verification(now: Fixed) -> list[Piece]:
    """The hash, the journal around it, and how anybody checks both."""
    one, many = now.record, len(now.record.chain)
    return [
        *sheet.facts(
            [
                ("Revision", now.revision.hash),
                ("Journal", one.journal),
                ("Events", f"{many}, of which {len(now.record.events)} are shown; the others belong to other systems"),
                ("Last hash", one.head),
            ]
        ),
        *sheet.lead("The record file of this revision holds everything that this document tells, and more."),
        *sheet.items(CHECKS),
    ]


def cautions() -> list[Piece]:
    """What must be said wherever a number leaves the program."""
    return sheet.items(CAUTIONS)


def sources() -> list[Piece]:
    """Every published table that the program computes with, and how far each was seen in print."""
    held = [source.table(path.stem) for path in sorted(source.FOLDER.glob("*.yaml"))]
    return [
        *sheet.lead("PFDavg and PFH: IEC 61508-6:2010, Annex B, from memory. Published tables:"),
        *sheet.table(
            ("Table", "How far it was seen"),
            [[one.citation, CONFIDENCE[one.confidence]] for one in held],
            widths=(4.5, 2.5),
        ),
        *sheet.small("The questions are in our own words; the points and levels behind them are those of the tables."),
    ]
