"""Names that a reader takes for one person are found; different people are not.

Letters that look alike: the confusables of Unicode Technical Standard 39, from memory.
"""

from __future__ import annotations

import pytest

from checks.access.similar_names import near

KOWALSKA = "Ana Kowalska"


@pytest.mark.parametrize(
    ("name", "other"),
    [
        (KOWALSKA, "Аnа Kоwаlskа"),  # Cyrillic А, а, о
        (KOWALSKA, "Αna Kowalska"),  # Greek Α
        (KOWALSKA, "Ana Kowa1ska"),
        (KOWALSKA, "Ana KowaIska"),
        (KOWALSKA, "Anna Kowalska"),
        (KOWALSKA, "Ana Kowlaska"),
        (KOWALSKA, "Ana Kowalsk"),
        (KOWALSKA, "Aná Kowalská"),
        (KOWALSKA, "Ana-Kowalska."),
        (KOWALSKA, "Ana\u200b Kowalska"),
        ("R. Hale", "R Hale"),
        ("OW-1", "0W-1"),
        ("TM-1", "TM-l"),
        ("Łukasz Bury", "Lukasz Bury"),
        ("Burnett", "Bumett"),
        ("Νίκος Παππάς", "ΝΙΚΟΣ ΠΑΠΠΑΣ"),
        ("Ярослав", "Яросла"),
    ],
)
def test_a_name_that_reads_the_same_is_near_both_ways(name: str, other: str) -> None:
    assert near(name, [other]) == [other]
    assert near(other, [name]) == [name]


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("TM-1", "TM-2"),
        ("TM-1", "TM-11"),
        ("FA-1", "IA-1"),
        ("Ana", "Ann"),
        ("Ana", "Anna"),
        (KOWALSKA, "Ana Nowak"),
        ("valve specialist", "valve engineer"),
        ("operator 12", "operator 21"),
        (KOWALSKA, ""),
        ("", "…"),
        ("Юи", "Яэ"),
    ],
)
def test_another_name_is_not_near(name: str, other: str) -> None:
    assert near(name, [other]) == []


def test_the_same_name_is_left_out_and_each_near_one_is_listed_once() -> None:
    others = ["ana kowalska", "Anna Kowalska", "Anna Kowalska", "R. Hale"]
    assert near(KOWALSKA, others) == ["Anna Kowalska"]
