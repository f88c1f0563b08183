"""How the timeline and Annex B calculate the collected values of ``redundancy_cases.yaml``: from a case to values by their names."""

from __future__ import annotations

from math import comb
from typing import Any

import numpy as np
import pytest

from scoring.equipment import Channel, Rates, Upkeep, VotedGroup
from scoring.redundancy import annex_b_edition_2
from scoring.timeline import means
from scoring.timeline.group import Device, Group, Sought
from scoring.timeline.instants import Rhythm
from scoring.timeline.times import Times
from scoring.timeline.unavailability import History
from scoring.voting import read
from tests.handbook.given import YEAR, perfect_test, printed, undetected_only

Case = dict[str, Any]
Values = dict[str, Any]
DAILY = Times.single(np.arange(0.0, YEAR + 1.0, 24.0))
"""The 366 times whose arithmetic mean the tutorial series takes."""
LATE = 100 * YEAR


def _timed(arch: str, rate: float, *tests: tuple[float, float], beta: float = 0.0, stagger: float = 0.0) -> Group:
    """Undetected failures of like channels without repair time; ``tests`` are (share, interval [h])."""
    voting, channels = read(arch), []
    for place in range(voting.n):
        sought = tuple(Sought(share, Rhythm(interval, place * stagger)) for share, interval in tests)
        channels.append((Device(rate, 0.0, sought),))
    return Group(voting, tuple(channels), 0.0, 0.0, beta, beta)


def _mean(group: Group, mission: float) -> float:
    return float(means.mean_down(group, mission)[0])


def _daily(group: Group) -> float:
    """Arithmetic mean over the times of the tutorial series, of the sum of both parts, as it adds them."""
    history = History(group, 2 * YEAR)
    shared = history.shared(DAILY)
    return float(np.mean(history.independent(DAILY) + (0.0 if shared is None else shared)))


def simplified(arch: str, rate: float, interval: float, beta: float) -> float:
    """PFDavg by Annex B with a perfect test and without repair time."""
    return float(np.asarray(undetected_only(arch, lambda_du=rate, interval=interval, beta=beta).total))


def model(case: Case) -> Values:
    """The binomial model: the exact mean by the timeline, its leading order by Annex B."""
    given = case["inputs"]
    arch, rate, beta = given["arch"], given["lambda_DU_per_h"], given["beta"]
    interval = given["tau_h"]
    if "stagger" in given:  # the ratio is that of the leading order; the next one is of the size of lambda T, 9e-3
        group = _timed(arch, rate, (1.0, interval), stagger=interval / read(arch).n)
        long = 300
        steady = (_mean(group, long * interval) * long - _mean(group, interval)) / (long - 1)
        together = _mean(_timed(arch, rate, (1.0, interval)), interval)
        return {"PFDavg_exact": steady, "ratio_to_simultaneous": pytest.approx(steady / together, rel=9e-3)}
    exact = _mean(_timed(arch, rate, (1.0, interval), beta=beta), interval)
    return {"PFDavg_exact": exact, "PFDavg_simplified": simplified(arch, rate, interval, beta)}


def rate_of_failing(case: Case) -> Values:
    given = case["inputs"]
    arch, rate, beta, interval = given["arch"], given["lambda_DU_per_h"], given["beta"], given["tau_h"]
    group = _timed(arch, rate, (1.0, interval), beta=beta)
    voting = read(arch)
    k = voting.tolerance + 1
    simplified = comb(voting.n, k) * ((1 - beta) * rate) ** k * interval ** (k - 1) + beta * rate
    assert _annex_b("pfh", arch, Rates(rate, 0.0), perfect_test(interval), beta, beta) == pytest.approx(simplified)
    return {
        "PFH_exact_F_tau_over_tau": pytest.approx(
            float(means.mean_failing(group, interval, detected=False)[0]), rel=6e-5
        ),
        "PFH_simplified": simplified,
    }


def _annex_b(measure: Any, arch: str, rates: Rates, upkeep: Upkeep, beta: float = 0.0, beta_d: float = 0.0) -> float:
    voting = read(arch)
    group = VotedGroup(voting, (Channel(rates, upkeep),) * voting.n, acts_on_detected=True)
    return float(np.asarray(annex_b_edition_2.result(measure, group, beta=beta, beta_d=beta_d).total))


def table_b(case: Case) -> Values:
    """IEC 61508-6 Annex B, low demand."""
    given = case["inputs"]
    coverage, rate = given["DC"], given["lambda_D_per_h"]
    upkeep = Upkeep.proof_test(
        interval=given["T1_h"],
        coverage=given.get("PTC", 1.0),
        full_interval=given.get("T2_h", given["T1_h"]),
        mrt=given["MRT_h"],
        mttr=given["MTTR_h"],
    )
    rates = Rates(rate * (1 - coverage), rate * coverage)
    return {"PFDavg": _annex_b("pfd", given["arch"], rates, upkeep, given.get("beta", 0.0), given.get("beta_D", 0.0))}


def high_demand(case: Case) -> Values:
    """IEC 61508-6 Annex B, high demand; the inputs stand in the case as text."""
    given = case["inputs"]
    upkeep = Upkeep.proof_test(
        interval=given["T1_h"], coverage=1.0, full_interval=given["T1_h"], mrt=given["MTTR_h"], mttr=given["MTTR_h"]
    )
    sensors = _annex_b("pfh", "1oo2", Rates(2.5e-6, 0.0), upkeep, 0.2, 0.1)
    logic = _annex_b("pfh", "2oo3", Rates(5e-6 * 0.01, 5e-6 * 0.99), upkeep, 0.02, 0.01)
    final = _annex_b("pfh", "1oo1", Rates(0.5e-6, 0.0), upkeep)
    return {"PFH_S": sensors, "PFH_L": logic, "PFH_FE": final, "PFH_SYS": sensors + logic + final}


def tutorial(case: Case) -> Values:
    """Mean of the tutorial series, and its reciprocal."""
    given = case["inputs"]
    beta, arch = given.get("beta", 0.0), given["arch"]
    rate = given.get("lambda_used", given["lambda_DU_per_h"])
    coverage = given.get("PTC", 0.0)
    tests = [(1.0 - coverage, LATE), *([(coverage, given["test_interval_h"])] if coverage else [])]
    if "lambda_used" in given:
        arch, beta = "1oo1", 0.0
    mean = _daily(_timed(arch, rate, *tests, beta=beta))
    return {"PFDavg": mean, "RRF": 1.0 / mean}


def parts(case: Case) -> Values:
    """What the monthly test finds and what it never finds, each alone; means without steps (closed form)."""
    given = case["inputs"]
    rate, coverage = given["lambda_DU_per_h"], given["PTC"]
    never = _daily(_timed("1oo1", rate * (1 - coverage), (1.0, LATE)))
    found = _daily(_timed("1oo1", rate * coverage, (1.0, given["test_interval_h"])))
    return {"never_detected_avg": never, "never_RRF": 1.0 / never, "detected_avg": found, "detected_RRF": 1.0 / found}


def at_times(case: Case) -> Values:
    """Values at single times, of the sum of both parts."""
    given = case["inputs"]
    history = History(_timed(given["arch"], given["lambda_DU_per_h"], (1.0, LATE), beta=given["beta"]), 2 * YEAR)
    values = {}
    for name in case["expected"]:
        at = Times.single(np.array([float(name.removeprefix("PFD(").removesuffix("h)"))]))
        shared = history.shared(at)
        assert shared is not None
        values[name] = float((history.independent(at) + shared)[0, 0])
    return values


def rare_event(case: Case) -> Values:
    """Exact mean and lambda T / 2, and by how many per cent the latter is above."""
    given = case["inputs"]
    rate, interval = given["lambda_per_h"], given["T_h"]
    exact, simple = _mean(_timed("1oo1", rate, (1.0, interval)), interval), simplified("1oo1", rate, interval, 0.0)
    return {
        "PFDavg_exact": exact,
        "PFDavg_lambdaT_over_2": simple,
        "error_percent": 100.0 * (simple - exact) / exact,
    }


def closed_form(case: Case) -> Values:
    """Mean over one interval, where the source gives a closed form."""
    given = case["inputs"]
    return {"PFDavg": _mean(_timed(given["arch"], given["lambda_DU_per_h"], (1.0, given["T_h"])), given["T_h"])}


def partial_stroke(case: Case) -> Values:
    """A partial test and a full one; the source prints four digits."""
    given = case["inputs"]
    rate, coverage = given["lambda_DU_per_h"], given["coverage"]
    upkeep = Upkeep.proof_test(
        interval=given["partial_interval_h"],
        coverage=coverage,
        full_interval=given["full_interval_h"],
        mrt=0.0,
        mttr=0.0,
    )
    with_it = _annex_b("pfd", given["arch"], Rates(rate, 0.0), upkeep)
    without = simplified(given["arch"], rate, given["full_interval_h"], 0.0)
    return {"PFDavg": pytest.approx(with_it, abs=5e-7), "PFDavg_without_PST": without}


def data_sheet(case: Case) -> Values:
    """Lambda T / 2 for three intervals."""
    rate = case["inputs"]["lambda_DU_FIT"] * 1e-9
    hours = {"PFDavg_10y": 10 * YEAR, "PFDavg_1y": YEAR, "PFDavg_3months": YEAR / 4}
    return {name: simplified("1oo1", rate, interval, 0.0) for name, interval in hours.items()}


def module(case: Case) -> Values:
    """A single module: PFH, and PFDavg over its mission."""
    rate, mission = case["inputs"]["lambda_DU_per_h"], case["inputs"]["mission_y"] * YEAR
    upkeep = perfect_test(mission)
    return {
        "PFH": _annex_b("pfh", "1oo1", Rates(rate, 0.0), upkeep),
        "PFDavg_20y": _annex_b("pfd", "1oo1", Rates(rate, 0.0), upkeep),
    }


def worked(case: Case) -> Values:
    """Low demand with a perfect test; the source multiplies what the test does not find by no beta, so that is left out."""
    given = case["inputs"]
    rate, interval = given["lambda_DU_per_h"], given["T_y"] * YEAR
    values = {"PFDavg": simplified(given["arch"], rate, interval, given.get("beta", 0.0))}
    if given["arch"] == "1oo1":
        upkeep = Upkeep.proof_test(
            interval=interval, coverage=given["C_PT"], full_interval=given["mission_y"] * YEAR, mrt=0.0, mttr=0.0
        )
        values["PFDavg_with_CPT"] = _annex_b("pfd", "1oo1", Rates(rate, 0.0), upkeep)
    return values


def diverse(case: Case) -> Values:
    rates = [Rates(per_year / YEAR, 0.0) for per_year in case["inputs"]["lambda_leg_per_y"]]
    legs = tuple(Channel(rate, perfect_test(YEAR)) for rate in rates)
    pfd = float(
        np.asarray(annex_b_edition_2.result("pfd", VotedGroup(read("1oo2"), legs, acts_on_detected=True)).total)
    )
    assert pfd == printed("8.70E-04")
    return {"SIL": 3 if 1e-4 <= pfd < 1e-3 else None}


def floor(case: Case) -> Values:  # noqa: ARG001
    """The gain of a pair whose independent failures are negligible."""

    def gain(beta: float) -> Any:
        pair, one = simplified("1oo2", 1e-12, YEAR, beta), simplified("1oo1", 1e-12, YEAR, 0.0)
        return pytest.approx(one / pair, rel=1e-6)

    return {"max_gain_beta_2pct": gain(0.02), "max_gain_beta_5pct": gain(0.05)}


def bounds(case: Case) -> Values:  # noqa: ARG001
    """The rate that the printed upper bounds imply, as the note says: 9.95e-8/h."""
    years = {"PFDavg_1y_upper": 1, "PFDavg_5y_upper": 5, "PFDavg_10y_upper": 10}
    return {
        name: pytest.approx(simplified("1oo1", 9.95e-8, count * YEAR, 0.0), abs=5e-6) for name, count in years.items()
    }
