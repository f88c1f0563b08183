"""A group is recalculated from the printed text alone, with the formulas and tables of the standard written out here.

IEC 61508-6:2010, Annex B (B.3.2.2.2 to B.3.2.2.5) and Annex D (Tables D.2 to D.5), all from memory.
"""

from __future__ import annotations

import re
from math import factorial

import pytest

from checks.plantfile import plant_file
from checks.record_files.record_file import Record
from demo import load
from tests.pages.reports.read import annex, report, text
from tests.pages.reports.recorded import Keeping

COUNTING = ("Met", "Met by a compensating measure")
ALTERNATIVES = ({"DIV1", "DIV2"}, {"DIV5", "DIV6"}, {"PRO5", "PRO6", "PRO7"})
"""Rows of Table D.1 of which a logic group gets the best one only."""
BANDS = {"logic": (0.05, 0.02, 0.01, 0.005), "field": (0.1, 0.05, 0.02, 0.01)}
"""Table D.4: below 45, from 45, from 70, from 120."""
FACTORS = {"1oo2": 1.0, "2oo3": 1.5}
Z = {"ls-sis": 1.5, "gd-702": 0.5, "pt-301": 1.0, "esv-301": 0.0}
"""Tables D.2 and D.3: logic at 98.99 % within a minute; sensors at 82.9 % within 2 days, at 65.4 % within 2 hours; no test."""
NUMBER = r"([\d.]+(?:e-?\d+)?)"


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Record]:
    """Two systems of the demo, a revision of each just submitted."""
    kept = Keeping(tmp_path_factory.mktemp("worked"), plant_file.read(load.PLANT))
    for system in ("S30", "S70"):
        kept.put_up(system)
    return {system: kept.record(system) for system in ("S30", "S70")}


@pytest.fixture(scope="module")
def printed(records: dict[str, Record]) -> dict[str, str]:
    return {system: text(report(record)) for system, record in records.items()}


def _section(shown: str, group: str, voting: str) -> str:
    """What is printed of one group under "Each group by hand"."""
    start = re.search(rf"^{group} .*: {voting}, PFDavg$", shown, re.MULTILINE)
    assert start is not None
    end = re.search(r"the same equations with the betas of the cyber scenario: \S+", shown[start.end() :])
    assert end is not None
    return shown[start.end() : start.end() + end.end()]


def _score(lines: str) -> tuple[float, float]:
    """X and Y from the printed points and answers."""
    rows = {
        found[1]: (found[2], float(found[3]), float(found[4]))
        for found in re.finditer(r"^([A-Z]{3}\d) (.+?) ([\d.]+) ([\d.]+) [\d.]+ [\d.]+$", lines, re.MULTILINE)
    }
    met = {name: (x, y) for name, (answer, x, y) in rows.items() if answer.split(", but")[0] in COUNTING}
    for names in ALTERNATIVES:
        for worse in sorted(names & met.keys(), key=lambda name: sum(met[name]))[:-1]:
            del met[worse]
    return sum(x for x, _ in met.values()), sum(y for _, y in met.values())


def _beta_int(kind: str, points: float) -> float:
    return BANDS[kind][sum(points >= limit for limit in (45, 70, 120))]


def _number(before: str, lines: str) -> float:
    found = re.search(re.escape(before) + NUMBER, lines)
    assert found is not None, before
    return float(found[1])


def _rate(symbol: str, lines: str) -> float:
    """A failure rate [1/h]; devices in series are added up."""
    found = re.search(rf"{symbol} = ([\d. +]+)(?: = [\d.]+)? FIT", lines)
    assert found is not None
    return sum(map(float, found[1].split("+"))) * 1e-9


@pytest.mark.parametrize(
    ("system", "group", "voting", "kind"),
    [
        ("S70", "gd-702", "2oo3", "field"),
        ("S70", "ls-sis", "2oo3", "logic"),
        ("S30", "pt-301", "2oo3", "field"),
        ("S30", "esv-301", "1oo2", "field"),
    ],
)
def test_a_group_is_recalculated_from_the_printed_text_alone(
    records: dict[str, Record], printed: dict[str, str], system: str, group: str, voting: str, kind: str
) -> None:
    lines = _section(printed[system], group, voting)
    flat = " ".join(lines.split())
    x, y = _score(lines)
    beta = min(1.0, FACTORS[voting] * _beta_int(kind, x + y))
    beta_d = min(1.0, FACTORS[voting] * _beta_int(kind, x * (Z[group] + 1) + y))
    assert _number(f"beta = min(1, {beta / FACTORS[voting]:.4g} x {FACTORS[voting]:g}) = ", flat) == pytest.approx(beta)
    assert _number(f"beta_D = min(1, {beta_d / FACTORS[voting]:.4g} x {FACTORS[voting]:g}) = ", flat) == pytest.approx(
        beta_d
    )
    du, dd = _rate("lambda_DU", flat), _rate("lambda_DD", flat)
    shares = [
        (float(share), float(every))
        for share, every in re.findall(rf"{NUMBER} of lambda_DU found every {NUMBER} h", flat)
    ]
    assert sum(share for share, _ in shares) == pytest.approx(1.0)
    mrt, mttr = _number("MRT ", flat), _number("MTTR ", flat)

    def undetected(order: int) -> float:
        return sum(share * (every / order + mrt) for share, every in shares)

    m, n = int(voting[0]), int(voting[-1])
    lam = (1 - beta_d) * dd + (1 - beta) * du
    pfd = factorial(n) / factorial(m - 1)
    for i in range(1, n - m + 2):
        pfd *= lam * (du / (du + dd) * undetected(i + 1) + dd / (du + dd) * mttr)
    pfd += beta_d * dd * mttr + beta * du * undetected(2)
    result = re.search(rf"PFDavg of {group} = .* = {NUMBER} –", flat)
    assert result is not None
    assert float(result[1]) == pytest.approx(pfd, rel=1e-3)
    stored = records[system].revision["results"]["groups"][group]
    assert stored["pfd"]["scored"] == pytest.approx(pfd, rel=1e-9)
    assert (stored["beta"], stored["beta_d"]) == pytest.approx((beta, beta_d))


def test_the_safety_report_gives_exposure_as_one_number_and_the_annex_what_it_is_made_of(
    records: dict[str, Record], printed: dict[str, str]
) -> None:
    """House rule: g = 1 - product of (1 - class value x unmet share), class values 0.15, 0.05 and 0.015; beta^(1-g)."""
    in_report = " ".join(_section(printed["S70"], "gd-702", "2oo3").split())
    g, adjusted = _number("exposure g = ", in_report), _number("gives beta ", in_report)
    beta = _number("beta = min(1, 0.1 x 1.5) = ", in_report)
    assert adjusted == pytest.approx(beta ** (1 - g), rel=1e-3)
    in_annex = " ".join(text(annex(records["S70"])).split())
    topics = in_annex.split("Exposure of gd-702, zone Z5")[1].split(" g = ")[0]
    left = 1.0
    for weight, value in ((3, 0.15), (2, 0.05), (1, 0.015)):
        named = re.search(rf"weight {weight}, class value {value:g}: ((?:[A-Z]\d\d [\d.]+(?:, )?)+)", topics)
        for share in re.findall(r"[A-Z]\d\d ([\d.]+)", named[1] if named else ""):
            left *= 1 - value * float(share)
    assert 1 - left == pytest.approx(g, rel=1e-3)
