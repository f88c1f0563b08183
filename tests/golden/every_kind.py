"""A short history with every kind of event, with the bodies that this release writes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from checks.actions import recorded_actions
from checks.improvement import recorded_changes, recorded_efforts
from checks.reassessment import change_records, confirmations, data_checks, failure_records, rounds, schedule
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.recording import answer_history, answer_records, plants
from checks.signoff import accepted_gaps, keys, review_comments, revisions
from checks.state import plant_data_waiting
from checks.state.evidence import Asked
from tests.checks.team import ANSWERS, ASSESSES, LEADS, OWNS, REVIEWS, Team, ahead, every_answer, founded, three_systems

SHOWN: Asked = ("SEP1", "group:pt-301")
DISPUTED: Asked = ("PRO1", "plant")
PRIVATE: Asked = ("ASM1", "system:S30")
TAKEN_BACK: Asked = ("SEP4", "group:pt-301")
DAY = "2025-03-04"
UNTIL = date(2030, 1, 1)
EVIDENCE = {
    "kind": "document",
    "identifier": "H-301",
    "revision": "4",
    "dated": "2025-02-03",
    "shows": "separate taps",
    "strength": 3,
    "valid_until": "2029-12-31",
}
DISSENT = {"value": "not-met", "who": "TM-2", "role": "technician", "reason": "one tray", "settles": "a photo"}
FAILURE = FailureRecord(
    on=date(2025, 3, 4),
    reference="FR-1",
    groups=("pt-301",),
    channels=("PT-301A",),
    found_by="proof-test",
    cause="worn seal",
    cause_explained=True,
    software_involved=False,
)


def fill(path: Path) -> None:
    """Write the history into a new database file. Later releases add events and remove none."""
    team = founded(path, three_systems().model_copy(update={"answers": every_answer()}), "safety", "security")
    _beside_answers(team)
    _by_the_owner(team)
    _reviews(team)
    _afterwards(team)
    team.store.engine.dispose()


def _beside_answers(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SHOWN, EVIDENCE)
    lost = answer_records.add_evidence(team.live, ANSWERS, SHOWN, {**EVIDENCE, "identifier": "H-302"})
    answer_records.withdraw_evidence(team.live, ANSWERS, SHOWN, number=lost.seq, reason="the hook-up was changed")
    answer_records.record_dissent(team.live, ANSWERS, SHOWN, DISSENT)
    answer_records.close_dissent(team.live, ANSWERS, SHOWN, who="TM-2", shown_by="photo 7")
    answer_records.record_dissent(team.live, ANSWERS, DISPUTED, {**DISSENT, "reason": "no procedure was shown"})
    answer_records.answer_privately(team.live, ANSWERS, SHOWN, value="partly", note="one bracket is shared")
    answer_records.reveal(team.live, LEADS, [SHOWN])
    answer_records.answer_privately(team.live, ANSWERS, PRIVATE, value="not-met", note="")
    answer_records.record_attendance(
        team.live, LEADS, system="S30", on=DAY, people=[("TM-1", "engineer"), ("TM-2", "technician"), ("TM-3", "")]
    )
    answer_records.correct_attendance(team.live, LEADS, system="S30", on=DAY, name="TM-3", reason="was ill")


def _by_the_owner(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met", evidence="drawing 4")
    gap = ("S30", "sis", "Z01")
    accepted_gaps.accept_gaps(team.live, OWNS, [gap], reason="locked and alarmed", until=UNTIL.isoformat())
    schedule.set_interval(team.live, OWNS, system="S30", months=36)
    recorded_actions.raise_one(
        team.live, LEADS, {"what": "split the taps", "owner": "instrument engineer", "due": UNTIL}
    )
    recorded_actions.done(team.live, LEADS, "A-001", evidence="walk-down 31")
    recorded_actions.close(team.live, LEADS, "A-001", evidence="walk-down 31", verifier="technical authority")
    recorded_actions.raise_one(
        team.live, LEADS, {"what": "write the procedure", "system": "S30", "owner": "operations", "due": UNTIL}
    )
    recorded_efforts.enter(team.live, LEADS, {SHOWN: "2.5"})
    change = {"group": "pt-301", "change": "interval", "to": "4380", "effort": "3", "reason": "spare loop"}
    recorded_changes.allow(team.live, LEADS, change)


def _reviews(team: Team) -> None:
    returned = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, returned, half="security", text="Which laptop was it?")
    review_comments.reply(team.live, ANSWERS, returned, to=asked.seq, text="The one of the workshop.")
    revisions.send_back(team.live, ASSESSES, returned, half="safety", comments="Which manifold?")
    revision = team.put_up()
    team.sign("safety", revision, conditions=("weekly comparison",), until=ahead(90))
    team.sign("security", revision)


def _afterwards(team: Team) -> None:
    rounds.begin_assessment(team.live, LEADS, "S30")
    confirmations.confirm_answers(team.live, ANSWERS, [SHOWN])
    batch = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T2"}))
    change_records.record_change(team.live, LEADS, batch, reference="MOC-1", on=DAY, what="one batch for all")
    longer = Change("proof-test", frozenset({"group:pt-301"}))
    for reference in ("MOC-2", "MOC-3"):
        change_records.record_change(
            team.live, LEADS, longer, reference=reference, on=DAY, what="tested every second year"
        )
    change_records.take_back(team.live, LEADS, team.now().records.changes[-1].cause.seq)
    places = list(plant_data_waiting.of_system(team.now(), "S30"))
    data_checks.confirm_data(team.live, ANSWERS, places, system="S30", how="test procedure 12")
    failure_records.record_failure(team.live, LEADS, FAILURE)
    (known,) = team.now().records.failures
    failure_records.record_failure(
        team.live, LEADS, replace(FAILURE, looked_at="log-ins and downloads"), completes=known
    )
    key = team.key_of("security")
    keys.withdraw(team.live, OWNS, key=key, from_day=UNTIL.isoformat(), reason="the stick was lost")
    team.export(team.now().records.revisions["S30"][1])
    team.say(*TAKEN_BACK, "partly")
    answer_history.take_back(team.live, ANSWERS, TAKEN_BACK, seen=team.now().stored[TAKEN_BACK].id)
    keys.link_names(team.live, OWNS, name="TM-1", earlier="Tia Maes", reason="married in 2024")
    plants.archive_plant(team.live, OWNS)
    plants.bring_back(team.live, OWNS)
