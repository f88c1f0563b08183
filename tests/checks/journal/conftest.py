"""A server that may crash, and tests collected only where there is a server; the summary says where there is none."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.postgres import Server, backends

collect_ignore_glob = [] if "postgresql" in backends() else ["test_server_*.py"]


@pytest.fixture(scope="session")
def _second_server() -> Iterator[Server]:
    started = Server()
    yield started
    started.remove()


@pytest.fixture
def mortal(_second_server: Server) -> Iterator[Server]:
    """A server that a test may stop; it runs again for the next test."""
    yield _second_server
    _second_server.start()


@pytest.fixture
def mortal_url(mortal: Server) -> str:
    """URL of an empty database there."""
    return mortal.url(mortal.new())
