"""How the results were computed: methods with editions, question banks, house rules, and remarks on the data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from checks.assessment.cautions import CAUTIONS, method, remarks
from checks.assessment.editions import Editions
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring import source
from scoring.method import About

KINDS = {
    "beta_method": "Beta from answers",
    "voting_factor": "MooN factor",
    "redundancy_method": "PFDavg and PFH",
    "exposure_rule": "Cyber scenario",
}
BANKS = {"common_cause": "common cause", "cyber": "security topics", "requirements": "security requirements"}
RULES = (
    "Met, and met by a compensating measure, score in full. Partly, not met and not known score nothing in the common-cause half.",
    "The most specific answer applies: that of the group, then of its system or zone, then of the plant.",
    "Of systems that share a group the worst answer is used.",
    "While a dissent is open the worse of the two answers counts.",
    "An answer whose evidence has all expired counts as a claim without evidence.",
    "The range of a result with common cause runs from all open questions met to all claims without evidence rejected.",
)
"""House rules that are needed to get from the answers to the figures."""
HASHED = r"""sed -n 's/^"revision": \(.*\),$/\1/p' FILE | tr -d '\n' | sha256sum"""
CHECKS = (
    "With this program: python -m checks verify FILE. It checks the audit trail and the signatures and computes every figure again.",
    f"Without it: the revision is on one line of the file in canonical form (RFC 8785). This gives its hash: {HASHED}",
    "A printed hash is found by: python -m checks verify --printed HASH, in the database, or with FILE after it in a record file.",
    "Each signature is Ed25519 (RFC 8032) over its statement in canonical form; the file contains statement and public key.",
)
"""How a record file is checked."""
CONFIDENCE = {
    "read": "read in print",
    "cross-checked": "from two sources",
    "closure": "recalled; the printed sums close",
    "memory": "recalled, not seen in print",
    "house rule": "no standard gives it",
}


def conventions(reported: ReportedRevision) -> list[Piece]:
    """Methods with editions, sources, ranges of validity and equations, question banks, and remarks on the data."""
    editions = reported.assessment.editions
    used = [*((KINDS[kind], about) for kind, about in editions.about.items()), *_of_groups(editions)]
    rows = [
        [what, f"{about.label}\n{about.name}", f"{about.source}\n{CONFIDENCE[about.confidence]}", about.valid]
        for what, about in used
    ]
    rows += [_of_group(reported, key, about) for key, about in _own(editions)]
    banks = [
        [BANKS.get(bank, f"beta of groups: {bank}"), entry["edition"], _hash_of_bank(entry)]
        for bank, entry in sorted(reported.body["facts"]["banks"].items())
    ]
    notes = remarks(reported.plant, editions)
    return [
        *page_layout.lead(f"{method(reported.plant, editions)}."),
        *page_layout.table(
            ("What", "Method and edition", "Source", "Range of validity"), rows, widths=(1.2, 2.2, 2.2, 2.4)
        ),
        *_equations(dict.fromkeys(about for _, about in (*used, *_own(editions)))),
        *page_layout.table(("Question bank", "Edition", "SHA-256"), banks, widths=(1.5, 1.5, 4.2)),
        *page_layout.heading("House rules, where no standard gives one", 3),
        *page_layout.items(RULES),
        *(page_layout.heading("Remarks on these data", 3) if notes else []),
        *page_layout.items(f"{note}." for note in notes),
    ]


def _own(editions: Editions) -> Iterator[tuple[str, About]]:
    """Groups with a beta method of their own, each with its description."""
    return ((key, method.about) for key, method in editions.betas_of_groups.items())


def _of_group(reported: ReportedRevision, key: str, about: About) -> list[str]:
    """The row of a group with a beta method of its own; its reason stands beside the range of validity."""
    own = reported.plant.groups[key].conventions
    reason = "" if own is None else own.beta_method_reason
    source = f"{about.source}\n{CONFIDENCE[about.confidence]}"
    return [f"Beta of {key}", f"{about.label}\n{about.name}", source, f"{about.valid}\nChosen because: {reason}"]


def _hash_of_bank(entry: Mapping[str, str]) -> str:
    """Hashes of the scoring content and of the texts; releases 1 and 2 stored one hash of the files."""
    if "scores" in entry:
        return f"scoring content: {entry['scores']}\ntexts: {entry['words']}"
    return f"files: {entry['sha256']}"


def _of_groups(editions: Editions) -> list[tuple[str, About]]:
    """Methods that groups have of their own, with the groups."""
    groups: dict[About, list[str]] = {}
    for key, own in editions.of_groups:
        if own.redundancy is not None:
            groups.setdefault(own.redundancy.about, []).append(key)
    return [(f"{KINDS['redundancy_method']} of {', '.join(keys)}", about) for about, keys in groups.items()]


def _equations(methods: Iterable[About]) -> list[Piece]:
    """The equations in symbols; "Each group by hand" puts the numbers in."""
    lines = [line for about in methods for line in about.formula]
    return [*page_layout.heading("Equations", 3), *page_layout.items(lines)]


def verification(reported: ReportedRevision) -> list[Piece]:
    """The hash of the revision, its audit trail, and how to check both."""
    record, count = reported.record, len(reported.record.chain)
    return [
        *page_layout.facts(
            [
                ("Revision", reported.revision.hash),
                ("Audit trail", record.journal),
                (
                    "Events",
                    f"{count}, of which {len(reported.record.events)} are shown; the others belong to other systems",
                ),
                ("Made from", f"the audit trail up to event {record.made_from.seq}, hash\n{record.made_from.hash}"),
            ]
        ),
        *page_layout.lead(
            "The record file of this revision holds its facts and results, the audit trail and the public keys."
        ),
        *page_layout.items(CHECKS),
    ]


def cautions() -> list[Piece]:
    """Cautions that accompany every number outside the program."""
    return page_layout.items(CAUTIONS)


def sources() -> list[Piece]:
    """Every published table that the program uses, with the confidence in its values."""
    tables = [source.table(path.stem) for path in sorted(source.FOLDER.glob("*.yaml"))]
    return [
        *page_layout.lead(
            "PFDavg and PFH by Annex B: IEC 61508-6:2010, from memory; by the timeline: derived. Published tables:"
        ),
        *page_layout.table(
            ("Table", "Confidence"),
            [[table.citation, CONFIDENCE[table.confidence]] for table in tables],
            widths=(4.5, 2.5),
        ),
        *page_layout.small(
            "The questions are in our own words; the points and levels behind them are those of the tables."
        ),
    ]
