"""The ladder of beta bands as HTML: a stair over the score, filled up to the present score.

Many answers move no result, because beta only changes where the score crosses a bound; here each of them is seen to climb.
The fill, a mark and words say the same, so that nothing rests on colour alone.
"""

from __future__ import annotations

import html
from collections.abc import Iterator

from checks.assessment.score_bands import ScoreBands
from checks.text.number_format import percent
from pages.presentation.palette import Palette

HIGH, STEP, FIRST = 5.6, 0.8, 0.9
"""Height of the drawing, rise of a step, height of the first step [rem]."""
LENGTH, LABEL = 1.15, 0.11
"""Length of the axis over the highest bound or score, and width of a label as a share of the axis."""


def in_words(here: ScoreBands, before: float | None = None) -> str:
    """The score, the way to the next band, and the score before."""
    start, beta = here.bands[here.at]
    was = f", was {before:g}" if before is not None and before != here.score else ""
    text = f"Score {here.score:g}{was}: 1oo2 beta {percent(beta)} (from {start:g})"
    if here.following is None:
        return f"{text}, the best band"
    bound, better = here.following
    text += f"; {here.missing:g} points to {percent(better)} (from {bound:g})"
    return text if here.within_reach else f"{text}, out of reach: all answers together score {here.most:g}"


def ladder(here: ScoreBands, palette: Palette, before: float | None = None) -> str:
    """The stair; to a screen reader it is one image with a text alternative. ``before`` is the score before the answer."""
    end = max(here.bands[-1][0], here.most, here.score) * LENGTH
    words = html.escape(in_words(here, before))
    parts = "".join((*_steps(here, end, palette), *_marks(here, before, end, palette)))
    look = f"color:{palette.ink};font-size:0.875rem;line-height:1.3;forced-color-adjust:none"
    inner = f"position:relative;height:{HIGH}rem;border-bottom:1px solid {palette.ink};margin-bottom:1.2rem"
    return (
        f'<div class="ladder" role="img" aria-label="{words}" style="{look}"><div>{words}</div>'
        f'<div style="{inner}">{parts}</div></div>'
    )


def _steps(here: ScoreBands, end: float, palette: Palette) -> Iterator[str]:
    """Each band as a step, filled as far as the score has come, with its beta on it and its bound below it."""
    for index, (start, beta) in enumerate(here.bands):
        stop = here.bands[index + 1][0] if index + 1 < len(here.bands) else end
        left, wide, high = start / end * 100.0, (stop - start) / end * 100.0, FIRST + index * STEP
        place = f"position:absolute;bottom:0;left:{left:.2f}%;height:{high}rem;box-sizing:border-box"
        yield f'<div style="{place};width:{wide:.2f}%;border:1px solid {palette.line};border-bottom:0"></div>'
        done = (min(stop, here.score) - start) / end * 100.0
        if done > 0.0:
            yield f'<div class="kept" style="{place};width:{done:.2f}%;background:{palette.kept}"></div>'
        present = index == here.at
        beside = here.score / end * 100.0 if present and here.score - start < LABEL * end else left
        label = f"position:absolute;bottom:{high}rem;left:{beside:.2f}%;font-weight:{700 if present else 400}"
        yield f'<div style="{label};padding-left:0.25rem">{percent(beta)}</div>'
        bound = f"position:absolute;top:100%;left:{left:.2f}%;color:{palette.quiet};font-size:0.8125rem"
        yield f'<div style="{bound}">{start:g}</div>'


def _marks(here: ScoreBands, before: float | None, end: float, palette: Palette) -> Iterator[str]:
    """An upright at the present score with its number on top, and a dotted one at the score before."""
    high = FIRST + len(here.bands) * STEP - 0.2
    if before is not None and before != here.score:
        look = f"height:{high}rem;border-left:2px dotted {palette.ink};margin-left:-1px"
        yield _at("before", before / end, look)
    yield _at("score", here.score / end, f"height:{high}rem;width:4px;margin-left:-2px;background:{palette.ink}")
    number = f"bottom:{high}rem;transform:translateX(-{here.score / end * 100.0:.1f}%);font-weight:700"
    yield _at("number", here.score / end, number, f"{here.score:g}")


def _at(what: str, share: float, look: str, text: str = "") -> str:
    return f'<div class="{what}" style="position:absolute;bottom:0;left:{share * 100.0:.2f}%;{look}">{text}</div>'
