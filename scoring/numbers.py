"""Number format of worked equations."""

from __future__ import annotations


def put_in(value: float) -> str:
    """A number with four significant digits, enough to follow a calculation by hand.

    >>> put_in(0.0125), put_in(4.5e-07), put_in(8760.0)
    ('0.0125', '4.5e-07', '8760')
    """
    return f"{value:.4g}"
