"""What stands beside the results of a set: the band and the second method of the plant with its answers met and changes made."""

from __future__ import annotations

from checks.analysis import beside_result, uncertainty
from checks.assessment.assessment import Assessment
from checks.improvement import plan
from checks.improvement.advice import Advice
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer
from demo.load import PLANT

DEMO = Assessment(plant_file.read(PLANT))


def _advised(*functions: str) -> Advice:
    whole = plan.plan(DEMO, functions, "scored", efforts={})
    return Advice(whole, plan.for_the_others(whole, efforts={}), 0)


def _met(advised: Advice) -> Assessment:
    """The plant with the set, by the answers that it names."""
    answers = [Answer(question=str(each[0]), of=str(each[1]), value="met") for each in advised.best.actions]  # type: ignore[index]
    return advised.whole.model.assessment.with_answers(answers)


def test_now_is_the_plant_as_it_is_and_then_the_plant_with_the_set() -> None:
    advised = _advised("SIF-501")
    assert advised.best.chosen
    now = beside_result.figures(advised.whole.model.assessment, ["SIF-501"])
    then = beside_result.figures(advised.improved, advised.of_set)
    after = _met(advised)
    for figures, assessment in ((now, DEMO), (then, after)):
        assert figures.bands["SIF-501"] == uncertainty.of_function(assessment, "SIF-501")
        assert figures.besides["SIF-501"] == beside_result.of_function(assessment, "SIF-501")
    assert now.functions["SIF-501"].cases.scored == advised.best.before["SIF-501"]
    assert then.functions["SIF-501"].cases.scored == advised.best.after["SIF-501"]
    assert (then.bands["SIF-501"].misses or 0.0) < (now.bands["SIF-501"].misses or 0.0)


def test_what_no_set_can_bring_to_its_target_is_not_of_the_set() -> None:
    assert _advised("SIF-401", "SIF-501").of_set == ("SIF-501",)
    assert _advised("SIF-401").of_set == ()
