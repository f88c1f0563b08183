"""Screens on a server, role by role: who can sign in, what each role sees, and refusals after a sign-in has ended."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.people_list import Watched
from checks.access.roles import FACILITATOR, MAY, MEMBER, OWNER, ROLES, VIEWER, Person
from checks.access.sign_ins import NotSignedIn, Register
from checks.journal.store import Store
from checks.plantfile.plant import Asked
from checks.recording import answer_records, plant_import
from checks.state.evidence import Dissent
from checks.state.live import Live
from pages.ui import addresses
from pages.web import identity, run_mode
from tests.pages.shown import Screen, answers, fine, links, said, tables
from tests.rule import Rule

NEEDS = {
    "plant": None,
    "common-cause": "see the common-cause answers",
    "cyber": "see gap detail",
    "redundancy": None,
    "zones": "see gap detail",
    "reach": "see gap detail",
    "due": "see evidence",
    "again": "see evidence",
    "changed": "see evidence",
    "sign-off": "see evidence",
}
"""Permission that each screen needs (house rule, after the practice of the trade)."""
OF_RESULTS = {"Plant", "Redundancy left", "What if"}
OF_ALL_BUT_VIEWERS = OF_RESULTS | {
    "Common-cause session", "Cyber session", "Prepare", "What to fix first", "Zones and gaps", "Reach of a compromise",
    "What changed", "Due and open", "Re-assessment", "Sign-off",
}  # fmt: skip
LISTED = {
    role: OF_ALL_BUT_VIEWERS | {"Set up", "Bring a list"}
    if role in (FACILITATOR, MEMBER, OWNER)
    else OF_ALL_BUT_VIEWERS
    for role in ROLES
} | {VIEWER: OF_RESULTS}
"""Screens that the head lists for each role (house rule)."""
EVIDENCE, DISSENTER, WHY = "InventedEvidence7731", "InventedDissenter8850", "InventedReason2207"
ASKED = ("SEP1", "group:pt-301")
SignedIn = Callable[..., None]


@pytest.fixture
def settled(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> run_mode.Settled:
    """A server's settings with nobody on its list yet."""
    settings = run_mode.Settled(
        "review", "https://review.example.org", Watched(tmp_path / "people.yaml"), Register(idle=1800)
    )
    monkeypatch.setenv(run_mode.VARIABLE, run_mode.SERVER)
    monkeypatch.setattr(run_mode, "settled", lambda: settings)
    monkeypatch.setattr(identity, "claims", dict)
    return settings


@pytest.fixture
def signed_in(settled: run_mode.Settled, monkeypatch: pytest.MonkeyPatch) -> SignedIn:
    """Sign somebody in with these roles; further claims may be given."""

    def enter(*roles: str, **claims: Any) -> None:
        entry = {"subject": "s-1", "name": "A. Listed", "roles": list(roles)}
        settled.people.path.write_text(json.dumps({"format": 1, "people": [entry]}))
        all_claims = {
            "is_logged_in": True, "iss": "https://login.example.org", "sub": "s-1", "aud": "review",
            "exp": int(time.time()) + 600, "nonce": "n-1", "name": "Of The Provider", **claims,
        }  # fmt: skip
        monkeypatch.setattr(identity, "claims", lambda: all_claims)

    return enter


@pytest.fixture
def recorded(store: Store) -> Store:
    """The demo with an answer whose evidence, and a dissent whose holder, are known nowhere else."""
    live = Live(store, 1)
    team = Person("Somebody of the team", frozenset({FACILITATOR}))
    evidence = {"kind": "document", "identifier": EVIDENCE, "shows": "a drawing", "strength": 3}
    asked = ASKED if ASKED in live.state().stored else next(iter(live.state().stored))
    answer_records.add_evidence(live, team, asked, evidence)
    value = "met" if live.state().stored[asked].answer.value == "not-met" else "not-met"
    dissent = {"value": value, "who": DISSENTER, "role": "operator", "reason": WHY, "settles": "a drawing"}
    answer_records.record_dissent(live, team, asked, dissent)
    return store


@pytest.mark.usefixtures("store", "settled")
def test_nobody_gets_past_the_sign_in_screen(screen: Screen) -> None:
    with Rule() as rule:
        for url_path in NEEDS:
            with rule.case(url_path):
                at = fine(screen(url_path))
                texts = [text.value for text in at.markdown]
                assert texts == ["## Shared-Cause Review", "Sign in to continue\\."]
                assert [button.label for button in at.button] == ["Sign in"]
                assert not tables(at, "")
                assert not at.caption


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize("role", ROLES)
def test_a_screen_draws_for_the_roles_that_may_use_it_and_tells_others_which_roles_may(
    screen: Screen, signed_in: SignedIn, role: str
) -> None:
    signed_in(role)
    with Rule() as rule:
        for url_path, needs in NEEDS.items():
            with rule.case(url_path):
                at = fine(screen(url_path))
                refused = [text.value for text in at.info if text.value.startswith("Nothing is shown here")]
                if needs is None or role in MAY[needs]:
                    assert refused == []
                    shown = (tables(at, ""), at.get("plotly_chart"), at.button_group, at.markdown)
                    assert sum(map(len, shown)) > 3
                else:
                    roles = ", ".join(MAY[needs])
                    assert len(refused) == 1
                    assert (
                        f"one of these roles is needed to {needs}: {roles}. Ask the server administrator" in refused[0]
                    )
                    assert not tables(at, "")
                    assert not at.button_group


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize("role", ROLES)
def test_the_head_lists_the_screens_of_a_role_and_no_other(screen: Screen, signed_in: SignedIn, role: str) -> None:
    signed_in(role)
    listed: set[str] = set()
    for first_of_section in ("plant", "common-cause", "redundancy", "due"):
        shown = {label.strip("*") for label in links(screen(first_of_section))}
        listed |= shown & {entry.title for entry in addresses.entries().values()}
    assert listed == LISTED[role]


@pytest.mark.usefixtures("store")
def test_name_and_roles_cannot_be_chosen_on_a_server(screen: Screen, signed_in: SignedIn) -> None:
    signed_in(VIEWER)
    at = screen("plant")
    at.session_state["own"].update(who="Somebody Else", roles=list(ROLES))
    at.run()
    assert not [box for box in at.text_input if box.key == "who_box"]
    assert not [box for box in at.multiselect if box.key == "roles_box"]
    shown = said(fine(at))
    assert "Signed in as **A. Listed**" in shown
    assert "Roles: viewer" in shown
    assert "Somebody Else" not in shown
    assert "Nothing is shown here" in said(screen("zones"))


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(
    ("claims", "sentence"),
    [
        ({"exp": 1}, "Your sign-in ended at 00:00:01 UTC."),
        ({"aud": "another"}, "The provider's token is not usable here."),
        ({"sub": "s-2"}, "You are signed in as Of The Provider, but not on the list of people on this server."),
        ({"sub": "s-2", "email": "a@example.org", "email_verified": False}, "names no verified e-mail address"),
        ({"is_logged_in": False}, "Sign in to continue."),
    ],
)
def test_a_person_who_is_not_admitted_reads_why_and_nothing_else(
    screen: Screen, signed_in: SignedIn, claims: dict[str, Any], sentence: str
) -> None:
    signed_in(OWNER, **claims)
    at = fine(screen("zones"))
    assert sentence in said(at)
    assert not tables(at, "")
    assert len(at.markdown) == 2


@pytest.mark.parametrize("ended", ["by its time", "by signing out", "by idleness", "off the list"])
def test_an_answer_after_the_end_of_a_sign_in_is_not_stored(
    store: Store,
    screen: Screen,
    signed_in: SignedIn,
    settled: run_mode.Settled,
    monkeypatch: pytest.MonkeyPatch,
    ended: str,
) -> None:
    signed_in(MEMBER)
    at = fine(screen("common-cause", group="pt-301", q="DIV8"))
    assert answers(at, "DIV8", "group:pt-301") is not None
    before = store.version(1)
    if ended == "by its time":
        signed_in(MEMBER, exp=int(time.time()) - 1)
    elif ended == "by signing out":
        settled.register.end(identity.sign_in(identity.claims()))
    elif ended == "by idleness":
        monkeypatch.setattr(settled.register, "idle", -1.0)
    else:
        signed_in(MEMBER, sub="s-2")
    answers(at, "DIV8", "group:pt-301").set_value("met")
    at.run()
    assert store.version(1) == before
    assert not at.button_group
    assert len(at.markdown) == 2


def test_an_answer_in_time_is_stored_with_the_listed_name_and_how_it_is_known(
    store: Store, screen: Screen, signed_in: SignedIn
) -> None:
    signed_in(MEMBER)
    at = screen("common-cause", group="pt-301", q="DIV8")
    answers(at, "DIV8", "group:pt-301").set_value("partly")
    fine(at.run())
    (event,) = store.events(1, kinds=("answer",))[-1:]
    assert (event.by, event.identity) == ("A. Listed", "signed in: https://login.example.org s-1")
    assert event.content["by"] == "A. Listed"


def test_without_sign_in_every_event_says_that_the_name_is_self_declared(store: Store, screen: Screen) -> None:
    at = screen("common-cause", group="pt-301", q="DIV8")
    at.text_input(key="who_box").set_value("FS-1").run()
    answers(at, "DIV8", "group:pt-301").set_value("partly")
    fine(at.run())
    (event,) = store.events(1, kinds=("answer",))[-1:]
    assert (event.by, event.identity) == ("FS-1", "self-declared")


def _dissents_of(store: Store, who: str) -> list[tuple[Asked, Dissent]]:
    dissents = Live(store, 1).state().records.dissents
    return [(asked, dissent) for asked, several in dissents.items() for dissent in several if dissent.who == who]


def _beside_the_dissent(store: Store, screen: Screen) -> AppTest:
    """The session at the answer with the dissent, with the records of the answer unfolded."""
    ((asked, _),) = _dissents_of(store, DISSENTER)
    kind, _, key = asked[1].partition(":")
    at = screen("common-cause", q=asked[0], **{kind: key})
    at.session_state["beside"] = True
    return fine(at.run())


@pytest.mark.parametrize("role", ROLES)
def test_a_dissenter_is_named_only_to_those_who_may_see_it(
    recorded: Store, screen: Screen, signed_in: SignedIn, role: str
) -> None:
    signed_in(role)
    shown = said(_beside_the_dissent(recorded, screen))
    assert (WHY in shown) is (role in MAY["see evidence"])
    assert (DISSENTER in shown) is (role in MAY["see who dissented"])
    assert (EVIDENCE in shown) is (role in MAY["see evidence"])


def test_a_member_settles_a_dissent_without_learning_whose_it_is(
    recorded: Store, screen: Screen, signed_in: SignedIn
) -> None:
    signed_in(MEMBER)
    at = _beside_the_dissent(recorded, screen)
    offered = at.selectbox(key="settle_number").options
    assert not [label for label in offered if DISSENTER in label]
    at.text_input(key="settle_evidence").set_value("drawing D-7, seen")
    next(button for button in at.button if button.label == "Settle this dissent").click()
    fine(at.run())
    assert [dissent.closed for _, dissent in _dissents_of(recorded, DISSENTER)] == ["drawing D-7, seen"]


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize("url_path", ["plant", "zones"])
def test_a_file_is_built_only_for_a_person_who_is_still_signed_in(
    screen: Screen, signed_in: SignedIn, settled: run_mode.Settled, monkeypatch: pytest.MonkeyPatch, url_path: str
) -> None:
    built: list[Callable[[], Any]] = []
    monkeypatch.setattr("streamlit.download_button", lambda _label, data, **_: built.append(data))
    signed_in(OWNER)
    fine(screen(url_path))
    assert built[-1]()
    signed_in(VIEWER)
    with pytest.raises(NotSignedIn, match="Your roles have changed"):
        built[-1]()
    signed_in(OWNER)
    settled.register.end(identity.sign_in(identity.claims()))
    with pytest.raises(NotSignedIn, match="You signed out"):
        built[-1]()


@pytest.mark.usefixtures("store")
def test_a_broken_list_admits_nobody_until_it_is_corrected(
    screen: Screen, signed_in: SignedIn, settled: run_mode.Settled
) -> None:
    signed_in(OWNER)
    fine(screen("plant"))
    good = settled.people.path.read_text()
    for bad in ("people: [", good.replace("owner", "chief")):
        settled.people.path.write_text(bad)
        assert "The list of people on this server cannot be read" in said(screen("plant"))
    settled.people.path.unlink()
    assert "The list of people on this server cannot be read" in said(screen("plant"))
    settled.people.path.write_text(good)
    assert "What is left of the redundancy" in said(fine(screen("plant")))


def test_an_imported_plant_names_the_signed_in_person(store: Store) -> None:
    owner = Person("A. Listed", frozenset({OWNER}), identity="signed in: https://login.example.org s-1")
    plant = Live(store, 1).state().file()
    renamed = plant.model_copy(
        update={"answers": [], "plant": plant.plant.model_copy(update={"name": "Another Works"})}
    )
    key = plant_import.import_plant(store, owner, renamed)
    events = store.events(key)
    assert len(events) == 1
    assert {event.identity for event in events} == {owner.identity}
