"""The list of people on a server: accepted or refused as a whole, each fault with its place and what is allowed."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.access.people_list import from_file, from_text
from checks.access.roles import FACILITATOR, MEMBER, OWNER, ROLES
from checks.text.faults import Refused

GOOD = """
format: 1
people:
  - {email: R.Hale@example.org, name: R. Hale, roles: [facilitator, team member]}
  - {subject: "0815", roles: [owner]}
  - {subject: "s-3", email: vic@example.org, name: V. Icke, roles: [viewer]}
"""
HALE = "{email: r.hale@example.org, name: R. Hale, roles: [viewer]}"


def _refused(text: str) -> list[str]:
    with pytest.raises(Refused) as caught:
        from_text("people.yaml", text)
    return caught.value.lines()


def test_a_person_is_known_by_subject_or_by_e_mail_address_whatever_its_capitals() -> None:
    people = from_text("people.yaml", GOOD)
    hale = people.of(subject="unknown", email="r.hale@EXAMPLE.org")
    owner = people.of(subject="0815", email="")
    assert hale is not None
    assert (hale.name, hale.roles) == ("R. Hale", {FACILITATOR, MEMBER})
    assert owner is not None
    assert (owner.name, owner.roles) == ("", {OWNER})
    assert people.of(subject="s-3", email="") == people.of(subject="", email="vic@example.org")


def test_a_team_member_is_of_the_systems_that_are_named_and_else_of_every_one() -> None:
    entry = "  - {email: a@example.org, roles: [team member, facilitator], systems: [S30, S40]}\n"
    people = from_text("people.yaml", GOOD + entry)
    some, listed = (people.of(subject="", email=email) for email in ("a@example.org", "r.hale@example.org"))
    assert some is not None
    assert some.systems == {"S30", "S40"}
    assert listed is not None
    assert listed.systems is None


def test_a_subject_says_more_than_an_address() -> None:
    listed = from_text("people.yaml", GOOD).of(subject="0815", email="r.hale@example.org")
    assert listed is not None
    assert listed.roles == {OWNER}


@pytest.mark.parametrize(("subject", "email"), [("", ""), ("081", ""), ("R. Hale", "0815"), ("s-4", "@example.org")])
def test_a_stranger_is_not_known(subject: str, email: str) -> None:
    assert from_text("people.yaml", GOOD).of(subject=subject, email=email) is None


@pytest.mark.parametrize(
    ("entry", "line"),
    [
        (
            "{email: a@example.org, roles: [boss]}",
            "people.1.roles.0 (line 5): unknown role 'boss'; one of facilitator,",
        ),
        (
            "{email: a@example.org, roles: [owner, owner]}",
            "people.1.roles.1 (line 5): owner listed twice; each role once",
        ),
        ("{email: a@example.org, roles: []}", "people.1.roles (line 5): no role; a list of at least one"),
        ("{email: a@example.org}", "people.1.roles (line 5): no role; a list of at least one"),
        ("{email: a@example.org, roles: owner}", "people.1.roles (line 5): no role; a list of at least one"),
        ("{name: A, roles: [owner]}", "people.1 (line 5): neither subject nor email; give one of the two"),
        (
            "{subject: 12, roles: [owner]}",
            "people.1.subject (line 5): found 12; text of at most 200 characters; put digits",
        ),
        ("{subject: '', roles: [owner]}", "people.1.subject (line 5): found ''; text of at most"),
        ("{email: nobody, roles: [owner]}", "people.1.email (line 5): found 'nobody'; an e-mail address has an @"),
        ("{email: a@example.org, role: owner}", "people.1.role (line 5): unknown key; allowed: subject, email, name"),
        (
            "{email: R.HALE@example.org, roles: [owner]}",
            "people.1.email (line 5): R.HALE@example.org is listed at people.0",
        ),
        (
            "{subject: x, name: r.hale, roles: [owner]}",
            "people.1.name (line 5): r.hale is listed at people.0 too; one entry",
        ),
        (
            "{email: a@example.org, roles: [team member], systems: []}",
            "people.1.systems (line 5): no system; a list of at least one id, or leave it out",
        ),
        ("{email: a@example.org, roles: [team member], systems: S30}", "people.1.systems (line 5): no system;"),
        (
            "{email: a@example.org, roles: [team member], systems: [S30, S30]}",
            "people.1.systems.1 (line 5): S30 listed twice; each system once",
        ),
        (
            "{email: a@example.org, roles: [team member], systems: [30]}",
            "people.1.systems.0 (line 5): found 30; text of at most 200 characters; put digits in quotes",
        ),
        (
            "{email: a@example.org, roles: [owner], systems: [S30]}",
            "people.1.systems (line 5): no team member; only the role team member can be limited to systems",
        ),
        ("somebody", "people.1 (line 5): found 'somebody'; write {email:"),
    ],
)
def test_a_fault_of_an_entry_is_named_with_its_place_and_what_is_allowed(entry: str, line: str) -> None:
    lines = _refused(f"\nformat: 1\npeople:\n  - {HALE}\n  - {entry}\n")
    assert any(text.startswith(f"people.yaml: {line}") for text in lines), lines


def test_every_fault_is_listed_at_once() -> None:
    lines = _refused("format: 2\nwhat: x\npeople:\n  - {email: a, roles: [boss]}\n  - {roles: [owner]}\n")
    assert [text.split(" (")[0] for text in lines] == [
        "people.yaml: format",
        "people.yaml: what",
        "people.yaml: people.0.email",
        "people.yaml: people.0.roles.0",
        "people.yaml: people.1",
    ]


@pytest.mark.parametrize("text", ["", "[]", "format: 1", "format: 1\npeople: []", "format: 1\npeople: {}", "people: ["])
def test_a_file_without_people_is_refused(text: str) -> None:
    assert _refused(text)


def test_the_same_entry_twice_is_refused() -> None:
    lines = _refused(f"format: 1\npeople:\n  - {HALE}\n  - {HALE}\n")
    assert {text.split(" (")[0] for text in lines} == {
        "people.yaml: people.1.email",
        "people.yaml: people.1.name",
    }


def test_a_file_that_cannot_be_read_is_refused_with_its_name(tmp_path: Path) -> None:
    with pytest.raises(
        Refused, match=r"nowhere.yaml: \(file\): No such file .*; name a list of people that can be read"
    ):
        from_file(tmp_path / "nowhere.yaml")
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"format: 1 # \xe9")
    with pytest.raises(Refused, match=r"byte 12 is not UTF-8"):
        from_file(latin)


@pytest.mark.parametrize("role", ROLES)
def test_every_role_of_the_program_can_be_given(role: str) -> None:
    people = from_text("people.yaml", f"format: 1\npeople:\n  - {{subject: x, roles: [{role}]}}\n")
    listed = people.of(subject="x", email="")
    assert listed is not None
    assert listed.roles == {role}


@pytest.mark.parametrize(("name", "found"), [("R.\\u200b Hale", "U+200B"), ("R. H\u0430le", "U+0430 CYRILLIC")])
def test_a_name_that_misleads_is_refused_with_its_place(name: str, found: str) -> None:
    entry = f'  - {{email: a@example.org, name: "{name}", roles: [viewer]}}\n'
    (line,) = _refused(GOOD + entry)
    assert line.startswith("people.yaml: people.3.name (line 7): ")
    assert found in line
