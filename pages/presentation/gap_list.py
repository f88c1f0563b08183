"""The gap list of a zone as rows."""

from __future__ import annotations

from checks.assessment import answer_effects
from checks.assessment.assessment import Assessment
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.presentation.wording import ANSWERS


def gap_rows(assessment: Assessment, zone: str) -> list[dict[str, str]]:
    """Gaps of a zone, sorted by effect on its worst function, the largest first."""
    result = assessment.zone(zone)
    rows = []
    for gap, effect in answer_effects.gap_effects(assessment, zone):
        present = closed = gain = NONE
        if effect is not None:
            present, closed = (measure(effect.demand, value) for value in (effect.now, effect.then))
            gain = factor(effect.gain) if effect.gain > 1.0 else "1"
        worst = f"{measure_name(effect.demand)} of {effect.function}" if effect else NONE
        question = assessment.banks.questions[gap.question]
        rows.append(
            {
                "Id": gap.question,
                "Answer": ANSWERS[gap.value],  # type: ignore[index]
                "Weight": str(gap.weight) if gap.is_topic else NONE,
                "Function": worst,
                "Now": present,
                "Closed": closed,
                "Gain": gain,
                "Reach": f"{len(result.reach)} functions",
                "FR": ", ".join(gap.fr) or NONE,
                "SR": ", ".join(gap.requirements) or NONE,
                "What closes it": gap.action,
                "What is asked": question.text,
            }
        )
    return rows
