"""What invalidates a revision: exactly the basis of its system, with a sentence that names the cause."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from checks.assessment.editions import Editions
from checks.events.plant import change
from checks.plantfile.plant import Plant
from checks.questions import bank
from checks.reassessment import schedule
from checks.recording import answer_records, recorder
from checks.signoff import keys, revisions, signatures
from checks.state.revision_status import REVIEWED, SENT_BACK, SIGNED, VOID
from tests.checks.journal import stored
from tests.checks.journal.stored import save
from tests.checks.team import (
    ANSWERS,
    DAY,
    DISSENT,
    EVIDENCE,
    LEADS,
    OWNS,
    REVIEWS,
    Team,
    founded,
    three_systems,
    three_systems_in_format_2,
)

ALL = ("S30", "S40", "S50")
SHARED = ("S30", "S40")
SEEN = ("SEP1", "group:pt-301")
DISPUTED = ("ASM1", "system:S30")


@pytest.fixture(scope="module")
def reviewed(tmp_path_factory: pytest.TempPathFactory) -> Team:
    """All three systems under review, with some answers, a piece of evidence and a dissent."""
    team = founded(tmp_path_factory.mktemp("reviewed") / "answers.sqlite3", three_systems(), "safety")
    for question, of in (SEEN, DISPUTED, ("PRO1", "plant"), ("Z01", "zone:sis")):
        team.say(question, of)
    answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.record_dissent(team.live, ANSWERS, DISPUTED, DISSENT)
    for system in ALL:
        team.put_up(system)
    return team


@pytest.fixture
def team(reviewed: Team, tmp_path: Path) -> Team:
    return reviewed.copy(tmp_path / "answers.sqlite3")


def voided(team: Team) -> dict[str, str]:
    """Reason for each invalidated system."""
    states = {system: team.state(system) for system in ALL}
    assert {state for state, _ in states.values()} <= {VOID, REVIEWED, SENT_BACK}
    return {system: why for system, (state, why) in states.items() if state == VOID}


def say(question: str, of: str, value: str = "not-met", **more: str) -> Callable[[Team], None]:
    return lambda team: team.say(question, of, value, **more)


def settle(team: Team) -> None:
    answer_records.close_dissent(team.live, ANSWERS, DISPUTED, who="TM-2", shown_by="photo 7")


def take_back(team: Team) -> None:
    (piece,) = team.now().records.evidence[SEEN]
    answer_records.withdraw_evidence(team.live, ANSWERS, SEEN, number=piece.number, reason="the hook-up was changed")


def replaced(*systems: str) -> Callable[[Team], None]:
    body = change.Body(
        reference="MOC-25-9",
        on="2025-03-04",
        what="valves replaced",
        kind="device-same-batch",
        touched=(),
        topics=(),
        reopened=(),
        data_to_check=(),
        systems=systems,
    )
    return lambda team: recorder.record(team.live, LEADS, body)


def by_another(team: Team) -> None:
    """The same answer with another author and day, as an import may bring it."""
    same_value = team.now().stored["PRO1", "plant"].answer.model_copy(update={"by": "TM-9", "on": "2025-03-04"})
    save(team.store, team.live.key, same_value, seen=team.now().stored["PRO1", "plant"].id, writer="w")


@pytest.mark.parametrize(
    ("deed", "void", "cause"),
    [
        (say("PRO1", "plant"), ALL, "PRO1 of plant was answered not-met"),
        (say("ASM1", "system:S30"), SHARED, "ASM1 of system:S30 was answered not-met"),
        (say("ASM1", "system:S40"), SHARED, "ASM1 of system:S40 was answered not-met"),
        (say("ASM1", "system:S50"), ("S50",), "ASM1 of system:S50 was answered not-met"),
        (say("SEP1", "group:pt-301"), ("S30",), "SEP1 of group:pt-301 was answered not-met"),
        (say("SEP1", "group:ls-sis"), SHARED, "SEP1 of group:ls-sis was answered not-met"),
        (say("SEP1", "group:tt-401"), ("S40",), "SEP1 of group:tt-401 was answered not-met"),
        (say("SEP1", "group:lt-501"), ("S50",), "SEP1 of group:lt-501 was answered not-met"),
        (say("Z01", "zone:sis"), SHARED, "Z01 of zone:sis was answered not-met"),
        (say("Z01", "zone:package"), ("S50",), "Z01 of zone:package was answered not-met"),
        (say("Z01", "zone:bpcs"), (), ""),
        (by_another, (), ""),
        (say("PRO1", "plant", "met", evidence="drawing 5"), ALL, "PRO1 of plant was answered met"),
        (say("PRO1", "plant", "met", note="as agreed"), ALL, "PRO1 of plant was answered met"),
        (replaced("S40"), ("S40",), "MOC-25-9: valves replaced"),
        (replaced(), (), ""),
        (lambda team: answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE), ("S30",), "evidence was added to SEP1 of group:pt-301"),
        (take_back, ("S30",), "evidence of SEP1 of group:pt-301 was withdrawn"),
        (lambda team: answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT), ("S30",), "a dissent on SEP1 of group:pt-301"),
        (settle, SHARED, "the dissent on ASM1 of system:S30 was settled"),
        (lambda team: answer_records.record_attendance(team.live, LEADS, system="S30", on="2025-03-04", people=[("TM-1", "")]), (), ""),
        (lambda team: schedule.set_interval(team.live, OWNS, system="S30", months=36), (), ""),
        (lambda team: keys.enrol(team.live, OWNS, public=signatures.make("x" * 12).public, name="B", roles=["viewer"]), (), ""),
        (lambda team: team.withdraw("safety", -1), (), ""),
        (lambda team: team.export(), (), ""),
        (lambda team: revisions.send_back(team.live, REVIEWS, team.latest("S50"), half="security", comments="no"), (), ""),
    ],
)  # fmt: skip
def test_a_deed_voids_exactly_the_systems_that_rest_on_what_it_changes(
    team: Team, deed: Callable[[Team], Any], void: tuple[str, ...], cause: str
) -> None:
    before = team.count()
    deed(team)
    assert team.count() == before + 1
    records = team.now().records
    causes = {
        system: revisions_of[-1].voided for system, revisions_of in records.revisions.items() if revisions_of[-1].voided
    }
    assert tuple(causes) == void
    for cause_found in causes.values():
        assert cause_found is not None
        assert (cause_found.what, cause_found.seq) == (cause, before + 1)


def changed(path: str, value: Any) -> Callable[[], Plant]:
    """The plant with one value changed, or removed where the value is None."""

    def change() -> Plant:
        raw = three_systems().model_dump(mode="json")
        *way, last = path.split("/")
        part = raw
        for name in way:
            part = part[name]
        if value is None:
            del part[last]
        else:
            part[last] = value
        return Plant.model_validate(raw)

    return change


def reaching() -> Plant:
    """S50 gets a group in a zone of S30 and S40, so that a compromise of that zone reaches one more function."""
    raw = three_systems().model_dump(mode="json", exclude_defaults=True)
    raw["groups"]["lt-502"] = {**raw["groups"]["lt-501"], "zone": "field"}
    raw["functions"]["SIF-501"]["groups"].append("lt-502")
    return Plant.model_validate(raw)


def without_s50() -> Plant:
    raw = three_systems().model_dump(mode="json", exclude_defaults=True)
    for block, key in (("systems", "S50"), ("functions", "SIF-501"), ("groups", "lt-501"), ("zones", "package")):
        del raw[block][key]
    return Plant.model_validate(raw)


@pytest.mark.parametrize(
    ("change", "void"),
    [
        (three_systems, ()),
        (changed("devices/PT/lambda_du_fit", 460.0), ("S30",)),
        (changed("devices/LS/lambda_du_fit", 41.0), SHARED),
        (changed("devices/LT/lambda_du_fit", 1701.0), ("S50",)),
        (changed("devices/SPARE/lambda_du_fit", 501.0), ()),
        (changed("devices/SPARE", None), ()),
        (changed("groups/tt-401/mrt_h", 25.0), ("S40",)),
        (changed("groups/ls-sis/mrt_h", 25.0), SHARED),
        (changed("groups/pt-301/note", "one manifold"), ("S30",)),
        (changed("functions/SIF-501/target_rrf", 20.0), ("S50",)),
        (changed("conventions/voting_factor", "none"), ALL),
        (changed("plant/note", "other words"), ALL),
        (changed("zones/sis/sl_target/IAC", 2), SHARED),
        (changed("zones/bpcs/note", "by hand"), ()),
        (changed("zones/bpcs/name", "Basic control"), SHARED),
        (changed("conduits/C4/flow", "both ways"), SHARED),
        (changed("conduits/C9/flow", "none"), ()),
        (changed("systems/S50/name", "Drum"), ("S50",)),
        (changed("systems/S40/name", "Dryer"), SHARED),
        (changed("systems/S60", {"name": "New"}), ()),
        (reaching, ALL),
        (without_s50, ("S50",)),
    ],
)  # fmt: skip
def test_new_plant_data_void_exactly_the_systems_of_which_something_changed(
    team: Team, change: Callable[[], Plant], void: tuple[str, ...]
) -> None:
    team.change(change().model_copy(update={"answers": []}))
    why = voided(team)
    assert tuple(why) == void
    for system, text in why.items():
        assert text == f"revision 0: its plant data changed, {DAY}, by FA-1 (event {team.count()})", system


def test_another_redundancy_method_of_a_group_voids_the_systems_that_use_it_and_of_the_plant_all(team: Team) -> None:
    """In format 2, to which the plant is brought and put up again before."""
    raw = three_systems_in_format_2()
    team.change(Plant.model_validate(raw))
    for system in ALL:
        team.put_up(system)
    assert voided(team) == {}
    raw["groups"]["pt-301"]["conventions"] = {"redundancy_method": "timeline"}
    team.change(Plant.model_validate(raw))
    assert tuple(voided(team)) == ("S30",)
    raw["conventions"]["redundancy_method"] = "timeline"
    team.change(Plant.model_validate(raw))
    assert tuple(voided(team)) == ALL


def test_another_edition_of_a_bank_voids_every_revision(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    other = {**team.live.state().assessment.editions.bank_scores, "cyber": "ab" * 32}
    monkeypatch.setattr(Editions, "bank_scores", property(lambda _: other))
    assert voided(team) == dict.fromkeys(
        ALL, "revision 0: an edition of a question bank is in use that scores differently"
    )


def test_other_words_of_a_bank_void_nothing(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bank, "words_hash", lambda *_: "ab" * 32)
    assert not any(voided(team).values())


def test_the_cause_is_told_with_its_day_its_author_and_its_number(team: Team) -> None:
    team.say("SEP1", "group:lt-501", "partly", by="TM-3")
    why = f"revision 0: SEP1 of group:lt-501 was answered partly, {DAY}, by TM-3 (event {team.count()})"
    assert voided(team) == {"S50": why}


def test_an_answer_without_a_name_was_given_by_somebody(team: Team) -> None:
    """Earlier releases took answers without a name."""
    stored.say(team.live.store, team.live.key, "SEP1", "group:lt-501", "partly")
    assert voided(team)["S50"].endswith(f"by somebody (event {team.count()})")


def test_a_void_revision_stays_void_when_the_answer_is_changed_back_and_keeps_its_first_cause(team: Team) -> None:
    team.say("SEP1", "group:pt-301", "not-met")
    first = voided(team)
    team.say("SEP1", "group:pt-301", "met")
    assert voided(team) == first
    team.change(changed("devices/PT/lambda_du_fit", 460.0)())
    team.change(three_systems())
    assert voided(team) == first
    assert voided(Team(team.live, {}, team.path).on(DAY)) == first, "read anew, too"


def test_the_next_revision_stands_though_the_one_before_is_void(team: Team) -> None:
    team.say("SEP1", "group:pt-301", "not-met")
    assert team.put_up("S30").number == 1
    assert voided(team) == {}
    assert [revision.voided is None for revision in team.now().records.revisions["S30"]] == [False, True]


def test_a_change_between_reading_and_fixing_voids_the_revision_from_its_first_moment(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    team.say("SEP1", "group:pt-301", "partly")
    fix = revisions.body

    def read_then_overtaken(*args: Any) -> dict[str, Any]:
        read = fix(*args)
        team.say("Z01", "zone:package", "partly")
        team.say("SEP1", "group:pt-301", "not-met")
        return read

    monkeypatch.setattr(revisions, "body", read_then_overtaken)
    team.put_up("S30")
    state, why = team.state("S30")
    assert (state, why.split(",")[0]) == (VOID, "revision 1: SEP1 of group:pt-301 was answered not-met")


def test_new_plant_data_between_reading_and_fixing_void_it_only_where_they_concern_it(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    team.say("PRO1", "plant", "partly")
    fix = revisions.body

    def read_then_overtaken(*args: Any) -> dict[str, Any]:
        read = fix(*args)
        team.change(changed("devices/LT/lambda_du_fit", 1701.0)())
        return read

    monkeypatch.setattr(revisions, "body", read_then_overtaken)
    team.put_up("S50")
    monkeypatch.undo()
    assert team.state("S50")[0] == VOID
    assert team.put_up("S30").voided is None


def test_a_signature_on_a_revision_that_was_voided_a_moment_before_leaves_it_void(
    tmp_path: Path, made: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    team = made.copy(tmp_path / "signed.sqlite3")
    revision = team.put_up()
    team.sign("security", revision)
    honest = signatures.sign

    def overtaken(*args: Any) -> str:
        team.say("SEP1", "group:pt-301", "partly")
        return honest(*args)

    monkeypatch.setattr(signatures, "sign", overtaken)
    team.sign("safety", revision)
    assert set(team.latest().signatures) == {"safety", "security"}
    assert team.state()[0] == VOID
    assert team.state()[1].startswith("revision 0: SEP1 of group:pt-301 was answered partly, ")


def test_a_signed_revision_is_voided_by_a_later_answer_like_any_other(tmp_path: Path, made: Team) -> None:
    team = made.copy(tmp_path / "signed.sqlite3")
    team.signed()
    assert team.state()[0] == SIGNED
    team.say("Z01", "zone:sis", "met", evidence="walk-down 13")
    assert team.state()[0] == VOID
