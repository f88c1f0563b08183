"""Every screen draws, and says what it must say wherever figures stand."""

from __future__ import annotations

import pytest

from checks.assessment.cautions import CAUTIONS, method
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.plantfile.plant_file import from_text
from tests.checks.given import SMALLEST, plain
from tests.checks.journal.stored import plant_data
from tests.pages.shown import SCREENS, Holding, Screen, fine, said
from tests.rule import Rule

NONSENSE = ("nowhere", "", "-1", "1e99", "../../etc", "![x](https://example.invalid/x.png)", "é漢", "x" * 3000)
ASKED_FOR = ("plant", "group", "zone", "function", "q", "bank", "system", "from", "to")


def test_every_screen_draws_with_the_demo_and_says_that_its_data_are_invented(store: Store, screen: Screen) -> None:
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                shown = said(fine(screen(url_path)))
                assert "Quillmarch Works** — invented data - not for use" in shown
                for caution in CAUTIONS:
                    assert caution in shown
                assert method(plant_data(store, 1)) in shown


@pytest.mark.usefixtures("store")
def test_the_first_screen_is_the_plant(screen: Screen) -> None:
    assert "## What is left of the redundancy" in said(fine(screen("")))


@pytest.mark.usefixtures("store")
def test_an_address_that_names_nothing_known_falls_back_on_every_screen(screen: Screen) -> None:
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                plain_address = said(screen(url_path))
                assert said(fine(screen(url_path, **dict.fromkeys(ASKED_FOR, NONSENSE[0])))) == plain_address


@pytest.mark.usefixtures("store")
def test_an_address_falls_back_whatever_nonsense_it_holds(screen: Screen) -> None:
    """On the screen that asks its address for most: plant, zone, bank and question."""
    plain_address = said(screen("cyber"))
    with Rule() as rule:
        for nonsense in NONSENSE:
            with rule.case(repr(nonsense[:40])):
                assert said(fine(screen("cyber", **dict.fromkeys(ASKED_FOR, nonsense)))) == plain_address


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(
    ("url_path", "query"),
    [
        ("redundancy", {"function": "SIF-301", "group": "xv-401"}),
        ("redundancy", {"function": "SIF-401", "group": "xv-401"}),
        ("common-cause", {"group": "pt-301", "q": "Z01"}),
        ("common-cause", {"group": "ls-sis", "q": "CPX6"}),
        ("cyber", {"zone": "Z5", "bank": "requirements", "q": "Z01"}),
        ("cyber", {"zone": "Z5", "q": "SR 1.1"}),
    ],
)
def test_an_address_that_names_what_does_not_belong_here_falls_back(
    screen: Screen, url_path: str, query: dict[str, str]
) -> None:
    fine(screen(url_path, **query))


def without(*blocks: str) -> Plant:
    """The valid plant without these blocks and what hangs on them."""
    raw = plain()
    raw["answers"] = []
    for block in blocks:
        raw[block] = {}
    if "zones" in blocks:
        for group in raw["groups"].values():
            group.pop("zone", None)
    return Plant.model_validate(raw)


def of_one_demand(demand: str) -> Plant:
    """The valid plant with the functions of one demand only."""
    raw = plain()
    raw["functions"] = {key: one for key, one in raw["functions"].items() if one["demand"] == demand}
    raw["systems"] = {}
    raw["answers"] = []
    return Plant.model_validate(raw)


def of_single_channels() -> Plant:
    """The valid plant with one channel a group."""
    raw = plain()
    for group in raw["groups"].values():
        group.pop("stated_beta", None)
        group.update(voting="1oo1", channels=group["channels"][:1])
    raw["answers"] = []
    return Plant.model_validate(raw)


SPARSE = {
    "nothing at all": from_text("smallest", SMALLEST),
    "no zones": without("zones", "conduits"),
    "no conduits": without("conduits"),
    "no systems": without("systems"),
    "no functions": without("functions", "systems"),
    "no groups": without("groups", "functions", "systems"),
    "single channels only": of_single_channels(),
    "high demand only": of_one_demand("high"),
    "low demand only": of_one_demand("low"),
}


@pytest.mark.parametrize("which", SPARSE)
def test_a_sparse_plant_draws_on_every_screen(holding: Holding, screen: Screen, which: str) -> None:
    holding(SPARSE[which])
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                shown = said(fine(screen(url_path)))
                assert SPARSE[which].plant.name in shown
                assert CAUTIONS[0] in shown


@pytest.mark.parametrize(
    ("url_path", "which", "sentence"),
    [
        ("plant", "nothing at all", "No safety function is described yet: import a plant file below."),
        ("common-cause", "no groups", "No group is described yet: import a plant file on the Plant screen."),
        ("cyber", "no zones", "No zone is described yet: import a plant file on the Plant screen."),
        ("redundancy", "no functions", "No function is described yet: import a plant file on the Plant screen."),
        ("zones", "no zones", "No zone is described yet: import a plant file on the Plant screen."),
    ],
)
def test_a_screen_with_nothing_to_show_says_what_to_do(
    holding: Holding, screen: Screen, url_path: str, which: str, sentence: str
) -> None:
    holding(SPARSE[which])
    assert sentence in said(screen(url_path))


def test_a_store_that_is_away_is_a_sentence_on_every_screen(
    screen: Screen, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{store.engine.url.database}/below/answers.sqlite3")
    with Rule() as rule:
        for url_path in SCREENS:
            with rule.case(url_path):
                at = screen(url_path)
                assert not at.exception
                (sentence,) = [error.value for error in at.error]
                assert "cannot be created" in sentence
                assert CAUTIONS[0] in said(at)


def test_an_empty_store_gets_the_demo(screen: Screen, monkeypatch: pytest.MonkeyPatch, store: Store) -> None:
    path = f"{store.engine.url.database}-new"
    monkeypatch.setenv("SHARED_CAUSE_DB", f"sqlite:///{path}")
    assert "Quillmarch Works" in said(fine(screen("plant")))
    assert Store(f"sqlite:///{path}").plants() == {1: "Quillmarch Works"}
