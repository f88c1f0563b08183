"""Who does something, in which role, and what each role may do and see (house rule, after the practice of the trade)."""

from __future__ import annotations

from dataclasses import dataclass
from unicodedata import normalize

from checks.record.journal import DECLARED

FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER = ROLES = (
    "facilitator",
    "team member",
    "security reviewer",
    "independent assessor",
    "owner",
    "viewer",
)
HALF_OF = {ASSESSOR: "safety", REVIEWER: "security"}
"""Which half of a sign-off a role signs."""

MAY: dict[str, tuple[str, ...]] = {
    "answer a question": (MEMBER,),
    "record evidence": (FACILITATOR, MEMBER),
    "record a dissent": (FACILITATOR, MEMBER),
    "record who attended": (FACILITATOR,),
    "confirm an answer": (MEMBER,),
    "record a change": (FACILITATOR, MEMBER, OWNER),
    "put up for review": (FACILITATOR,),
    "send back": (ASSESSOR, REVIEWER),
    "sign": (ASSESSOR, REVIEWER),
    "accept a gap": (OWNER,),
    "enrol or withdraw a key": (OWNER,),
    "set an interval": (OWNER,),
    "import plant data": (FACILITATOR, MEMBER, OWNER),
    "see the common-cause answers": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see gap detail": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see evidence": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see who dissented": (FACILITATOR, REVIEWER, ASSESSOR, OWNER),
    "see gap counts": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER),
    "see betas and results": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER),
    "export a record": (FACILITATOR, REVIEWER, ASSESSOR, OWNER),
}
"""For each deed the roles that may do it. A person with several roles may do what any of them may."""


class NotAllowed(PermissionError):
    """A deed that the roles of a person do not cover."""

    def __init__(self, deed: str, person: Person) -> None:
        roles = ", ".join(sorted(person.roles)) or "nobody's"
        super().__init__(f"to {deed} takes the role {' or '.join(MAY[deed])}; {person.name or 'you'} act as {roles}")


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody at a screen: name, roles, how the name is known, and the browser session."""

    name: str
    roles: frozenset[str]
    identity: str = DECLARED
    writer: str = ""

    def may(self, deed: str) -> bool:
        """Whether one of the roles covers a deed of ``MAY``."""
        return not self.roles.isdisjoint(MAY[deed])

    def must(self, deed: str) -> None:
        """Raise NotAllowed where no role covers a deed."""
        if not self.may(deed):
            raise NotAllowed(deed, self)


def same(one: str, other: str) -> bool:
    """Whether two names are the same but for case and spaces."""
    return plain(one) == plain(other)


def plain(name: str) -> str:
    r"""A name without case and surplus spaces, to compare by.

    Compatibility forms fall together (Unicode NFKC): keyboards write one accented letter in two ways.

    >>> plain("  IA-E\u0301  1 ") == plain("ia-\u00e9 1")
    True
    """
    return " ".join(normalize("NFKC", name).split()).casefold()
