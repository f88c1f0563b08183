"""Names compared without capitals, spaces and the way a letter is stored."""

from __future__ import annotations

from hashlib import sha256
from unicodedata import normalize

from checks.journal.event import DECLARED


def token(name: str, identity: str) -> str:
    """Somebody, to compare by and in few letters: who signed in by their identity, anybody else by name.

    Two people of one name who signed in are two.
    """
    return plain(name) if identity == DECLARED else sha256(identity.encode()).hexdigest()[:16]


def same(one: str, other: str) -> bool:
    """Whether two names are the same but for capitals, spaces and the way a letter is stored."""
    return plain(one) == plain(other)


def plain(name: str) -> str:
    """A name without capitals, spaces and the way a letter is stored, to compare by.

    >>> plain(" Valve  Specialist ")
    'valvespecialist'
    """
    return "".join(normalize("NFKC", name).casefold().split())
