"""Plant: the first screen does not wait for the bands of its functions."""

from __future__ import annotations

import pytest

from pages.cached import first_screen, uncertainties
from tests.pages.shown import Screen, fine, said

BANDS = "within the uncertainty of the inputs"


@pytest.mark.usefixtures("store")
def test_while_the_program_starts_the_functions_stand_without_their_bands_and_then_with_them(
    screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once: list[str] = []
    seen = uncertainties.uncertain

    def noted(*given: object) -> object:
        at_once.append(said(fine(screen("plant"))))
        monkeypatch.setattr(uncertainties, "uncertain", seen)
        return seen(*given)  # type: ignore[arg-type]  (passed on)

    monkeypatch.setattr(uncertainties, "uncertain", noted)
    first_screen.warm()
    assert len(at_once) == 1
    assert "of 8 functions fall short" in at_once[0]
    assert BANDS not in at_once[0]
    assert BANDS in said(fine(screen("plant")))
