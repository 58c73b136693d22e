"""Drop times from simulated motion-sensor traces, against when scipy let the rig go.

python tests/benchmarks/traces.py --traces 500
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from simulated_traces import SimulatedTrace, simulated

from riglog.mechanics.fall_fit import Fall
from riglog.mechanics.free_swing import Samples
from riglog.mechanics.trace_signal import tilt_rate
from riglog.mechanics.traces import falls

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

# A fall found so far from where the rig was let go is not that one [s].
NEAR_S = 0.3


class Told(NamedTuple):
    """Errors and stated deviations of the drops found [s]; how many were missed, or are none."""

    errors: list[float]
    stated: list[float]
    missed: int
    invented: int


def told(trace: SimulatedTrace) -> Told:
    """What the program makes of a trace."""
    if trace.rates_rad_s is None:
        assert trace.angle_rad is not None
        samples = Samples(trace.time_s, trace.angle_rad, "angle")
    else:
        samples = Samples(trace.time_s, tilt_rate(trace.rates_rad_s), "rate")
    left = [each for each in falls(samples) if isinstance(each, Fall)]
    errors, stated = [], []
    for drop in trace.drops:
        near = [each for each in left if abs(each.release_s - drop.release_s) < NEAR_S]
        if near:
            left.remove(near[0])
            errors.append(near[0].drop_s - (drop.upright_s - drop.release_s))
            stated.append(near[0].sd_s)
    return Told(errors, stated, len(trace.drops) - len(errors), len(left))


def main(arguments: Sequence[str] | None = None, say: Callable[[str], None] = print) -> None:
    """Print root mean square error, wrong detections, and stated over real scatter."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--traces", type=int, default=500)
    count = parser.parse_args(arguments).traces
    found = []
    for seed in range(count):
        rng = np.random.default_rng(seed)
        kind = "angle" if seed % 2 else "rate"
        found.append(told(simulated(rng, kind, int(rng.integers(1, 4)))))
    errors = np.array([error for each in found for error in each.errors])
    stated = np.array([sd for each in found for sd in each.stated])
    missed, invented = sum(e.missed for e in found), sum(e.invented for e in found)
    rms, drops = float(np.sqrt(np.mean(errors**2))), len(errors) + missed
    say(f"{count} traces, {drops} drops: {1e3 * rms:.1f} ms root mean square (at most 20)")
    wrong = 100.0 * (missed + invented) / drops
    say(f"wrong detections: {missed} missed, {invented} invented, {wrong:.2f} % (below 1)")
    ratio = float(np.sqrt(np.mean(stated**2))) / rms
    say(f"stated uncertainty: {ratio:.2f} of the real scatter (0.8 to 1.25)")


if __name__ == "__main__":
    main()
