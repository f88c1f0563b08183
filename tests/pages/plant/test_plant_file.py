"""Import and download of the plant file on the Plant screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import FACILITATOR, MEMBER, OWNER
from checks.journal.errors import StoreUnavailable
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.recording import plants
from checks.state.live import Live
from demo.load import PLANT
from tests.checks.given import HERE, changed, told
from tests.checks.journal.stored import answers_after, latest, plant_data, say
from tests.pages.at_the_screen import as_, unfold
from tests.pages.shown import Handed, Screen, fine, rows, said, unescaped, where

OTHER = changed(("name: Quillmarch Works, note: invented data - not for use", "name: Other Works, note: invented too"))
NAME = "plant.yaml"
BROKEN = sorted((HERE / "plantfile" / "broken").glob("*.yaml"))


def hand_in(at: AppTest, raw: bytes) -> AppTest:
    """Choose a file and press Import, which a file with faults does not offer."""
    at.file_uploader(key="plant_upload").upload(NAME, raw, "application/yaml").run()
    if not at.code:
        at.button(key="import").click().run()
    assert not at.exception
    return at


def faults(raw: str | bytes) -> list[str]:
    """Lines that the command line prints for this file."""
    return [line.replace("FILE:", f"{NAME}:", 1) for line in told(raw)]


def in_order(plant: Plant) -> Plant:
    return plant.model_copy(update={"answers": sorted(plant.answers, key=lambda answer: (answer.of, answer.question))})


@pytest.mark.usefixtures("store")
def test_there_is_nothing_to_import_before_a_file_is_chosen(screen: Screen) -> None:
    assert "import" not in [button.key for button in fine(screen("plant")).button]


def test_a_good_file_is_stored_and_shown(store: Store, screen: Screen) -> None:
    at = fine(hand_in(fine(screen("plant", function="SIF-301")), OTHER.encode()))
    assert store.plants() == {1: "Quillmarch Works", 2: "Other Works"}
    assert where(at, "plant") == plants.address_of(store, 2)
    assert [unescaped(message.value) for message in at.success] == ["Other Works is stored: 6 groups, 10 answers."]
    assert "**Other Works** — invented too" in said(at)
    assert in_order(Live(store, 2).state().file()) == in_order(plant_file.from_text("x", OTHER))


def test_the_earlier_plant_can_be_chosen_again(store: Store, screen: Screen) -> None:
    at = hand_in(screen("plant"), OTHER.encode())
    assert len(store.plants()) == 2
    links = {link.proto.label: link.proto.query_string for link in unfold(at, "plants_2").get("page_link")}
    earlier = links["Quillmarch Works \\(demo\\)"]
    assert earlier == f"plant={plants.address_of(store, 1)}"
    assert "**Quillmarch Works**" in said(screen("plant", plant=earlier.removeprefix("plant=")))


def test_a_file_of_the_same_plant_updates_the_data_and_keeps_the_answers(store: Store, screen: Screen) -> None:
    stored = say(store, 1, "DIV8", "group:pt-301", "met", by="instrument engineer")
    text = PLANT.read_text(encoding="utf-8").replace("target_rrf: 500", "target_rrf: 5000", 1)
    at = fine(hand_in(screen("plant"), text.encode()))
    assert store.plants() == {1: "Quillmarch Works"}
    assert plant_data(store, 1).functions["SIF-301"].target_rrf == 5000.0
    assert latest(store, 1, "DIV8", "group:pt-301") == stored
    assert "Quillmarch Works is stored" in said(at)


@pytest.mark.parametrize(
    "raw",
    [
        pytest.param(changed(("voting: 2oo3", "voting: 4oo3"), ("lambda_du_fit: 450", "lambda_du_fit: -1")), id="two"),
        pytest.param(
            changed(
                ("value: met", "value: yes please"),
            ),
            id="an answer",
        ),
        pytest.param("not: [a plant", id="no yaml"),
        pytest.param("", id="empty"),
        pytest.param("\x00\x01", id="bytes"),
        pytest.param("format: 2\n", id="another format"),
    ],
)
def test_a_broken_file_lists_its_faults_and_changes_nothing(store: Store, screen: Screen, raw: str) -> None:
    before = store.version(1)
    at = hand_in(screen("plant"), raw.encode())
    lines = faults(raw)
    assert lines
    assert [block.value for block in at.code] == ["\n".join(lines)]
    assert [message.value for message in at.error] == [
        f"Import rejected, nothing changed: {len(lines)} faults in the file."
    ]
    assert store.version(1) == before
    assert store.plants() == {1: "Quillmarch Works"}
    assert "**Quillmarch Works**" in said(at)


@pytest.mark.parametrize("path", BROKEN[:: max(1, len(BROKEN) // 8)], ids=lambda path: path.stem)
def test_files_refused_by_the_command_line_are_refused_with_the_same_messages(
    store: Store, screen: Screen, path: Path
) -> None:
    raw = path.read_bytes()
    at = hand_in(screen("plant"), raw)
    assert [block.value for block in at.code] == ["\n".join(faults(raw))]
    assert store.plants() == {1: "Quillmarch Works"}


def _upload(at: AppTest, raw: bytes) -> AppTest:
    return fine(at.file_uploader(key="plant_upload").upload(NAME, raw, "application/yaml").run())


def test_a_file_shows_what_it_does_before_it_is_imported(store: Store, screen: Screen) -> None:
    before = store.version(1)
    text = PLANT.read_text(encoding="utf-8").replace("lambda_du_fit: 450", "lambda_du_fit: 900", 1)
    at = _upload(screen("plant"), text.encode())
    (change,) = [row for row in rows(at, "Entries that are new") if row["Entry"] == "PT"]
    assert (change["Before"], change["After"]) == ("450", "900")
    assert "SIF-301" in [row["Function"] for row in rows(at, "Results before and after")]
    assert any("invalidates revision" in unescaped(text.value) for text in at.warning)
    assert store.version(1) == before


def test_an_older_file_puts_a_newer_answer_back_only_where_it_is_ticked(
    store: Store, screen: Screen, handed_over: Handed
) -> None:
    asked = ("SEP1", "group:pt-301")
    fine(screen("plant"))
    older = handed_over("plant-1.yaml")
    earlier = latest(store, 1, *asked)
    assert earlier is not None
    for value in ("unknown", "not-met"):
        say(store, 1, *asked, value, by="TM-2", on="2999-01-01")
    at = _upload(screen("plant"), older)
    (kept,) = rows(at, "Stored answers that stay")
    assert kept["Stored"] == "Not met; TM-2; 2999-01-01"
    assert earlier.answer.by in kept["Of the file"]
    fine(at.button(key="import").click().run())
    assert latest(store, 1, *asked).answer.value == "not-met"  # type: ignore[union-attr]

    at = _upload(screen("plant"), older)
    at.multiselect(key="answers_of_file").set_value(["SEP1 group:pt-301"]).run()
    fine(at.button(key="import").click().run())
    assert latest(store, 1, *asked).answer == earlier.answer  # type: ignore[union-attr]
    session = said(fine(screen("common-cause", group="pt-301", q="SEP1")))
    assert f"by {earlier.answer.by}, imported by TM-9" in session


@pytest.mark.parametrize("role", [FACILITATOR, OWNER])
def test_who_may_not_answer_imports_the_plant_data_without_the_answers_and_reads_who_may(
    store: Store, screen: Screen, role: str
) -> None:
    at = _upload(as_(screen("plant"), "XX-1", role), OTHER.encode())
    (told,) = (text for text in map(unescaped, (box.value for box in at.warning)) if "answers" in text)
    assert told.startswith("The plant data of this file are imported, its 10 answers not: ")
    assert "answers are imported by a team member" in told
    fine(at.button(key="import").click().run())
    assert Live(store, 2).state().stored == {}
    at = fine(hand_in(as_(screen("plant", plant=plants.address_of(store, 1)), "TM-9", MEMBER), OTHER.encode()))
    assert {stored.recorded_by for stored in Live(store, 2).state().stored.values()} == {"TM-9"}
    assert len(Live(store, 2).state().stored) == 10


def test_an_unavailable_store_during_an_import_gives_a_message(
    store: Store, screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    at = screen("plant")

    def away(*_: object, **__: object) -> None:
        raise StoreUnavailable("the disk is full", "make room")

    monkeypatch.setattr(Store, "record_by_name", away)
    hand_in(at, OTHER.encode())
    assert "the disk is full. Nothing stored was lost; make room." in [unescaped(message.value) for message in at.error]
    assert store.plants() == {1: "Quillmarch Works"}


def test_a_downloaded_file_reads_back_as_the_plant_with_its_answers(
    store: Store, screen: Screen, handed_over: Handed
) -> None:
    stored = say(store, 1, "DIV8", "group:pt-301", "met", evidence="é ✓ 'quoted' # no comment", by="IE-2")
    fine(screen("plant"))
    back = plant_file.from_bytes("plant-1.yaml", handed_over("plant-1.yaml"))
    assert back == Live(store, 1).state().file()
    demo = plant_file.read(PLANT)
    assert in_order(back) == in_order(demo.model_copy(update={"answers": [*demo.answers, stored.answer]}))


def test_importing_a_downloaded_file_changes_nothing(store: Store, screen: Screen, handed_over: Handed) -> None:
    at = fine(screen("plant"))
    before, data = answers_after(store, 1, 0), plant_data(store, 1)
    fine(hand_in(at, handed_over("plant-1.yaml")))
    assert answers_after(store, 1, 0) == before
    assert plant_data(store, 1) == data


@pytest.mark.usefixtures("store")
def test_open_leads_to_the_chosen_function(screen: Screen) -> None:
    at = fine(screen("plant"))
    at.selectbox(key="open_function").set_value("SIF-702").run()
    fine(at.button(key="open").click().run())
    assert where(at, "function") == "SIF-702"
    assert at.selectbox(key="choose_function").value == "SIF-702"
    assert "### The four cases" in said(at)


@pytest.mark.usefixtures("store")
def test_remarks_on_the_data_are_beside_the_download(screen: Screen) -> None:
    remark = "esv-301: lambda_DU x T is 0.2102, above 0.1: outside the range of the equations, which then run high"
    assert remark in said(fine(screen("plant")))


def test_a_download_of_the_plant_is_recorded_in_the_journal(store: Store, screen: Screen, handed_over: Handed) -> None:
    fine(screen("plant"))
    assert not store.events(1, kinds=("export",))
    handed_over("plant-1.yaml")
    (kept,) = store.events(1, kinds=("export",))
    assert kept.body == '{"what":"plant file with its answers"}'
    store.verify(1)
