"""Diagnostic coverage and safe failure fraction of an element, from its failure rates."""

from __future__ import annotations

from scoring.limits import OutOfRange, within
from scoring.units import Fit, Fraction

MOST: Fit = 1e9


def safe_failure_fraction(*, safe: Fit, detected: Fit, undetected: Fit) -> Fraction:
    """SFF = (lambda_S + lambda_DD) / (lambda_S + lambda_DD + lambda_DU), rates in one unit.

    Failures without effect and of no part belong in no rate here. Raises OutOfRange where all rates are 0.

    >>> round(safe_failure_fraction(safe=550, detected=850, undetected=450), 3)
    0.757

    Source: IEC 61508-2:2010, Annex C (from memory).
    """
    for name, rate in (("lambda_S", safe), ("lambda_DD", detected), ("lambda_DU", undetected)):
        within(name, rate, 0.0, MOST)
    harmless = safe + detected
    if not harmless + undetected > 0.0:
        raise OutOfRange("rates", 0.0, "at least one must be above 0")
    return harmless / (harmless + undetected)


def diagnostic_coverage(*, detected: Fit, undetected: Fit) -> Fraction | None:
    """DC = lambda_DD / (lambda_DD + lambda_DU), rates in one unit; None without dangerous failures.

    >>> diagnostic_coverage(detected=900, undetected=100)
    0.9

    Source: IEC 61508-2:2010, Annex C (from memory).
    """
    for name, rate in (("lambda_DD", detected), ("lambda_DU", undetected)):
        within(name, rate, 0.0, MOST)
    dangerous = detected + undetected
    return detected / dangerous if dangerous > 0.0 else None
