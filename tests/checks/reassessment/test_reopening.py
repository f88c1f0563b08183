"""Which answers a change reopens. Expected sets were read by hand from the answers and the topics of the banks."""

from __future__ import annotations

import pytest

from checks.assessment.answers import Answers
from checks.plantfile.plant import Answer, Plant
from checks.questions.bank import banks
from checks.reassessment.kinds_of_change import kinds, topics
from checks.reassessment.reopening import Change, data_to_check, reopened, topics_of
from checks.text.faults import Refused
from tests.checks.given import answer, bare_plant, valid_plant
from tests.checks.reassessment.given import by_addressee, change, demo, of_demo


def _found(kind: str, touched: str, *answers: Answer) -> set[tuple[str, str]]:
    return set(reopened(change(kind, touched), bare_plant(), Answers(answers)))


def test_a_change_to_a_group_reopens_its_own_answers_and_those_that_apply_to_it() -> None:
    """routes-moved is on T1, T7 and C6: SEP1, ENV2, ASM1, A03 and A05 are, CPX2 (T3) and Z01 (FR5, C1) are not."""
    stays = [answer("CPX2", "group:pt-301"), answer("Z01", "zone:field"), answer("SEP1", "group:esv-301")]
    goes = [
        answer("SEP1", "group:pt-301"),
        answer("ENV2", "group:pt-301"),
        answer("ASM1", "system:S30"),
        answer("A05", "zone:field"),
        answer("A03", "plant"),
    ]
    elsewhere = [answer("ASM1", "system:S40"), answer("A05", "zone:sis")]
    found = _found("routes-moved", "group:pt-301", *stays, *goes, *elsewhere)
    assert found == {(answer.question, answer.of) for answer in goes}


def test_an_inherited_answer_overridden_by_the_groups_own_stays_as_it_is() -> None:
    answers = [answer("CMP2", "plant"), answer("CMP2", "system:S30"), answer("CMP2", "group:pt-301")]
    assert _found("organisation", "group:pt-301", *answers) == {("CMP2", "group:pt-301")}
    assert _found("organisation", "group:pt-301", *answers[:2]) == {("CMP2", "system:S30")}
    assert _found("organisation", "group:pt-301", *answers[:1]) == {("CMP2", "plant")}


def test_of_two_systems_that_share_a_group_both_answers_are_reopened() -> None:
    answers = [answer("ASM1", "system:S30", "met"), answer("ASM1", "system:S40", "not-met")]
    assert _found("logic-solver-program", "group:ls-sis", *answers) == {("ASM1", "system:S30"), ("ASM1", "system:S40")}


def test_the_plants_answer_is_reopened_where_one_of_two_systems_uses_it() -> None:
    answers = [answer("ASM3", "system:S30"), answer("ASM3", "plant")]
    assert _found("real-demand", "group:ls-sis", *answers) == {("ASM3", "system:S30"), ("ASM3", "plant")}
    assert _found("real-demand", "group:pt-301", *answers) == {("ASM3", "system:S30")}


def test_a_group_outside_all_systems_and_zones_uses_the_plants_answer() -> None:
    raw = bare_plant().model_dump()
    raw["systems"] = {}
    plant, answers = Plant.model_validate(raw), Answers([answer("CMP2", "plant")])
    assert reopened(change("organisation", "group:pos-210"), plant, answers) == {("CMP2", "plant")}


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ([], {("A05", "zone:sis")}),
        ([("ENV1", "plant")], {("ENV1", "plant")}),
        ([("ENV1", "group:ls-sis")], {("ENV1", "group:ls-sis")}),
        ([("A05", "group:ls-sis")], {("A05", "group:ls-sis")}),
    ],
)
def test_the_zones_answer_on_locked_cabinets_is_reopened_where_it_answers_the_common_cause_question(
    more: list[tuple[str, str]], found: set[tuple[str, str]]
) -> None:
    """process-conditions is on T7, a topic of ENV1 and none of A05."""
    answers = [answer("A05", "zone:sis"), *(answer(question, of) for question, of in more)]
    assert "T7" not in banks().questions["A05"].topics
    assert _found("process-conditions", "group:ls-sis", *answers) == found


def test_a_change_in_a_zone_on_cyber_topics_leaves_the_common_cause_answers_of_its_groups() -> None:
    answers = [answer("A01", "zone:sis"), answer("A03", "plant"), answer("PRO5", "group:ls-sis")]
    assert _found("accounts-changed", "zone:sis", *answers) == {("A01", "zone:sis"), ("A03", "plant")}


def test_a_change_in_a_zone_on_common_cause_topics_reopens_those_of_its_groups_and_of_no_others() -> None:
    inside = [answer("PRO5", "group:ls-sis"), answer("ASM1", "system:S30"), answer("L07", "zone:sis")]
    outside = [answer("CPX3", "group:pt-301"), answer("L07", "zone:field"), answer("CMP1", "plant")]
    found = _found("logic-solver-program", "zone:sis", *inside, *outside)
    assert found == {(answer.question, answer.of) for answer in inside}


def test_a_change_in_a_zone_reopens_the_zones_answer_even_if_every_group_overrides_it() -> None:
    overruled = [answer("L07", "zone:sis"), answer("L07", "group:ls-sis"), answer("L07", "group:esv-301")]
    assert len(_found("logic-solver-program", "zone:sis", *overruled)) == 3


def test_a_change_to_a_system_reopens_its_answers_and_those_of_its_groups() -> None:
    inside = [answer("CMP2", "system:S30"), answer("PRO2", "group:pt-301")]
    outside = [answer("CMP2", "system:S40"), answer("PRO2", "group:con-210")]
    shared = _found("organisation", "system:S30", *inside, *outside)
    assert shared == {(answer.question, answer.of) for answer in [*inside, outside[0]]}, (
        "the answer of S40 applies to the shared logic solver"
    )


def test_a_change_to_a_system_reopens_its_answer_even_if_every_group_overrides_it() -> None:
    own = [answer("CMP2", f"group:{key}") for key in ("pt-301", "ls-sis", "esv-301")]
    answers = [answer("CMP2", "system:S30"), *own]
    for touched in ("system:S30", "plant"):
        assert len(_found("organisation", touched, *answers)) == 4


def test_a_change_in_a_zone_without_groups_reopens_the_plants_answer_that_applies_to_it() -> None:
    answers = [answer("A03", "plant"), answer("A01", "zone:sis")]
    assert _found("accounts-changed", "zone:bpcs", *answers) == {("A03", "plant")}
    assert _found("accounts-changed", "zone:bpcs", *answers, answer("A03", "zone:bpcs")) == {("A03", "zone:bpcs")}


def test_a_change_to_the_plant_reopens_every_answer_on_its_topics() -> None:
    answers = Answers(demo().answers)
    for key, kind in kinds().items():
        about = topics_of(change(key, "plant"))
        expected = {
            (answer.question, answer.of) for answer in answers if about & set(banks().questions[answer.question].topics)
        }
        extra = of_demo(key, "plant") - expected
        assert expected <= of_demo(key, "plant")
        assert {question for question, _ in extra} <= {"A05"}, kind.name


def test_an_answer_of_a_removed_group_is_not_reopened() -> None:
    answers = Answers([answer("SEP1", "group:gone"), answer("SEP1", "group:pt-301")])
    assert reopened(change("slow-change", "plant"), bare_plant(), answers) == {("SEP1", "group:pt-301")}


def test_topics_of_a_condition_count_unless_it_is_known_not_to_be_true() -> None:
    assert topics_of(change("device-other-model", "plant")) == {"T2", "T3", "T8", "FR3", "C1", "C5"}
    plain = change("device-other-model", "plant", condition_holds=False)
    assert topics_of(plain) == {"T2", "T3", "T8"}
    assert topics_of(Change(plain.kind, plain.touched, frozenset({"C5"}), condition_holds=False)) == {
        *topics_of(plain),
        "C5",
    }


def test_the_named_topics_of_the_cause_count_and_without_them_all_common_cause_topics() -> None:
    assert topics_of(change("incident-elsewhere", "plant", named=frozenset({"T7", "FR5"}))) == {"T7", "FR5"}
    common_cause = {f"T{number}" for number in range(1, 12)}
    assert topics_of(change("incident-elsewhere", "plant")) == common_cause
    assert topics_of(change("several-channels-failed", "plant")) == {*common_cause, "FR3", "FR6"}


# ---- The demo plant's own changes ------------------------------------------------------------------


def test_transmitters_of_one_batch_on_one_manifold_reopen_their_group_only() -> None:
    """MOC-22-017: two kinds at once. T2 T3 C5 of the batch, T1 T7 C6 of the manifold."""
    batch = by_addressee(of_demo("device-same-batch", "group:pt-301"))
    assert batch == {
        "group:pt-301": {
            "ASM1",
            "SEP4",
            "SEP5",
            "DIV3",
            "DIV4",
            "DIV9",
            "CPX1",
            "CPX2",
            "CPX3",
            "CPX5",
            "CPX6",
            "PRO8",
        },
        "system:S30": {"ASM2"},
        "zone:Z5": {"W04", "W06", "L05", "L07", "SR 4.1", "SR 4.2", "SR 7.6"},
        "plant": {"P05"},
    }
    moved = by_addressee(of_demo("routes-moved", "group:pt-301"))
    assert moved["group:pt-301"] == {"ASM1", "SEP1", "SEP4", "SEP5", "CPX3", "CPX6", "ENV2", "ENV3", "TST1"}
    assert moved["system:S30"] == {"ASM2"}
    assert moved["plant"] == {"PRO3", "A03"}
    assert {"A05", "L02"} <= moved["zone:Z5"]
    assert set(moved) == {"group:pt-301", "system:S30", "zone:Z5", "plant"}


def test_a_shared_engineering_host_with_remote_support_reopens_the_safety_zone_and_no_other() -> None:
    """MOC-22-031: two kinds at once, both of the zone of the safety system."""
    found = by_addressee(
        of_demo("engineering-workstation", "zone:Z5") | of_demo("remote-access", "zone:Z5"),
    )
    assert {of for of in found if of.startswith("zone:")} == {"zone:Z5"}
    assert not {"group:ltd-303", "group:ltr-701"} & set(found), "they lie in other zones"
    assert {"W01", "W03", "L01", "L04", "A01", "A02", "A06", "Z01", "Z05"} <= found["zone:Z5"]
    assert not {"D02", "D04"} & found["zone:Z5"], "FR6 alone, FR7 and C4"
    assert found["group:ls-sis"] == {"CPX1", "CPX4", "DIV2", "DIV5", "DIV6", "DIV7", "PRO5", "PRO6", "PRO7"}
    assert {"P03", "P05", "A03"} <= found["plant"]


def test_a_retired_specialist_and_one_crew_for_all_reopen_ways_of_working_and_people_everywhere() -> None:
    """The change of organisation of 2023: T6 FR6, and T5 T6 FR1 of the crew."""
    found = of_demo("organisation", "plant") | of_demo("test-crew", "plant")
    about = {topic for question, _ in found for topic in banks().questions[question].topics}
    assert {"T5", "T6", "FR1", "FR6"} <= about
    expected = {
        (answer.question, answer.of)
        for answer in demo().answers
        if {"T5", "T6", "FR1", "FR6"} & set(banks().questions[answer.question].topics)
    }
    assert found == expected
    assert ("DIV9", "group:esv-501") in found
    assert not {question for question, _ in found} & {"SEP1", "DIV3", "ENV2", "TST1", "Z01"}


# ---- Data of the plant file ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "touched", "places"),
    [
        ("proof-test", "group:pt-301", ("groups.pt-301.proof_test",)),
        ("trip-logic", "group:ls-sis", ("groups.ls-sis.voting", "groups.ls-sis.channels")),
        ("target-changed", "group:con-210", ("functions.SIF-210.target_pfh",)),
        ("target-changed", "system:S30", ("functions.SIF-301.target_rrf", "functions.SIF-401.target_rrf")),
        ("supply-changed", "group:con-210", ("groups.con-210.stated_beta",)),
        ("supply-changed", "group:pt-301", ("devices.PT.lambda_s_fit",)),
        ("device-same-batch", "group:pt-301", ()),
        ("organisation", "group:esv-301", ("groups.esv-301.mttr_h", "groups.esv-301.mrt_h")),
        ("data-link", "zone:sis", ("conduits",)),
        ("accounts-changed", "plant", ()),
    ],
)
def test_a_change_names_the_fields_of_the_plant_file_to_check(kind: str, touched: str, places: tuple[str, ...]) -> None:
    assert data_to_check(change(kind, touched), valid_plant()) == places


@pytest.mark.parametrize("kind", kinds())
def test_every_field_to_check_exists_in_the_plant_file_and_is_listed_once(kind: str) -> None:
    places = data_to_check(change(kind, "plant"), demo())
    assert len(set(places)) == len(places)
    assert bool(places) == bool(set(kinds()[kind].data) - {"stated_beta"}), "the demo states no beta"
    for place in places:
        block, *inner = place.split(".")
        if inner:
            key, field = inner
            assert getattr(getattr(demo(), block)[key], field) is not None
        else:
            assert getattr(demo(), block)


# ---- What is refused -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("invalid", "line"),
    [
        (change("other-colour", "plant"), "kind: other-colour is no kind of change; one of: device-other-model, "),
        (change("wireless"), "touched: nothing; at least one group, zone or system, or else the plant"),
        (change("wireless", "group:pt-999"), "touched: group:pt-999 does not exist; name what the change touches"),
        (change("wireless", "pt-301"), "touched: pt-301 does not exist; name what the change touches"),
        (change("wireless", "zone:pt-301"), "touched: zone:pt-301 does not exist; name what the change touches"),
        (change("wireless", "plant", named=frozenset({"T12"})), "named: T12 is no topic; any of: T1, T2, "),
    ],
)
def test_a_change_that_does_not_fit_is_refused_with_what_to_do(invalid: Change, line: str) -> None:
    for asked in (lambda: reopened(invalid, bare_plant(), Answers()), lambda: data_to_check(invalid, bare_plant())):
        with pytest.raises(Refused) as refused:
            asked()
        (found,) = refused.value.lines()
        assert found.startswith(f"change: {line}")


def test_every_fault_of_a_change_is_listed_together() -> None:
    invalid = change("nothing", "group:a", "group:b", named=frozenset({"X"}))
    with pytest.raises(Refused) as refused:
        reopened(invalid, bare_plant(), Answers())
    assert len(refused.value.faults) == 4


def test_topics_and_kinds_are_read_once() -> None:
    assert topics() is topics()
    assert kinds() is kinds()
