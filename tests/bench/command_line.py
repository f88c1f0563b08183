"""Times of the command line, from process start to exit."""

from __future__ import annotations

import subprocess
import sys
from math import inf
from pathlib import Path

from tests.bench.figures import Line, once

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo/quillmarch.yaml"
LONGEST = 60.0


def _score(plant: Path) -> float:
    command = [sys.executable, "-m", "checks", "score", str(plant), "--json"]
    try:
        done, took = once(
            lambda: subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, timeout=LONGEST, check=False)
        )
    except subprocess.TimeoutExpired:
        return inf
    if done.returncode != 0:
        raise RuntimeError(f"scoring {plant} ended with {done.returncode}")
    return took


def measure(large: Path) -> list[Line]:
    """Time of the command for the demo plant and for the large one."""
    _score(DEMO)  # fills the bytecode and disk caches
    return [
        Line("command line: score the demo plant, process", [_score(DEMO) for _ in range(7)], aim=1.0),
        Line("command line: score the large plant, process", [_score(large)], aim=5.0),
    ]
