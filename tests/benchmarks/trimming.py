"""Trim on random post rigs, and what a pan then does to them in a rigid-body engine.

python tests/benchmarks/trimming.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from estimation.test_trim import FAST, SLOW, Case, trimmed

if TYPE_CHECKING:
    from collections.abc import Callable

RIGS = 50
SPUN_S = 20.0


def main(say: Callable[[str], None] = print, rigs: int = RIGS) -> None:
    """Print the worst of each promise."""
    cases = [trimmed(seed) for seed in range(rigs)]
    moved = np.mean([len(each.full.moved) for each in cases])
    say(f"{rigs} random post rigs, {moved:.1f} moves each")
    say(f"off trim: {1e3 * max(each.left_m() for each in cases):.4f} mm at most (at most 0.1)")
    reached = [each for each in cases if _within(each)]
    share = max(_tilt(each.full.tilt_rad) / _tilt(each.static.tilt_rad) for each in reached)
    say(
        f"tilt of the principal axis where the travels allow ({len(reached)} rigs): cut to"
        f" {share:.3f} of it at most (at most 0.1)"
    )
    lean = max(each.after_deg(FAST, SPUN_S) for each in reached)
    say(
        f"trimmed, panned at {FAST:g} times the critical rate: {lean:.3f} deg at most (at most 0.2)"
    )
    for pan in (SLOW, FAST):
        say(f"lean before, at {pan:g} times the critical rate: {_apart(cases, pan)}")
    far = max(_solver(each) for each in cases)
    say(f"moves against scipy.optimize.lsq_linear: {1e3 * far:.5f} mm apart at most")


def _tilt(tilt_rad: np.ndarray) -> float:
    return float(np.hypot(*tilt_rad))


def _within(case: Case) -> bool:
    """Whether no adjuster came to its end."""
    ends = [case.hanging.tree.scales[index].travel for index in case.full.moved]
    moves = case.full.positions_m[list(case.full.moved)]
    return all(end is None or _inside(end, at) for end, at in zip(ends, moves, strict=True))


def _inside(travel: tuple[float, float], at: float) -> bool:
    """Whether a position lies inside a travel and not at its end."""
    return travel[0] + 1e-6 < at < travel[1] - 1e-6


def _apart(cases: list[Case], share: float) -> str:
    """How far the told lean is from the engine's, over the lean."""
    pairs = [case.before(share, SPUN_S) for case in cases]
    off = [np.hypot(*(told - engine)) / np.hypot(*told) for told, engine in pairs]
    worst, usual = 100 * max(off), 100 * np.median(off)
    return f"within {worst:.1f} % of the integrated motion (median {usual:.1f} %)"


def _solver(case: Case) -> float:
    ours, theirs = case.moves(case.full), case.by_scipy()
    return max((abs(ours[name] - at) for name, at in theirs.items()), default=0.0)


if __name__ == "__main__":
    main()
