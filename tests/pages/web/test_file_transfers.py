"""Uploads: how much is kept of one browser session, and one at a time."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from streamlit.runtime.memory_uploaded_file_manager import MemoryUploadedFileManager
from streamlit.runtime.uploaded_file_manager import UploadedFileRec

from pages.web import file_transfers
from pages.web.file_transfers import LARGEST_FILES, MOST_FILES, Building, Downloads, Uploads, anybody, make_room

LARGEST = 1000


def _manager() -> MemoryUploadedFileManager:
    return MemoryUploadedFileManager("/_stcore/upload_file")


def _take(manager: MemoryUploadedFileManager, session: str, name: str, size: int) -> None:
    make_room(manager, session, LARGEST)
    manager.add_file(session, UploadedFileRec(name, name, "text/csv", b"x" * size))


def _kept(manager: MemoryUploadedFileManager, session: str) -> list[str]:
    return list(manager.file_storage.get(session, {}))


@pytest.mark.parametrize("size", [0, 1, 400, LARGEST])
def test_a_session_keeps_its_latest_files_within_their_number_and_size(size: int) -> None:
    manager = _manager()
    _take(manager, "another", "kept", LARGEST)
    for at in range(50):
        _take(manager, "session", str(at), size)
        files = manager.file_storage["session"].values()
        assert len(files) <= MOST_FILES
        assert sum(len(file.data) for file in files) <= LARGEST_FILES * LARGEST
        assert _kept(manager, "session")[-1] == str(at)
    assert _kept(manager, "another") == ["kept"]


def test_a_session_that_uploaded_nothing_is_not_remembered() -> None:
    manager = _manager()
    make_room(manager, "unknown", LARGEST)
    assert not manager.file_storage


def _scope(method: str, session: str) -> dict[str, Any]:
    return {"type": "http", "method": method, "path": f"/below/_stcore/upload_file/{session}/f", "headers": []}


async def _nothing(*_: Any) -> dict[str, Any]:
    return {}


def test_the_uploads_of_a_session_come_one_after_the_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """Otherwise several at once would each find room."""
    monkeypatch.setattr(file_transfers, "_manager", _manager)
    at_once: dict[str, int] = {}
    most: dict[str, int] = {}

    async def app(scope: Any, _receive: Any, _send: Any) -> None:
        session = scope["path"].split("/")[-2]
        at_once[session] = at_once.get(session, 0) + 1
        most[session] = max(most.get(session, 0), at_once[session])
        most["all"] = max(most.get("all", 0), sum(at_once.values()))
        await asyncio.sleep(0)
        at_once[session] -= 1

    async def run() -> None:
        gate = Uploads(app, anybody)
        scopes = [_scope("PUT", session) for session in ("a", "b") for _ in range(5)]
        await asyncio.gather(*(gate(scope, _nothing, _nothing) for scope in scopes))

    asyncio.run(run())
    assert most == {"a": 1, "b": 1, "all": 2}


@pytest.mark.parametrize("method", ["PUT", "DELETE", "POST"])
def test_an_upload_that_may_not_be_is_refused_before_it_is_read(method: str) -> None:
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    async def app(*_: Any) -> None:
        raise AssertionError("passed on")

    asyncio.run(Uploads(app, lambda _: False)(_scope(method, "a"), app, send))  # type: ignore[arg-type]
    assert [message.get("status") for message in sent] == [403, None]


@pytest.mark.parametrize("may", [True, False])
def test_only_what_is_a_file_to_save_is_held_back(may: bool) -> None:  # noqa: FBT001
    async def app(scope: Any, _receive: Any, send: Any) -> None:
        headers = [(b"content-disposition", b'attachment; filename="gaps.csv"'), (b"Cache-Control", b"public")]
        await send(
            {"type": "http.response.start", "status": 200, "headers": headers if scope["path"] == "/file" else []}
        )
        await send({"type": "http.response.body", "body": b"content"})

    def asked(path: str) -> list[Any]:
        sent: list[Any] = []

        async def send(message: Any) -> None:
            sent.append(message)

        asyncio.run(Downloads(app, lambda _: may)({"type": "http", "path": path}, _nothing, send))
        return sent

    (_, picture), (start, body) = asked("/picture"), asked("/file")
    assert picture["body"] == b"content"
    assert start["status"] == (200 if may else 403)
    assert [value for name, value in start["headers"] if name.lower() == b"cache-control"] == [b"no-store"]
    assert body["body"] == (b"content" if may else b"Sign in to continue.\n")


def test_a_file_lasts_while_it_is_built_and_a_moment_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    now = 100.0
    monkeypatch.setattr(file_transfers, "monotonic", lambda: now)
    building = Building()
    assert not building.lasts
    with building:
        now += 60.0
        assert building.lasts, "however long it takes"
    assert building.lasts, "the browser fetches it"
    now += Building.AFTER
    assert not building.lasts


def test_a_file_that_could_not_be_built_does_not_last(monkeypatch: pytest.MonkeyPatch) -> None:
    now = 100.0
    monkeypatch.setattr(file_transfers, "monotonic", lambda: now)
    building = Building()
    with pytest.raises(OSError, match="full"), building:
        raise OSError("disk full")
    now += Building.AFTER
    assert not building.lasts
