"""Sign-ins: the claims of an OpenID Connect ID token, how long they are valid, and when they were last used.

The signature of the token is verified elsewhere, once; these checks run at each use.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from threading import Lock
from typing import Any

from checks.access.name_entry import name_faults
from checks.access.people_list import Listed, People
from checks.access.roles import Person
from checks.access.sign_outs import SignOuts

LONGEST_IDENTITY = 240
"""Most characters of an identity that the store keeps."""
LAST = 253_402_300_799
"""The last second of the year 9999 [s since 1970]."""
NOBODY = "not signed in"


class NotSignedIn(PermissionError):
    """A sign-in is refused; the text says why and what to do. ``known`` says whether the person is identified."""

    def __init__(self, why: str, *, known: bool = False) -> None:
        self.known = known
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class SignIn:
    """One sign-in: who, at which provider, and until when [s since 1970]. ``key`` is unique to it.

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
    """The sign-in of these claims; raises NotSignedIn where they are unusable or issued for another client."""
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
    named = (claims.get(claim) for claim in ("name", "preferred_username", "email"))
    name = next((claim.strip() for claim in named if isinstance(claim, str) and claim.strip()), subject)
    key = f"{issuer} {subject} {claims.get('nonce') or claims.get('iat')}"
    sign_in = SignIn(issuer, subject, name, email if isinstance(email, str) else "", float(ends or 0), key)
    if len(sign_in.identity) > LONGEST_IDENTITY:
        raise NotSignedIn(
            "The provider's name for you is longer than the record can keep. Tell the server administrator."
        )
    return sign_in


class Register:
    """The sign-ins in use by all browsers: the time of the last action in each, and which were ended.

    ``idle`` is the time without an action after which a sign-in ends [s]; ``ended`` keeps which were ended.
    """

    def __init__(self, *, idle: float, ended: SignOuts | None = None) -> None:
        self.idle = idle
        self._ended = SignOuts() if ended is None else ended
        self._acted: dict[str, tuple[float, float]] = {}
        self._lock = Lock()

    def __len__(self) -> int:
        """Number of sign-ins kept."""
        return len(self._acted)

    def check(self, sign_in: SignIn, now: float) -> None:
        """Raise NotSignedIn where a sign-in has ended: by its own time, by inactivity, or by signing out."""
        if not now < sign_in.ends:
            raise NotSignedIn(f"Your sign-in ended at {_clock(sign_in.ends)}. {AGAIN}")
        if sign_in.key in self._ended:
            raise NotSignedIn(f"You signed out. {AGAIN}")
        acted, _ = self._acted.get(sign_in.key, (now, sign_in.ends))
        if now - acted > self.idle:
            raise NotSignedIn(f"Signed out after {self.idle / 60:g} minutes without activity. {AGAIN}")

    def act(self, sign_in: SignIn, now: float) -> None:
        """Record an action in a valid sign-in."""
        with self._lock:
            if sign_in.key not in self._acted:
                self._acted = {key: times for key, times in self._acted.items() if now < times[1]}
                self._ended.forget(now)
            self._acted[sign_in.key] = (now, sign_in.ends)

    def end(self, sign_in: SignIn) -> None:
        """End a sign-in in every browser window; its token is no longer accepted, after a restart neither."""
        with self._lock:
            self._ended.add(sign_in.key, sign_in.ends)


AGAIN = "What was typed or clicked since is not stored. Sign in again."


def _clock(at: float) -> str:
    return f"{datetime.fromtimestamp(at, tz=UTC):%H:%M:%S} UTC"


def person_of(sign_in: SignIn, people: People, *, writer: str) -> Person:
    """The person of a sign-in with the roles from the list; raises NotSignedIn where they are not listed."""
    listed: Listed | None = people.of(subject=sign_in.subject, email=sign_in.email)
    if listed is None:
        unverified = "" if sign_in.email else " Your provider names no verified e-mail address."
        raise NotSignedIn(
            f"You are signed in as {sign_in.name}, but not on the list of people on this server.{unverified} "
            "Ask the server administrator for a role.",
            known=True,
        )
    name = (listed.name or sign_in.name)[:200]
    for fault in name_faults("name", name):
        raise NotSignedIn(
            f"The provider's name for you cannot be recorded: {fault.found}. "
            "Ask the server administrator to write your name into the list of people on this server.",
            known=True,
        )
    return Person(
        name,
        listed.roles,
        identity=sign_in.identity,
        writer=writer,
        systems=listed.systems,
    )
