"""Changes and failures of another team: their texts are its own, while what they reopen here stays to be confirmed."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any

from checks.plantfile.plant import Plant
from checks.state.records import Records
from checks.state.reopened import Change
from checks.state.revision_status import Cause

REDACTED = "a change recorded by another team"
"""Replaces the text of a change that touches nothing of the reader's."""


def redacted(records: Records, changes: Collection[Change], plant: Plant, within: Collection[str]) -> Mapping[str, Any]:
    """Fields of the records without the words of those ``changes`` that touch no addressee of ``within``.

    ``changes`` are those of the whole plant: one may reopen an answer of a system that it does not concern.
    """
    foreign = {change.cause.seq for change in changes if not _touches(change.body.touched, plant, within)}

    def shown(cause: Cause) -> Cause:
        return replace(cause, what=REDACTED) if cause.seq in foreign else cause

    return {
        "to_confirm": {asked: shown(cause) for asked, cause in records.to_confirm.items()},
        "data_to_check": {
            place: replace(waiting, cause=shown(waiting.cause)) for place, waiting in records.data_to_check.items()
        },
        "revisions": {
            system: tuple(
                replace(revision, voided=revision.voided and shown(revision.voided)) for revision in revisions
            )
            for system, revisions in records.revisions.items()
        },
        "changes": tuple(
            change if change.cause.seq not in foreign else _without_words(change, shown(change.cause))
            for change in records.changes
        ),
    }


def _touches(touched: Collection[str], plant: Plant, within: Collection[str]) -> bool:
    """Whether a change touches one of these addressees, or a device in a channel of their groups."""
    devices = {of.removeprefix("device:") for of in touched if of.startswith("device:")}
    return any(of in within for of in touched) or any(
        not devices.isdisjoint(group.devices)
        for key, group in plant.groups.items()
        if devices and f"group:{key}" in within
    )


def _without_words(change: Change, cause: Cause) -> Change:
    body = change.body.model_copy(update={"reference": "", "what": REDACTED})
    return replace(change, body=body, cause=cause)
