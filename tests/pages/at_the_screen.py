"""What a person does at the screens of reviews and re-assessments."""

from __future__ import annotations

from concurrent.futures import wait

from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, PrivateFormat
from streamlit.testing.v1 import AppTest

from pages.cached import later
from tests.checks.team import PHRASE, Team
from tests.pages.shown import fine, unescaped


def as_(at: AppTest, name: str, *roles: str) -> AppTest:
    """The same browser with this person before it."""
    at.text_input(key="who_box").set_value(name).run()
    return fine(at.multiselect(key="roles_box").set_value(list(roles)).run())


def key_file(team: Team, half: str) -> bytes:
    """The key file of the signer of a half."""
    lock = BestAvailableEncryption(PHRASE.encode())
    return team.keys[half].private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock)


def sign(at: AppTest, team: Team, half: str, phrase: str = PHRASE) -> AppTest:
    """Fill in and send the form with which a half is signed."""
    at.text_area(key=f"sign_{half}_independence").set_value("no part in the answers")
    at.text_area(key=f"sign_{half}_competence").set_value("twelve years in the trade")
    judge(at, half)
    at.run()
    at.file_uploader(key=f"sign_{half}_file").upload("key.pem", key_file(team, half), "application/x-pem-file")
    at.text_input(key=f"sign_{half}_phrase").set_value(phrase)
    (button,) = [one for one in at.button if one.label == f"Sign the {half} half"]
    button.click().run()
    assert not at.exception
    return at


def judge(at: AppTest, half: str) -> None:
    """Give a verdict and a remark on each sampled answer, and accept what was never answered."""
    for group in at.button_group:
        if group.key and group.key.startswith(f"sign_{half}_verdict"):
            group.set_value("shown")
            at.text_input(key=group.key.replace("_verdict ", "_remark ")).set_value("read on site")
    for box in at.checkbox:
        if box.key == f"sign_{half}_unanswered":
            box.check()


def unfold(at: AppTest, *keys: str) -> AppTest:
    """Open folds of the screen."""
    for key in keys:
        at.session_state[key] = True
    return fine(at.run())


def completed(at: AppTest) -> AppTest:
    """The screen once all is there that it was first drawn without; a browser then draws it again by itself."""
    fine(at.run())  # after something was stored, a screen asks for it at the first check
    wait(list(later._later._results.values()), timeout=60)  # noqa: SLF001  (a test waits for all, a screen for its own)
    return fine(at.run())


def press(at: AppTest, label: str) -> AppTest:
    """Press the button of this label."""
    (button,) = [one for one in at.button if unescaped(one.label) == label]
    button.click().run()
    assert not at.exception
    return at
