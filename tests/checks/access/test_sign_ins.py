"""Claims of a sign-in: which are accepted, for how long, and for whom."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from checks.access.people_list import from_text
from checks.access.roles import MAY, OWNER
from checks.access.sign_ins import NotSignedIn, Register, SignIn, of_claims, person_of
from checks.access.sign_outs import SignOuts

NOW = 1_800_000_000.0
CLAIMS: dict[str, Any] = {
    "is_logged_in": True,
    "iss": "https://login.example.org",
    "sub": "s-1",
    "aud": "review",
    "exp": int(NOW) + 600,
    "nonce": "n-1",
    "email": "r.hale@example.org",
    "email_verified": True,
    "name": "Robin Hale",
}
PEOPLE = from_text("people.yaml", "format: 1\npeople: [{email: r.hale@example.org, name: R. Hale, roles: [owner]}]")


def _sign_in(**changes: Any) -> SignIn:
    return of_claims({**CLAIMS, **changes}, client="review")


def test_the_person_has_the_roles_and_the_name_of_the_list_and_an_identity_that_says_how_it_is_known() -> None:
    person = person_of(_sign_in(), PEOPLE, writer="w")
    assert (person.name, person.roles, person.writer) == ("R. Hale", {OWNER}, "w")
    assert person.identity == "signed in: https://login.example.org s-1"


def test_without_a_name_on_the_list_the_name_of_the_claims_stands() -> None:
    people = from_text("people.yaml", "format: 1\npeople: [{subject: s-1, roles: [owner]}]")
    assert person_of(_sign_in(), people, writer="").name == "Robin Hale"
    assert person_of(_sign_in(name=" "), people, writer="").name == "r.hale@example.org"
    assert person_of(_sign_in(name=None, email=None), people, writer="").name == "s-1"


@pytest.mark.parametrize("verified", [False, None, "true", 1, [True]], ids=repr)
def test_an_address_counts_only_where_the_provider_says_that_it_is_verified(verified: object) -> None:
    with pytest.raises(NotSignedIn, match="names no verified e-mail address") as caught:
        person_of(_sign_in(email_verified=verified), PEOPLE, writer="")
    assert caught.value.known


@pytest.mark.parametrize("logged", [False, None, "yes", 1], ids=repr)
def test_claims_without_a_sign_in_let_nobody_in(logged: object) -> None:
    with pytest.raises(NotSignedIn, match="Sign in to continue"):
        _sign_in(is_logged_in=logged)
    with pytest.raises(NotSignedIn, match="Sign in to continue"):
        of_claims({}, client="review")


@pytest.mark.parametrize("audience", ["another", ["another"], [], None, "review2", {"review": 1}], ids=repr)
def test_a_token_for_another_client_is_not_taken_whoever_its_authorised_party_is(audience: object) -> None:
    """OpenID Connect Core 1.0, 3.1.3.7, item 3, from memory."""
    with pytest.raises(NotSignedIn, match="not usable here"):
        _sign_in(aud=audience, azp="review")


def test_a_token_for_several_clients_is_taken_by_each_of_them() -> None:
    assert _sign_in(aud=["another", "review"]).subject == "s-1"


@pytest.mark.parametrize("field", ["iss", "sub", "exp", "aud"])
@pytest.mark.parametrize("value", [None, "", True, [], {}], ids=repr)
def test_a_token_that_lacks_what_it_must_say_is_not_taken(field: str, value: object) -> None:
    with pytest.raises(NotSignedIn):
        _sign_in(**{field: value})


def test_an_identity_longer_than_the_record_keeps_is_refused_and_not_cut() -> None:
    with pytest.raises(NotSignedIn, match="longer than the record can keep"):
        _sign_in(sub="s" * 230)


def test_a_sign_in_counts_until_its_end_and_not_at_it() -> None:
    register, sign_in = Register(idle=1e9), _sign_in()
    register.check(sign_in, sign_in.ends - 0.001)
    for late in (sign_in.ends, sign_in.ends + 1):
        with pytest.raises(NotSignedIn, match=r"^Your sign-in ended at 08:10:00 UTC\. What was typed"):
            register.check(sign_in, late)


@pytest.mark.parametrize("ends", [math.nan, math.inf, -math.inf, -1, 1e300], ids=repr)
def test_an_end_that_is_no_time_is_not_taken(ends: float) -> None:
    with pytest.raises(NotSignedIn, match="not usable here"):
        _sign_in(exp=ends)


def test_whoever_does_nothing_for_long_is_out_and_stays_out() -> None:
    register, sign_in = Register(idle=60), _sign_in()
    register.act(sign_in, NOW)
    register.check(sign_in, NOW + 60)
    for later in (61, 300):
        with pytest.raises(NotSignedIn, match="Signed out after 1 minutes without activity"):
            register.check(sign_in, NOW + later)


def test_each_action_begins_the_time_anew() -> None:
    register, sign_in = Register(idle=60), _sign_in()
    for at in range(0, 500, 50):
        register.check(sign_in, NOW + at)
        register.act(sign_in, NOW + at)


def test_who_signed_out_is_out_whatever_comes_from_an_older_window() -> None:
    register, sign_in = Register(idle=60), _sign_in()
    register.act(sign_in, NOW)
    register.end(sign_in)
    register.act(sign_in, NOW + 1)
    with pytest.raises(NotSignedIn, match="You signed out"):
        register.check(sign_in, NOW + 2)


def test_who_signed_out_is_out_after_a_restart(tmp_path: Path) -> None:
    sign_in, other = _sign_in(), _sign_in(nonce="n-2")
    Register(idle=60, ended=SignOuts(tmp_path / "sign-outs", now=NOW)).end(sign_in)
    register = Register(idle=60, ended=SignOuts(tmp_path / "sign-outs", now=NOW + 1))
    register.check(other, NOW + 1)
    with pytest.raises(NotSignedIn, match="You signed out"):
        register.check(sign_in, NOW + 1)


def test_another_sign_in_of_the_same_person_counts_by_itself() -> None:
    register, sign_in, other = Register(idle=60), _sign_in(), _sign_in(nonce="n-2")
    register.act(sign_in, NOW)
    register.end(sign_in)
    register.check(other, NOW + 500)


def test_sign_ins_that_are_over_are_forgotten() -> None:
    register = Register(idle=60)
    for at in range(50):
        register.act(_sign_in(nonce=f"n-{at}", exp=int(NOW) + at + 1), NOW + at)
    assert len(register) <= 2


def test_somebody_not_signed_in_may_do_nothing_at_all() -> None:
    nobody = person_of(_sign_in(), PEOPLE, writer="")
    assert any(nobody.may(deed) for deed in MAY)
    with pytest.raises(NotSignedIn, match="You are signed in as Robin Hale, but not on the list"):
        person_of(_sign_in(email="else@example.org"), PEOPLE, writer="")


def test_a_name_of_the_claims_that_misleads_is_refused_and_the_name_of_the_list_serves() -> None:
    people = from_text("people.yaml", "format: 1\npeople: [{subject: s-1, roles: [owner]}]")
    with pytest.raises(NotSignedIn, match=r"U\+202E.*write your name into the list") as caught:
        person_of(_sign_in(name="Robin\u202e Hale"), people, writer="")
    assert caught.value.known
    assert person_of(_sign_in(name="Robin\u202e Hale"), PEOPLE, writer="").name == "R. Hale"
