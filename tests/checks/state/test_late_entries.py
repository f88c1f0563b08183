"""Entries that look backdated are said, on screen, in the report and by verify."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from checks.record_files import record_file, verification
from checks.recording import answer_records
from checks.state import late_entries
from tests.checks.team import ANSWERS, DAY, EVIDENCE, LEADS, Team, ahead

SEEN = ("SEP1", "group:pt-301")


def flags(team: Team) -> list[str]:
    events = team.store.events(team.live.key, kinds=late_entries.KINDS)
    return list(late_entries.after_signature(events, "S30"))


def attend(team: Team, on: str) -> None:
    answer_records.record_attendance(team.live, LEADS, system="S30", on=on, people=[("TM-1", "engineer")])


def test_what_was_recorded_before_the_signature_is_not_flagged(team: Team) -> None:
    attend(team, ahead(-3))
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "dated": ahead(-9)})
    team.signed()
    assert flags(team) == []


def test_an_attendance_and_evidence_dated_before_a_signature_and_recorded_after_it_are_flagged(team: Team) -> None:
    team.signed()
    later = team.on(DAY + timedelta(days=9))
    attend(later, ahead(-1))
    attend(later, ahead(9))
    answer_records.add_evidence(later.live, ANSWERS, SEEN, {**EVIDENCE, "dated": ahead(-9)})
    found = flags(team)
    half = f"after the security half of revision 0 was signed on {ahead(0)}"
    assert [flag.split(": ", 1)[1] for flag in found] == [
        f"attendance of TM-1, dated {ahead(-1)}, was recorded on {ahead(9)}, {half}",
        f"evidence H-301 rev 4 for SEP1 of group:pt-301, dated {ahead(-9)}, was recorded on {ahead(9)}, {half}",
    ]
    lines = list(verification.verify(record_file.from_text("record", later.export())))
    assert set(found) <= set(lines)


def test_an_attendance_of_another_system_is_not_flagged(team: Team) -> None:
    team.signed()
    answer_records.record_attendance(team.live, LEADS, system="S50", on=ahead(-1), people=[("TM-1", "engineer")])
    assert flags(team) == []


def test_times_that_run_backwards_are_said(team: Team) -> None:
    first, second = team.store.events(team.live.key)[:2]
    later = replace(first, at="2025-03-04T10:00:00.000+00:00")
    earlier = replace(second, at="2025-03-04T09:58:59.000+00:00")
    assert list(late_entries.backwards([later, earlier])) == [
        f"event {earlier.seq}: its time, {earlier.at}, lies before that of event {later.seq}, {later.at}"
    ]
    assert list(late_entries.backwards([earlier, later, later])) == []
    a_second = replace(second, at="2025-03-04T09:59:59.000+00:00")
    assert list(late_entries.backwards([later, a_second])) == []  # two machines, two clocks
