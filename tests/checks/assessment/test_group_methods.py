"""A beta method of one group's own: its estimate, what is asked, what stands beside it, and what a revision names."""

from __future__ import annotations

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from checks.analysis import beta_opinions, uncertain_inputs
from checks.analysis.json_results import outcome
from checks.assessment import answer_effects, cautions
from checks.assessment.assessment import Assessment
from checks.comparison.comparison import compare
from checks.plant_tables import draft, entries, rows
from checks.plant_tables.columns import keys
from checks.plant_tables.entries import Sheet
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer, Plant
from checks.progress import open_questions
from checks.progress.open_questions import CAUSES, Place
from checks.questions.bank import OPINIONS, banks
from checks.revision import basis, fingerprint
from checks.signoff import signers
from checks.text.canonical import canonical
from checks.text.faults import Refused
from checks.variants.variant import Variant
from checks.variants.variant import outcome as outcome_of_variant
from scoring.methods import registry
from tests.checks.given import ROOT, answer, plain_2

GROUP = "pt"
REASON = "a machinery function, assessed after IEC 62061"
BANKS = dict(OPINIONS)


def raw(method: str | None = "iec62061-2005", **conventions: Any) -> dict[str, Any]:
    """The file with everything of format 2, with a beta method of the group ``pt``."""
    data = plain_2()
    own = {} if method is None else {"beta_method": method, "beta_method_reason": REASON}
    data["groups"][GROUP]["conventions"] |= {**own, **conventions}
    return data


def assessed(method: str | None = "iec62061-2005", *answers: Answer, **conventions: Any) -> Assessment:
    plant = Plant.model_validate(raw(method, **conventions))
    return Assessment(plant).with_answers(answers)


def every(bank: str, value: str, **more: str) -> list[Answer]:
    of = {"plant": "plant", "system": "system:S1", "group": f"group:{GROUP}"}
    return [answer(name, of[question.asked_of], value, **more) for name, question in banks().opinions[bank].items()]


@pytest.mark.parametrize(
    ("method", "bank", "value", "beta"),
    [
        ("humphreys-1987", "humphreys", "level-e", 0.001),
        ("upm-1996", "upm", "level-c", 0.0175),
        ("iec62061-2005", "iec62061", "met", 0.01),
        ("iec62061-2005", "iec62061", "not-met", 0.1),
        ("iec62061-2005", "iec62061", "partly", 0.1),
        ("iso13849-1", "iso13849", "met", 0.02),
        ("iso13849-1", "iso13849", "not-met", 0.1),
    ],
)
def test_the_groups_method_gives_beta_and_beta_d(method: str, bank: str, value: str, beta: float) -> None:
    """No MooN factor here, so the beta of a pair is that of the group.

    Humphreys 1987 (closure), UPM 1996 and IEC 62061:2005 Table F.2 (from memory), ISO 13849-1 (2 % read; below 65 points 10 % of
    IEC 61508-6:2010 Table D.4 by house rule).
    """
    found = assessed(method, *every(bank, value, evidence="drawing 4")).group(GROUP)
    assert found.betas is not None
    assert (found.betas.beta, found.betas.beta_d) == pytest.approx((beta, beta), rel=1e-12)
    assert found.score is None
    assert found.unanswered == 0


def test_open_questions_count_at_their_worst_and_span_the_band() -> None:
    """IEC 62061:2005 Table F.2: 1 to 10 % (from memory). The worst grade of an open question is a house rule."""
    unanswered = assessed().group(GROUP)
    assert unanswered.betas is not None
    assert unanswered.betas.beta == 0.1
    assert unanswered.beta_band == (0.01, 0.1)
    assert (unanswered.asked, unanswered.unanswered) == (14, 14)
    assert assessed("iec62061-2005", *every("iec62061", "met")).group(GROUP).beta_band == (0.01, 0.1)
    assert assessed("iec62061-2005", *every("iec62061", "met", evidence="a 1")).group(GROUP).beta_band == (0.01, 0.01)


def test_the_moon_factor_and_the_exposure_rule_apply_after_it() -> None:
    """IEC 61508-6:2010 Table D.5: 1.5 for 2oo3 (closure); house rule to-single: beta to the power of 1 - g."""
    own = assessed("iec62061-2005", *every("iec62061", "met"), voting_factor="iec61508-6-2010").group(GROUP)
    assert own.betas is not None
    assert own.exposure is not None
    assert own.betas.beta == pytest.approx(1.5 * 0.01)
    assert own.betas.beta_adjusted == pytest.approx(0.015 ** (1.0 - own.exposure))


def test_other_groups_keep_the_method_of_the_plant() -> None:
    own, before = assessed("upm-1996"), assessed(None)
    for key in before.plant.groups:
        if key != GROUP:
            assert own.group(key) == before.group(key)
    assert own.group(GROUP).betas != before.group(GROUP).betas


def test_the_method_of_the_plant_may_be_named_for_a_group_too() -> None:
    own, before = assessed("iec61508-6-2010"), assessed(None)
    assert own.group(GROUP) == before.group(GROUP)
    assert basis.facts(own, "S1").get("group_methods") is None, "it is no other method than that of the plant"


def test_answers_to_the_plants_questions_move_nothing_and_its_own_do() -> None:
    before = assessed()
    of_plant = before.with_answers([answer("SEP1", f"group:{GROUP}", "not-met"), answer("PRO1", "plant")])
    assert of_plant.function("SIF-1").cases == before.function("SIF-1").cases
    own = before.with_answers(every("iec62061", "met"))
    assert own.function("SIF-1").cases.scored < before.function("SIF-1").cases.scored


def test_progress_effects_and_order_follow_the_bank_of_the_group() -> None:
    assessment = assessed("humphreys-1987", *every("humphreys", "level-c")[1:])
    place = open_questions.of_group(assessment, GROUP)
    assert place == Place("humphreys", GROUP)
    assert open_questions.progress(assessment, place).open == ("HUM1",)
    assert not open_questions.is_opinion(assessment, place)
    assert open_questions.is_opinion(assessment, Place(CAUSES, GROUP))
    assert open_questions.questions(assessment, Place(CAUSES, GROUP)).keys() == assessment.rows_of_plant(GROUP).keys()
    (effect,) = answer_effects.open_questions_of_group(assessment, GROUP)
    assert effect.question == "HUM1"
    assert effect.gain > 1.0


def test_the_opinions_mark_what_is_chosen_and_the_plants_method_is_the_second_one() -> None:
    assessment = assessed("iso13849-1", answer("SEP1", f"group:{GROUP}"), *every("iso13849", "met")[:3])
    found = beta_opinions.of_group(assessment, GROUP)
    assert found is not None
    assert found.carried.label == "Machinery checklist, ISO 13849-1"
    assert (found.carried.reason, found.carried.asked - len(found.carried.open)) == (REASON, 3)
    assert found.carried.beta == 0.1
    by_plant = beta_opinions.of_group(assessed(None, answer("SEP1", f"group:{GROUP}")), GROUP)
    assert by_plant is not None
    second = found.asked[0]
    assert (second.bank, second.beta) == (CAUSES, by_plant.carried.beta)
    assert second.band == pytest.approx(by_plant.carried.band)
    assert "iso13849" not in [opinion.bank for opinion in found.asked]


def test_its_beta_is_uncertain_over_its_band_and_not_held_as_if_specified() -> None:
    found = assessed()
    group = found.group(GROUP)
    assert uncertain_inputs.fixed(found.plant, [group]) == []
    assert uncertain_inputs.beta_of(group) is not None


def test_every_result_names_the_method_and_the_remarks_say_the_reason() -> None:
    plant = assessed().plant
    assert "Annex D, but Machinery checklist, IEC 62061 for pt; MooN" in cautions.method(plant)
    remarks = "\n".join(cautions.remarks(plant))
    assert REASON in remarks
    assert "pt: an open question counts at its worst grade (house rule)" in remarks


def refused(data: dict[str, Any]) -> list[str]:
    plant, faults, _ = plant_file.from_data(data)
    assert plant is None
    return [f"{fault.place}: {fault.found}; {fault.allowed}" for _, fault in faults]


def test_a_method_without_a_reason_unknown_or_beside_a_specified_beta_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at = "groups.pt.conventions.beta_method"
    for blank in ("", "  "):
        (line,) = refused(raw(beta_method_reason=blank))
        assert line.startswith(f"{at}_reason: missing")
    (line,) = refused(raw("guesswork"))
    assert line.startswith(f"{at}: found 'guesswork'; allowed for a sensor group: iec61508-6-2010, humphreys-1987")
    (line,) = refused(raw(None, beta_method_reason="why"))
    assert line == f"{at}_reason: given without beta_method; name the method, or remove it"
    beside = raw(stated_beta=None)
    beside["groups"][GROUP]["conventions"].pop("stated_beta")
    beside["groups"][GROUP]["stated_beta"] = {"beta": 0.05, "beta_d": 0.05, "source": "site"}
    assert f"{at}: given beside stated_beta" in refused(beside)[0]
    monkeypatch.setattr(registry, "betas_of_part", lambda part: ("iec61508-6-2010",) if part == "sensor" else ())
    (line,) = refused(raw())
    assert line == f"{at}: found 'iec62061-2005'; allowed for a sensor group: iec61508-6-2010"
    first = {**raw(), "format": 1}
    assert any("groups.pt.conventions: needs format 2" in line for line in refused(first))


def test_a_plant_file_keeps_method_and_reason() -> None:
    plant, faults, _ = plant_file.from_data(raw())
    assert not faults
    assert plant is not None
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant
    sheets = [
        entries.read(Sheet(name, tuple(enumerate(lines, start=1)), keys(name)))
        for name, lines in rows.of_plant(plant).items()
    ]
    assert draft.draft(plant, sheets, whole=True).plant == plant


def test_a_revision_names_the_method_its_edition_and_its_bank_and_computes_the_same_again() -> None:
    assessment = assessed("upm-1996", *every("upm", "level-b"))
    facts = json.loads(canonical(basis.facts(assessment, "S1")))
    assert facts["group_methods"] == {GROUP: {"beta": {"id": "upm-1996", "edition": 1}}}
    assert facts["banks"]["upm"]["edition"] == "edition-1"
    again = basis.assessment_of(facts)
    assert basis.results(again, "S1") == basis.results(assessment, "S1")
    assert basis.fingerprint_matches(facts)
    stored = basis.revision_assessment({"facts": facts, "results": json.loads(canonical(basis.results(again, "S1")))})
    assert stored.reproduced
    assert stored.group(GROUP) == assessment.group(GROUP)
    assert signers.banks_of("safety", {"facts": facts}) == ("common_cause", "upm")
    assert signers.banks_of("security", {"facts": facts}) == ("cyber", "requirements")


def test_without_a_group_of_its_own_a_revision_is_as_before_and_with_one_it_differs() -> None:
    before, own = (basis.facts(assessed(method), "S1") for method in (None, "upm-1996"))
    assert "group_methods" not in before
    assert set(before["banks"]) == {"common_cause", "cyber", "requirements"}
    assert own != before
    assert own["fingerprint"] != before["fingerprint"] == fingerprint.of(assessed(None).editions)


def test_a_method_of_a_newer_release_is_named_as_such() -> None:
    facts = json.loads(canonical(basis.facts(assessed(), "S1")))
    facts["group_methods"][GROUP]["beta"]["edition"] = 99
    with pytest.raises(basis.NewerRelease, match="iec62061-2005 edition 99"):
        basis.known_editions({"format": 2, "facts": facts})


def test_what_changed_names_the_method_and_its_effect() -> None:
    old, new = assessed(None), assessed("upm-1996")
    found = compare(old, new)
    change = next(change for change in found.functions if change.id == "SIF-1")
    (step,) = change.steps
    at = "groups.pt.conventions.beta_method"
    assert {fact.place for fact in step.facts} == {at, f"{at}_reason"}
    assert step.gain == pytest.approx(old.function("SIF-1").cases.adjusted / new.function("SIF-1").cases.adjusted)
    (back,) = next(change for change in compare(new, old).functions if change.id == "SIF-1").steps
    assert back.gain == pytest.approx(1.0 / step.gain)
    other = compare(new, assessed("upm-1996", beta_method_reason="said otherwise"))
    assert [fact.place for fact in other.data] == [f"{at}_reason"]
    assert all(change.steps == () for change in other.functions)


def test_an_answer_of_the_groups_bank_has_its_step_in_what_changed() -> None:
    old, new = assessed(), assessed("iec62061-2005", *every("iec62061", "met"))
    change = next(change for change in compare(old, new).functions if change.id == "SIF-1")
    assert change.steps
    product = 1.0
    for step in change.steps:
        product *= step.gain
    assert product == pytest.approx(change.gain)


@pytest.mark.parametrize("second", [False, True])
def test_the_json_names_the_method_and_fits_its_schema(*, second: bool) -> None:
    schema = json.loads((ROOT / "checks" / "analysis" / "score.schema.json").read_text(encoding="utf-8"))
    printed = json.loads(json.dumps(outcome(assessed(), second=second)))
    assert list(Draft202012Validator(schema).iter_errors(printed)) == []
    assert printed["group_methods"] == {GROUP: {"beta": {"id": "iec62061-2005", "edition": 1}}}
    if second:
        group = printed["groups"][GROUP]
        assert group["method"]["beta"] == {"id": "iec62061-2005", "edition": 1}
        assert "iec62061-2005" not in group["second"]
        assert 0.0 < group["second"]["iec61508-6-2010"] < 1.0
        assert "beta" not in printed["groups"]["esv"]["method"]
    assert "group_methods" not in outcome(assessed(None))


def test_a_variant_with_a_specified_beta_takes_the_place_of_the_method() -> None:
    assessment = assessed("upm-1996")
    changed = Variant("better").put(assessment.plant, GROUP, "stated_beta.beta", "0.02")
    found = outcome_of_variant(assessment, "SIF-1", changed)
    assert found.gain is not None
    assert found.gain > 1.0
    other = Variant("sooner").put(assessment.plant, GROUP, "proof_test.interval_h", "4380")
    kept = outcome_of_variant(assessment, "SIF-1", other)
    assert kept.draft.plant is not None
    assert kept.draft.plant.groups[GROUP].conventions == assessment.plant.groups[GROUP].conventions


def test_a_stored_plant_with_a_fault_is_not_accepted_by_the_entry() -> None:
    with pytest.raises(Refused):
        plant_file.from_text("file", plant_file.to_text(Plant.model_validate(raw("guesswork"))))
