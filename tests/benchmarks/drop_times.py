"""Drop times and heights in one call against a loop over an ODE solver.

python tests/benchmarks/drop_times.py
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from riglog.mechanics.pendulum import drop_time
from riglog.mechanics.pivot import pivot_height

if TYPE_CHECKING:
    from collections.abc import Callable

COUNT, SOLVED, ROUNDS = 100_000, 60, 3
GRAVITY, SEED, TOLERANCE = 9.80665, 7, 1e-8


def _solved(height_m: float, gyration_m: float) -> float:
    """Drop time [s] from horizontal to upright by stepping through the motion."""

    def motion(_: float, state: np.ndarray) -> tuple[float, float]:
        pull = -GRAVITY * height_m * np.sin(state[0])
        return state[1], pull / (gyration_m**2 + height_m**2)

    def upright(_: float, state: np.ndarray) -> float:
        return float(state[0])

    upright.terminal = True
    run = solve_ivp(motion, (0.0, 60.0), [np.pi / 2, 0.0], events=upright, rtol=TOLERANCE,
                    atol=TOLERANCE)  # fmt: skip
    return float(run.t[-1])


def _inverse(drop_s: float, gyration_m: float) -> float:
    """Height [m] that drops in a time, by a root of the solver's."""
    return float(brentq(lambda at: _solved(at, gyration_m) - drop_s, 2e-4, 0.05, xtol=1e-9))


def _best_s(run: Callable[[], object]) -> float:
    best = np.inf
    for _ in range(ROUNDS):
        start = time.process_time()
        run()
        best = min(best, time.process_time() - start)
    return float(best)


def main(say: Callable[[str], None] = print) -> None:
    """Print the time of one drop time and one inverse, ours and by the loop, and the ratio."""
    rng = np.random.default_rng(SEED)
    heights, gyrations = rng.uniform(1e-3, 2e-2, COUNT), rng.uniform(0.2, 0.4, COUNT)
    drops = drop_time(heights, gyrations**2)

    def ours() -> None:
        pivot_height(drop_time(heights, gyrations**2), gyrations**2)

    def loop() -> list[float]:
        pairs = zip(heights[:SOLVED], gyrations[:SOLVED], strict=True)
        times = [_solved(float(d), float(k)) for d, k in pairs]
        again = zip(drops[:SOLVED], gyrations[:SOLVED], strict=True)
        return times + [_inverse(float(t), float(k)) for t, k in again]

    found = np.array(loop())
    apart = np.max(abs(found[:SOLVED] / drops[:SOLVED] - 1))
    back = np.max(abs(found[SOLVED:] / heights[:SOLVED] - 1))
    mine, theirs = _best_s(ours) / COUNT, _best_s(loop) / SOLVED
    say(f"{COUNT:,} drop times and their inverses in one call: {1e6 * mine:.3f} us each pair")
    say(f"solve_ivp at {TOLERANCE:g} in a loop, {SOLVED} of them: {1e6 * theirs:.0f} us each pair")
    say(f"{theirs / mine:,.0f} times faster (at least 200); they agree to {max(apart, back):.1e}")


if __name__ == "__main__":
    main()
