"""The answers of a plant file as lines of YAML, written directly: a general writer takes a minute for 100,000 answers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from checks.plantfile.plant import Answer

_SIMPLE = re.compile(r"[A-Za-z][\w .,/()+-]*", re.ASCII)
_WORDS = frozenset(("y", "n", "yes", "no", "on", "off", "true", "false", "null", "nan"))
"""Text that needs no quotes, and words that a general reader takes for a value, in any capitals."""
_NAMES = [(name, "'on'" if name == "on" else name, field.default) for name, field in Answer.model_fields.items()]
"""Each field with its name in the file (a general reader takes a bare ``on`` for a truth value) and its default."""


def answer_lines(answers: Iterable[Answer], general: Callable[[str], str]) -> Iterator[str]:
    """Lines of the answers; ``general`` writes a text that takes more than one line or holds a character to escape."""
    yield "answers:"
    for answer in answers:
        mark = "- "
        for name, written, default in _NAMES:
            value = getattr(answer, name)
            if value != default:
                yield f"{mark}{written}: {_scalar(value, general)}"
                mark = "  "


def _scalar(text: str, general: Callable[[str], str]) -> str:
    if _SIMPLE.fullmatch(text) and text[-1] != " " and text.lower() not in _WORDS:
        return text
    if text.isprintable():
        return "'" + text.replace("'", "''") + "'"
    return general(text)
