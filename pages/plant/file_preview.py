"""What a plant file does to the plant of its name: entries, results, sign-offs, and its answers beside the stored ones."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from checks.plant_tables import preview
from checks.plant_tables.preview import Preview
from checks.plantfile.plant import Answer, Asked, Plant
from checks.recording import file_answers
from checks.recording.file_answers import Differing, FileAnswers
from checks.state.live import Live, State
from checks.visibility import redaction
from pages.plant_data import consequences
from pages.presentation.wording import ANSWERS, addressee, author, counted, escaped
from pages.ui import state, tables

TICKED = "answers_of_file"
PREVIEWED = "plant file previewed"
HIDDEN = "hidden until it is answered again"


@dataclass(frozen=True)
class _Previewed:
    """A preview and what it was made for."""

    plant: Plant
    made_for: tuple[object, ...]
    preview: Preview


def draw(live: Live, plant: Plant) -> tuple[int, dict[Asked, int]]:
    """Draw the preview; returns the number of the plant data it shows, and the answers that were ticked."""
    current = live.state()
    st.markdown(f"### What the file changes in {escaped(plant.plant.name)}")
    answers = file_answers.compared(current, plant.answers)
    visible = redaction.seen(current, state.person())
    _listed(visible, plant, answers)
    ticked = _ticked(visible, plant, answers)
    consequences.draw(_preview(live, current, plant, tuple(answers.taken(ticked))))
    return current.version.data, ticked


def _preview(live: Live, current: State, plant: Plant, taken: tuple[Answer, ...]) -> Preview:
    """The preview, computed once for a file, a state and the ticked answers."""
    made_for = (live.key, current.version, taken)
    kept: _Previewed | None = state.get(PREVIEWED)
    if kept is None or kept.plant is not plant or kept.made_for != made_for:
        with st.spinner("Comparing entries and results …"):
            bare = plant.model_copy(update={"answers": []})
            kept = _Previewed(plant, made_for, preview.preview(current, bare, taken))
        state.put(PREVIEWED, kept)
    return kept.preview


def _listed(visible: State, plant: Plant, answers: FileAnswers) -> None:
    """Answers that are taken without a question: new ones, and newer ones with what they replace."""
    if not plant.answers:
        return
    count = f"{counted(len(answers.new), 'new answer')}, {len(answers.newer)} newer than the stored one"
    st.markdown(f"**{count}, {len(answers.not_newer)} not newer.**")
    if answers.newer:
        rows = [_row(visible, plant, each) for each in answers.newer]
        tables.table(rows, key="newer_answers", alt="Answers that the file replaces with newer ones")
    if answers.new:
        with st.expander("New answers", key="new_answers", on_change="rerun") as fold:
            if fold.open:
                rows = [_place(plant, each) | {"Of the file": _text(each)} for each in answers.new]
                tables.table(rows, key="new_answers_table", alt="New answers of the file")


def _ticked(visible: State, plant: Plant, answers: FileAnswers) -> dict[Asked, int]:
    """Draw the answers that are not newer than the stored ones; returns those that are taken all the same."""
    if not answers.not_newer:
        return {}
    st.markdown("**These stored answers stay**: those of the file are older, of the same day, or name no day.")
    rows = [_row(visible, plant, each) for each in answers.not_newer]
    tables.table(rows, key="kept_answers", alt="Stored answers that stay, beside those of the file")
    options = {f"{each.asked[0]} {each.asked[1]}": each for each in answers.not_newer}
    ticked = st.multiselect(
        "Replace these all the same", list(options), key=TICKED, placeholder="None: all stored answers stay"
    )
    return {options[name].asked: options[name].stored.id for name in ticked if name in options}


def _row(visible: State, plant: Plant, each: Differing) -> dict[str, str]:
    stored = each.stored
    shown = _text(stored.answer, author(stored.answer.by, stored.recorded_by), stored.given_on)
    hidden = stored.asked not in visible.stored
    return _place(plant, each.answer) | {"Stored": HIDDEN if hidden else shown, "Of the file": _text(each.answer)}


def _place(plant: Plant, given: Answer) -> dict[str, str]:
    return {"Question": given.question, "Of": addressee(given.of, plant)}


def _text(given: Answer, by: str = "", on: str = "") -> str:
    """Value, evidence and note of an answer, with its author and day."""
    texts = (("evidence", given.evidence), ("note", given.note))
    named = (f"{name}: {text}" for name, text in texts if text)
    return "; ".join((ANSWERS[given.value], *named, by or given.by or "somebody", on or given.on or "no day"))
