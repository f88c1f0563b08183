"""People, their roles, and what each role may do and see (house rule, after common practice)."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from checks.journal.event import DECLARED

FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER = ROLES = (
    "facilitator",
    "team member",
    "security reviewer",
    "independent assessor",
    "owner",
    "viewer",
)
TEAM = (FACILITATOR, MEMBER)
"""Roles that lead sessions and answer."""
HALF_OF = {ASSESSOR: "safety", REVIEWER: "security"}
"""The half of a sign-off that a role signs."""

MAY: dict[str, tuple[str, ...]] = {
    "answer a question": (MEMBER,),
    "record evidence": (FACILITATOR, MEMBER),
    "record a dissent": (FACILITATOR, MEMBER),
    "record attendance": (FACILITATOR,),
    "confirm an answer": (MEMBER,),
    "answer privately": (MEMBER,),
    "reveal the private answers": (FACILITATOR,),
    "record a change": (FACILITATOR, MEMBER, OWNER),
    "begin a re-assessment": (FACILITATOR,),
    "raise or change an action": (FACILITATOR, MEMBER, OWNER),
    "submit for review": (FACILITATOR,),
    "send back": (ASSESSOR, REVIEWER),
    "comment on a review": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "sign": (ASSESSOR, REVIEWER),
    "accept a residual risk": (OWNER,),
    "enrol or withdraw a key": (OWNER,),
    "set an interval": (OWNER,),
    "import plant data": (FACILITATOR, MEMBER, OWNER),
    "archive a plant": (FACILITATOR, OWNER),
    "see the common-cause answers": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see gap detail": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see evidence": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER),
    "see who dissented": (FACILITATOR, REVIEWER, ASSESSOR, OWNER),
    "see gap counts": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER),
    "see betas and results": (FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER, VIEWER),
    "export a record": (FACILITATOR, REVIEWER, ASSESSOR, OWNER),
}
"""The roles that hold each permission. A person with several roles has the permissions of all of them."""

Rights = tuple[frozenset[str], frozenset[str] | None]
"""Roles of a person, and the systems of their teams (None for all)."""


class NotAllowed(PermissionError):
    """A person lacks a permission, or has it only for other systems: ``beyond`` names the addressees outside their systems."""

    def __init__(self, deed: str, person: Person, beyond: Collection[str] = ()) -> None:
        if person.may(deed):
            teams = ", ".join(sorted(person.systems or ())) or "no system"
            where = ", ".join(sorted(beyond)) or "the whole plant"
            who = person.name or "you"
            super().__init__(f"to {deed} for {where} needs a member of another team; {who}: team of {teams}")
        else:
            roles = ", ".join(sorted(person.roles)) or "nobody"
            who = f"{person.name} acts" if person.name else "you act"
            super().__init__(f"to {deed} needs the role {' or '.join(MAY[deed])}; {who} as {roles}")


class NoName(NotAllowed):
    """A person who gave no name: everything that is recorded names its author."""

    def __init__(self) -> None:
        PermissionError.__init__(self, "Not stored yet: everything recorded here carries a name. Give yours first")


@dataclass(frozen=True, slots=True)
class Person:
    """A person at a screen: name, roles, how the name is known, and the browser session.

    ``systems`` are the safety systems to whose teams a team member belongs, None for all. A permission that only the role
    of team member gives is limited to them.
    """

    name: str
    roles: frozenset[str]
    identity: str = DECLARED
    writer: str = ""
    systems: frozenset[str] | None = None

    @property
    def rights(self) -> Rights:
        """What decides the permissions of the person."""
        return self.roles, self.systems

    def may(self, deed: str) -> bool:
        """Whether one of the roles holds a permission of ``MAY``."""
        return not self.roles.isdisjoint(MAY[deed])

    def may_everywhere(self, deed: str) -> bool:
        """Whether the roles hold a permission for every system of the plant."""
        roles = self.roles if self.systems is None else self.roles - {MEMBER}
        return not roles.isdisjoint(MAY[deed])

    def require_name(self) -> None:
        """Raise NoName where the person gave no name."""
        if not self.name.strip():
            raise NoName

    def require(self, deed: str) -> None:
        """Raise NotAllowed where no role holds the permission."""
        if not self.may(deed):
            raise NotAllowed(deed, self)

    def require_everywhere(self, deed: str) -> None:
        """Raise NotAllowed where the roles do not hold the permission for every system."""
        if not self.may_everywhere(deed):
            raise NotAllowed(deed, self)
