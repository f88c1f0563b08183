"""Names compared regardless of case, spaces and Unicode form."""

from __future__ import annotations

from hashlib import sha256
from unicodedata import normalize

from checks.journal.event import DECLARED


def token(name: str, identity: str) -> str:
    """A short text that tells people apart: a hash of the identity after a sign-in, else the plain name.

    Two signed-in people with the same name get different tokens.
    """
    return comparable(name) if identity == DECLARED else sha256(identity.encode()).hexdigest()[:16]


def same(name: str, other: str) -> bool:
    """Whether two names are equal regardless of case, spaces and Unicode form."""
    return comparable(name) == comparable(other)


def comparable(name: str) -> str:
    """A name in the form used for comparison: lower case, no spaces, Unicode NFKC.

    >>> comparable(" Valve  Specialist ")
    'valvespecialist'
    """
    return "".join(normalize("NFKC", name).casefold().split())
