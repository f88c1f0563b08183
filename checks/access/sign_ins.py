"""Who has signed in: the claims of an OpenID Connect ID token, how long they count, and when they were last used.

The signature of the token was verified before; what is looked at here is what must be looked at again each time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from threading import Lock
from typing import Any

from checks.access.people_list import Listed, People
from checks.access.roles import Person

LONGEST_IDENTITY = 240
"""Letters of an identity that the store keeps."""
LAST = 253_402_300_799
"""The last second of the year 9999, since 1970."""
NOBODY = "not signed in"


class NotSignedIn(PermissionError):
    """Somebody who is not let in; the text says why and what to do. ``known`` says whether we know who it is."""

    def __init__(self, why: str, *, known: bool = False) -> None:
        self.known = known
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class SignIn:
    """One sign-in: who, at which provider, and until when (seconds since 1970). ``key`` tells it from all others.

    ``email`` is empty unless the provider verified it.
    """

    issuer: str
    subject: str
    name: str
    email: str
    ends: float
    key: str

    @property
    def identity(self) -> str:
        """How the name is known, as events keep it."""
        return f"signed in: {self.issuer} {self.subject}"


def of_claims(claims: Mapping[str, Any], *, client: str) -> SignIn:
    """The sign-in of these claims; raises NotSignedIn where they are not usable or not meant for this client."""
    if claims.get("is_logged_in") is not True:
        raise NotSignedIn("Sign in to continue.")
    issuer, subject, ends = claims.get("iss"), claims.get("sub"), claims.get("exp")
    # OpenID Connect Core 1.0, 3.1.3.7: the audience must hold the client, whatever the authorised party is
    audience = claims.get("aud")
    meant = client in audience if isinstance(audience, list) else client == audience
    timed = isinstance(ends, (int, float)) and not isinstance(ends, bool) and 0 <= ends <= LAST
    if not (isinstance(issuer, str) and issuer and isinstance(subject, str) and subject and timed and meant):
        raise NotSignedIn("The provider's token is not usable here. Sign in again, or tell the server administrator.")
    email = claims.get("email") if claims.get("email_verified") is True else ""
    named = (claims.get(one) for one in ("name", "preferred_username", "email"))
    name = next((one.strip() for one in named if isinstance(one, str) and one.strip()), subject)
    key = f"{issuer} {subject} {claims.get('nonce') or claims.get('iat')}"
    made = SignIn(issuer, subject, name, email if isinstance(email, str) else "", float(ends or 0), key)
    if len(made.identity) > LONGEST_IDENTITY:
        raise NotSignedIn("The provider's name for you is longer than the record keeps. Tell the server administrator.")
    return made


class Register:
    """The sign-ins that are in use, all browsers together: when somebody last acted in one, and which were ended.

    ``idle`` is the number of seconds without an action after which a sign-in no longer counts.
    """

    def __init__(self, *, idle: float) -> None:
        self.idle = idle
        self._acted: dict[str, tuple[float, float]] = {}
        self._lock = Lock()

    def __len__(self) -> int:
        """How many sign-ins are kept."""
        return len(self._acted)

    def check(self, one: SignIn, now: float) -> None:
        """Raise NotSignedIn where a sign-in has ended: by its own time, by idleness, or because somebody ended it."""
        if not now < one.ends:
            raise NotSignedIn(f"Your sign-in ended at {_clock(one.ends)}. {AGAIN}")
        acted, _ = self._acted.get(one.key, (now, one.ends))
        if acted == OVER:
            raise NotSignedIn(f"You signed out. {AGAIN}")
        if now - acted > self.idle:
            raise NotSignedIn(f"Signed out after {self.idle / 60:g} minutes without activity. {AGAIN}")

    def act(self, one: SignIn, now: float) -> None:
        """Note that somebody acted in a sign-in that counts."""
        with self._lock:
            if one.key not in self._acted:
                self._acted = {key: held for key, held in self._acted.items() if now < held[1]}
            if self._acted.get(one.key, (now, now))[0] != OVER:
                self._acted[one.key] = (now, one.ends)

    def end(self, one: SignIn) -> None:
        """End a sign-in in every browser window; its token counts no longer."""
        with self._lock:
            self._acted[one.key] = (OVER, one.ends)


OVER = float("-inf")
AGAIN = "What was typed or clicked since is not stored. Sign in again."


def _clock(at: float) -> str:
    return f"{datetime.fromtimestamp(at, tz=UTC):%H:%M:%S} UTC"


def person_of(one: SignIn, people: People, *, writer: str) -> Person:
    """The person of a sign-in with the roles that the list gives; raises NotSignedIn for a stranger."""
    listed: Listed | None = people.of(subject=one.subject, email=one.email)
    if listed is None:
        unverified = "" if one.email else " Your provider names no verified e-mail address."
        raise NotSignedIn(
            f"You are signed in as {one.name}, but not on the list of people on this server.{unverified} "
            "Ask the server administrator for a role.",
            known=True,
        )
    return Person(
        (listed.name or one.name)[:200], listed.roles, identity=one.identity, writer=writer, systems=listed.systems
    )
