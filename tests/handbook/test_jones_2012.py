"""H. W. Jones, Common Cause Failures and Ultra Reliability, AIAA 2012: ranges of beta in the literature."""

from __future__ import annotations

from scoring.beta.published import field_range


def test_the_field_range_is_that_of_thirteen_component_types() -> None:
    """IAEA, 0.03 to 0.22. Confidence: read (a collation of it). The generic values of NUREG/CR-4780 span the same range."""
    assert (field_range().low, field_range().high) == (0.03, 0.22)
