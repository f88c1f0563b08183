"""H. W. Jones, Common Cause Failures and Ultra Reliability, AIAA 2012: ranges of beta in the literature."""

from __future__ import annotations

from scoring.source import table


def test_the_field_range_is_that_of_thirteen_component_types() -> None:
    """IAEA, 0.03 to 0.22. Confidence: read (a collation of it). The generic values of NUREG/CR-4780 span the same range."""
    row = next(row for row in table("jones_2012_beta_ranges").rows if row["who"].startswith("IAEA"))
    assert row["values"] == [0.03, 0.22]
