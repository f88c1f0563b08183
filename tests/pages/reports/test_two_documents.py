"""Two readers, two documents: texts of the security half are in the annex; the report only counts them."""

from __future__ import annotations

from pathlib import Path

import pytest

from checks.record_files.record_file import Record
from checks.signoff import review_comments
from tests.checks.given import valid_plant
from tests.checks.team import ASSESSES, LEADS, REVIEWS
from tests.pages.reports.read import annex, report, text
from tests.pages.reports.recorded import Keeping


@pytest.fixture
def kept(tmp_path: Path) -> Keeping:
    return Keeping(tmp_path, valid_plant())


def both(record: Record) -> tuple[str, str]:
    """Texts of the report and of the annex, in one line each."""
    shown, restricted = (" ".join(text(document).split()) for document in (report(record), annex(record)))
    return shown, restricted


def test_texts_of_the_security_half_are_in_the_annex_only(kept: Keeping) -> None:
    kept.answer("A05", "zone:sis", "not-met", note="the key hangs beside the door")
    kept.answer("Z01", "zone:field", "not-met")
    kept.dissent("Z01", "zone:sis", value="unknown", reason="nobody drew the cables")
    kept.show("Z01", "zone:sis", shows="two cables without a name")
    revision = kept.signed("S30")
    kept.answer("P03", "plant", "not-met", note="the screening form is blank")
    after = kept.put_up("S30")
    kept.send_back(after, half="security", comments="Z02 was never looked at")
    secrets = ("Z01", "Z02", "P03", "beside the door", "nobody drew", "without a name", "screening form")
    records = kept.record("S30", revision.number), kept.record("S30")
    documents = [both(record) for record in records]
    for shown, restricted in documents:
        assert not [word for word in secrets if word in shown]
        for word in ("A05", "Z01", "beside the door", "nobody drew", "without a name"):
            assert word in restricted
        taken = "Taken from the answer to A05, which asks the same in the security half. Its evidence and note are in"
        assert taken in shown
    assert "Dissents on security answers: 1." in documents[0][0]
    assert "a security answer or its evidence changed" in documents[0][0]
    assert "the comments are listed in the security annex" in documents[1][0]
    assert "Z02 was never looked at" in documents[1][1]


def test_comments_on_the_security_half_are_in_the_annex_and_counted_in_the_report(kept: Keeping) -> None:
    revision = kept.put_up("S30")
    safety = review_comments.comment(kept.live, ASSESSES, revision, half="safety", text="Which manifold was it?")
    review_comments.reply(kept.live, LEADS, revision, to=safety.seq, text="The upper one.")
    security = review_comments.comment(kept.live, REVIEWS, revision, half="security", text="Z02 lies open")
    review_comments.reply(kept.live, LEADS, revision, to=security.seq, text="closed since June")
    shown, restricted = both(kept.record("S30"))
    for word in ("Which manifold was it?", f"reply to event {safety.seq}: The upper one."):
        assert word in shown
        assert word in restricted
    for word in ("Z02 lies open", f"reply to event {security.seq}: closed since June"):
        assert word not in shown
        assert word in restricted
    assert "Comments on the security half and replies to them: 2, listed in the security annex." in shown
    assert "replies to them" not in restricted
    kept.send_back(revision, half="safety", comments="See above")
    kept.put_up("S30")
    assert "sent back: See above" in both(kept.record("S30", revision.number))[0]


def test_safety_conditions_are_printed_and_security_conditions_counted(kept: Keeping) -> None:
    kept.answer("Z01", "zone:field", "met")
    kept.signed("S30", safety="Trace the drum taps", security="Close the way in by June")
    record = kept.record("S30")
    shown, restricted = both(record)
    assert "Trace the drum taps" in shown
    assert "Close the way in by June" not in shown
    assert "1, until 2025-12-31; listed in the security annex" in shown
    assert "Close the way in by June" in restricted
    for signature in record.signatures:
        assert signature["statement"]["key"] in shown
    assert "is conditional until 2025-12-31: with conditions, until 2025-12-31" in shown


def test_both_documents_print_the_revision_and_the_audit_trail_they_were_made_from_whole(kept: Keeping) -> None:
    kept.put_up("S30")
    record = kept.record("S30")
    revision = record.of(0)
    assert revision is not None
    assert record.made_from.hash == kept.store.head(kept.key, record.made_from.seq) != record.head
    for document in (report(record), annex(record)):
        first, whole = document.pages[0].extract_text(), text(document)
        for digest in (revision.hash, record.made_from.hash):
            assert digest in first, "on the first page, not broken over lines"
            assert whole.count(digest) >= 2
        assert f"up to event {record.made_from.seq}, hash" in first
