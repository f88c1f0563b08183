"""Editions of methods and banks: those of a format, those a revision names, and the hashes a signature covers."""

from __future__ import annotations

import pytest

from checks.assessment import editions
from checks.questions import bank
from checks.questions.bank import FIRST, LATEST, UnknownEdition
from tests.checks.given import valid_plant

PINNED = {
    ("common_cause", "iec61508-6-2010"): (
        "88c92c8224c730b22bf50bf8092f50912343cfbeda968295d2e0c3e8e76cdb03",
        "4e2f79eb5c2d2828bda8f6c5de28cd534cf534fdae5c2e5d643227c4afe1123f",
    ),
    ("common_cause", "edition-2"): (
        "88c92c8224c730b22bf50bf8092f50912343cfbeda968295d2e0c3e8e76cdb03",
        "904aaf5e8fc4323b68f55c213f3baaa8aad9b0c781f6d3410786d773f72d8080",
    ),
    ("cyber", "edition-1"): (
        "106e5f757ae47ba23646ee5de2901250741f1c25681a5f149e0f4285d15b84ec",
        "51837a63e10797d2693e13a63cf2735780542d5fed9155b5dbea73db0d219d65",
    ),
    ("cyber", "edition-2"): (
        "b24e77237b49425052d4b1fe464c8b4836d84704759c0b9463e464d57e60250e",
        "a407e6d3038e1cdc07abdef4ccfdaf34c0cef5cd452bdcfe09c961e28541d613",
    ),
    ("requirements", "iec62443-3-3-2013"): (
        "fa5617b17142600874aad63eda96767abb6092f0d67d861800bf9aba367807a3",
        "d663889e226b847bb543d67ba22b522178de5703227920b9bbfe15b868ac14a9",
    ),
    ("requirements", "edition-2"): (
        "fa5617b17142600874aad63eda96767abb6092f0d67d861800bf9aba367807a3",
        "8a4f8f9946fe0016e34f3ccc959ac118222263ca37cd5eb6087df9850374ad58",
    ),
    ("humphreys", "edition-1"): (
        "7d2b198b318b0cbfa6f444e4c289d37b725edf7f5ad293752738f30866f67f5f",
        "ed61955cf9df559f363888fa6425ddc14e0283cd181536591d2da24805a07f9d",
    ),
    ("upm", "edition-1"): (
        "2d12e363a6e2920668fdce8f29dcd7a22ffa56f4986401afaa2e0f409ff9f71f",
        "f06dad4a9d9cdec1cd05c6959f20058547bbad6da1f3644d3cbaa7f273fbbd80",
    ),
    ("iec62061", "edition-1"): (
        "2a63c47a7e351b1b55ed1fc899fe29e07f72b0cbe1726c5cdd7fad2a1069d9bc",
        "3ca86ee5c9c5869e0843c8a845609a9d4742acb77d075de738a567222db190d0",
    ),
    ("iso13849", "edition-1"): (
        "55676451faf3c32fbe78e626daa487fb7099c1d4e5e0828026b396c9acece2fd",
        "070b5d23ee8b588dc92189340667cde2822d2eb85c3e0f80244828e43fed07cd",
    ),
}
"""Hash of what scores and of the words of each edition. What scores never changes in an edition that was used."""


@pytest.mark.parametrize(("name", "edition"), PINNED)
def test_the_hashes_of_each_edition_are_pinned(name: str, edition: str) -> None:
    assert (bank.scoring_hash(name, edition), bank.words_hash(name, edition)) == PINNED[name, edition]


def test_format_1_has_the_latest_words_that_score_as_its_first_banks_did() -> None:
    for (name, first), (_, chosen), (_, latest) in zip(FIRST, editions.BANK_EDITIONS[1], LATEST, strict=True):
        assert bank.scoring_hash(name, chosen) == bank.scoring_hash(name, first)
        if chosen != latest:
            assert bank.scoring_hash(name, latest) != bank.scoring_hash(name, first), "else format 1 could have it too"


def test_only_what_scores_differs_in_the_cyber_bank() -> None:
    old, new = (bank.edition("cyber", name) for name in ("edition-1", "edition-2"))
    changed = {name for name in old if list(bank._scores(old[name])) != list(bank._scores(new[name]))}  # noqa: SLF001
    undermining = {name for name in new if new[name].undermines}
    assert changed == {"A05", "L08"} | undermining
    mapping = {name for name in old if old[name].requirements != new[name].requirements}
    assert mapping == {"A05", "L08"}


def test_an_edition_that_is_not_there_was_written_by_a_newer_release() -> None:
    for name in ("edition-9", "", "..", "../cyber/edition-1"):
        with pytest.raises(UnknownEdition, match="written by a newer release"):
            bank.edition("cyber", name)
    with pytest.raises(UnknownEdition):
        bank.edition("later", "edition-1")


def test_the_names_in_a_revision_give_the_same_editions_again() -> None:
    plant = valid_plant()
    used = editions.of_plant(plant)
    facts = {"methods": used.methods_named(), "banks": used.banks_named()}
    assert editions.of_facts(plant, facts) == used
    assert editions.of_numbers(plant.conventions.model_dump(), editions.numbers(used)) == used


def test_facts_of_the_first_releases_name_no_methods_and_mean_the_first_editions() -> None:
    plant = valid_plant()
    facts = {"banks": {name: {"edition": edition, "sha256": "ab" * 32} for name, edition in FIRST}}
    used = editions.of_facts(plant, facts)
    assert {about.edition for about in used.about.values()} == {1}
    assert used.chosen_banks == FIRST
