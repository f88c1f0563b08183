"""Seats in the browser, one per person: a page that has shown the program before is three times as fast."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page

from checks.access.roles import TEAM
from pages.web import remembered
from pages.web.remembered import Who
from tests.browser.server import HOST
from tests.browser.watch import Watch

PATIENCE = 30_000.0
"""Longest wait [ms]: generous, since other work may run on the machine."""
NAMED = "TM-9"
"""Name under which a browser knows its person."""
PROJECTOR = {"viewport": {"width": 1280, "height": 800}, "locale": "en-GB"}


@dataclass(frozen=True, slots=True)
class Seat:
    """A browser context, its page and its watch; its options decide who may reuse it."""

    context: BrowserContext
    page: Page
    watch: Watch
    options: dict[str, Any]


def _kind(options: dict[str, Any]) -> str:
    return json.dumps(options, sort_keys=True)


class Seats:
    """Lends seats and takes them back for the next person, cleared of all traces."""

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._free: dict[str, list[Seat]] = defaultdict(list)

    def take(self, known_as: str, **options: Any) -> Seat:
        """A seat with these options of a browser context, beyond those of a meeting-room projector.

        Its browser knows its person under a name, or does not know them if the name is empty.
        """
        asked = {**PROJECTOR, **options}
        free = self._free[_kind(asked)]
        seat = free.pop() if free else self._new(asked)
        seat.context.clear_cookies()
        if known_as:
            cookie = remembered.written(Who(known_as, TEAM))
            seat.context.add_cookies([{"name": remembered.COOKIE, "value": cookie, "url": f"http://{HOST}"}])
        return seat

    def _new(self, asked: dict[str, Any]) -> Seat:
        context = self._browser.new_context(**asked)
        context.set_default_timeout(PATIENCE)
        watch = Watch(context)
        return Seat(context, context.new_page(), watch, asked)

    def give_back(self, seat: Seat) -> list[str]:
        """Return a seat; returns the faults of its pages.

        A seat is kept for the next person only where its connection, size and colours are unchanged.
        """
        for other in seat.context.pages:
            if other is not seat.page:
                other.close()
        if seat.watch.bent or seat.page.is_closed():
            seat.context.close()
            return seat.watch.faults
        seat.page.goto("about:blank")
        seat.page.unroute_all()
        seat.page.set_viewport_size(seat.options["viewport"])
        seat.page.emulate_media(color_scheme=seat.options.get("color_scheme", "light"))
        session = seat.context.new_cdp_session(seat.page)
        session.send("Storage.clearDataForOrigin", {"origin": "*", "storageTypes": "all"})
        session.detach()
        faults = list(seat.watch.faults)
        seat.watch.faults.clear()
        self._free[_kind(seat.options)].append(seat)
        return faults
