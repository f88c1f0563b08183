"""Number format: two significant digits, the same on screens, in reports and on the command line."""

from __future__ import annotations

from math import floor, isfinite, log10

NONE = "–"


def significant(value: float, digits: int = 2) -> str:
    """A number with ``digits`` significant digits, thousands separators and no exponent.

    >>> significant(5921.3), significant(31.6), significant(0.0214)
    ('5,900', '32', '0.021')
    """
    if value == 0:
        return "0"
    if not isfinite(value):
        return NONE
    places = digits - 1 - floor(log10(abs(float(f"{value:.{digits - 1}e}"))))
    return f"{round(value, places):,.{max(0, places)}f}"


def rrf(value: float | None) -> str:
    """A risk reduction factor; a dash for None."""
    return NONE if value is None else significant(value)


def small(value: float | None, unit: str = "") -> str:
    """A probability or a frequency, with exponent; a dash for None.

    >>> small(0.00184), small(8.04e-8, "/h")
    ('1.8e-3', '8.0e-8/h')
    """
    if value is None:
        return NONE
    if value == 0.0:
        return f"0{unit}"
    mantissa, exponent = f"{value:.1e}".split("e")
    return f"{mantissa}e{int(exponent)}{unit}"


def per_year(value: float | None) -> str:
    """A frequency per year, with exponent where it is very small; a dash for None.

    >>> per_year(0.0184), per_year(4.2e-6)
    ('0.018', '4.2e-6')
    """
    return small(value) if value is None or 0.0 < value < 1e-3 else significant(value)


def percent(share: float | None) -> str:
    """A fraction in per cent; a dash for None.

    >>> percent(0.05), percent(0.075), percent(0.0134)
    ('5 %', '7.5 %', '1.3 %')
    """
    if share is None:
        return NONE
    text = significant(share * 100.0)
    if text == "100" and share < 1.0:
        text = significant(share * 100.0, 3)  # 99.5 % is not shown as 100 %
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} %"


def factor(value: float) -> str:
    """A factor, with more digits where two would show 1.0.

    >>> factor(1.62), factor(1.0042)
    ('1.6', '1.004')
    """
    if value == 1.0 or abs(value - 1.0) >= 0.05:
        return significant(value)
    return f"{value:.{-floor(log10(abs(value - 1.0)))}f}"


def measure(demand: str, value: float) -> str:
    """Result of a safety function: RRF in low demand, PFH in high demand or continuous mode."""
    return rrf(1.0 / value) if demand == "low" else small(value, "/h")


def measure_name(demand: str) -> str:
    """Name of the result in this demand mode."""
    return "RRF" if demand == "low" else "PFH"


def target(demand: str, value: float, sil: int | None = None) -> str:
    """A target RRF or PFH with all its digits; a target SIL stands behind the bound of its band.

    >>> target("low", 500.0), target("high", 1e-6, 2)
    ('500', '1.0e-6/h (SIL 2)')
    """
    text = f"{value:,.10g}" if demand == "low" else small(value, "/h")
    return text if sil is None else f"{text} (SIL {sil})"
