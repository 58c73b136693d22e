"""Traces of a phone taped to a rig, from the equation of motion and scipy's stepper.

Nothing of riglog is used here. A trace: it hangs, is laid over by hand, held, let go, and swings
until a hand takes it; several drops follow each other in some.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.integrate import solve_ivp

GRAVITY = 9.80665
Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Drop:
    """When it was let go and first passed upright."""

    release_s: float
    upright_s: float


@dataclass(frozen=True)
class SimulatedTrace:
    """What the phone logged: times, angle or three rates; and what was true."""

    time_s: Array
    angle_rad: Array | None
    rates_rad_s: Array | None
    drops: tuple[Drop, ...]
    friction: float
    period_s: float


def simulated(rng: np.random.Generator, kind: str, drops: int = 1) -> SimulatedTrace:
    """A trace of a full-size rig that drops in 1.5 to 6 s from about horizontal."""
    k, drop = rng.uniform(0.18, 0.40), rng.uniform(1.5, 6.0)
    depth = (1.854075 / drop) ** 2 * k * k / GRAVITY
    w2 = GRAVITY * depth / (k * k + depth * depth)
    mass = rng.uniform(4.0, 20.0)
    friction = min(abs(rng.normal(0.0, 0.01)) / (mass * GRAVITY * depth), 0.15)
    times, leans, found = _motion(rng, w2, friction, drops)
    return _logged(rng, kind, times, leans, found, friction, 2 * np.pi / w2**0.5)


def _motion(
    rng: np.random.Generator, w2: float, friction: float, drops: int
) -> tuple[Array, Array, tuple[Drop, ...]]:
    """Lean on a fine grid, through hangs, hands and falls."""
    grid: list[Array] = []
    found: list[Drop] = []
    fine, clock = 0.001, 0.0
    side = rng.choice([-1.0, 1.0])

    def add(leans: Array) -> None:
        nonlocal clock
        grid.append(np.asarray(leans))
        clock += fine * len(leans)

    rest = rng.uniform(-1, 1) * np.arcsin(friction)
    lean = rest
    add(np.full(int(rng.uniform(0.5, 3.0) / fine), lean))
    for _ in range(drops):
        release = side * np.deg2rad(rng.normal(90.0, 2.0))
        add(_hand(lean, release, rng.uniform(1.0, 3.0), fine))
        add(np.full(int(rng.uniform(0.6, 3.0) / fine), release))
        swings = int(rng.integers(0, 6))
        path, upright = _free(release, w2, friction, swings, rng.uniform(0.2, 0.9), fine)
        found.append(Drop(clock, clock + upright))
        add(path)
        lean = path[-1]
        add(_brought_to_rest(path, fine))
        lean = grid[-1][-1]
        end = rng.uniform(-1, 1) * np.arcsin(friction)
        add(_hand(lean, end, rng.uniform(1.0, 3.0), fine))
        lean = end
        add(np.full(int(rng.uniform(0.5, 2.0) / fine), lean))
    leans = np.concatenate(grid)
    return fine * np.arange(len(leans)), leans, tuple(found)


def _hand(begin: float, end: float, lasts: float, fine: float) -> Array:
    """A hand's way, as smooth as hands move: the least jerk."""
    s = np.arange(1, int(lasts / fine) + 1) * fine / lasts
    way: Array = begin + (end - begin) * s**3 * (10 - 15 * s + 6 * s * s)
    return way


def _brought_to_rest(path: Array, fine: float) -> Array:
    """A hand catches it within a quarter of a second."""
    speed = (path[-1] - path[-2]) / fine
    s = np.arange(1, 251) * fine
    way: Array = path[-1] + speed * (s - s * s / 0.5)
    return way


def _free(
    release: float, w2: float, friction: float, swings: int, part: float, fine: float
) -> tuple[Array, float]:
    """Lean from the release through some turns and a part of the next half swing."""
    lean, clock, upright = release, 0.0, 0.0
    path: list[Array] = []
    for turn in range(swings + 1):
        way = -np.sign(lean)
        against = -w2 * friction * way
        if abs(np.sin(lean)) <= friction:
            break

        def motion(_t: float, y: Array, against: float = against) -> tuple[float, float]:
            return float(y[1]), float(against - w2 * np.sin(y[0]))

        def stops(t: float, y: Array, way: float = way) -> float:
            return float(y[1] if t > 1e-3 else way)

        def passes(_t: float, y: Array) -> float:
            return float(y[0])

        stops.terminal = True  # type: ignore[attr-defined]  # the way that scipy asks for it
        solution = solve_ivp(
            motion, (0.0, 100.0), (lean, 0.0), events=(stops, passes), rtol=1e-10, atol=1e-11,
            dense_output=True, max_step=0.05,
        )  # fmt: skip
        lasts = float(solution.t_events[0][0])
        if not upright:
            upright = clock + float(solution.t_events[1][0])
        if turn == swings:
            lasts = min(upright + part * (lasts - upright), lasts) if turn == 0 else part * lasts
        t = np.arange(np.ceil(clock / fine) * fine, clock + lasts, fine) - clock
        path.append(solution.sol(np.maximum(t, 0.0))[0])
        lean, clock = float(solution.sol(lasts)[0]), clock + lasts
    return np.concatenate(path), upright


def _logged(
    rng: np.random.Generator, kind: str, times: Array, leans: Array, drops: tuple[Drop, ...],
    friction: float, period: float,
) -> SimulatedTrace:  # fmt: skip
    rate = rng.uniform(50.0, 200.0)
    count = int(times[-1] * rate)
    true = (np.arange(count) + 0.5) / rate
    true = true + rng.normal(0.0, rng.uniform(0.0, 0.2) / rate, count)  # uneven sampling
    true = np.sort(np.clip(true, 0.0, times[-1]))
    stamped = true + rng.normal(0.0, 0.0003, count)  # what the clock says of it
    keep = np.concatenate([[True], np.diff(np.maximum.accumulate(stamped)) > 0])
    keep &= ~_lost(rng, count)
    begin = rng.uniform(0.0, 1e4)
    moved = tuple(Drop(d.release_s + begin, d.upright_s + begin) for d in drops)
    clock = stamped[keep] + begin
    if kind == "angle":
        mount = np.deg2rad(rng.normal(0.0, 3.0))
        noise = np.deg2rad(rng.uniform(0.05, 0.4))
        angle = np.interp(true, times, leans) + mount + rng.normal(0.0, noise, count)
        return SimulatedTrace(clock, angle[keep], None, moved, friction, period)
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    speed = np.interp(true, times, np.gradient(leans, times))
    bias = np.deg2rad(rng.normal(0.0, 0.5, 3))
    noise = np.deg2rad(rng.uniform(0.03, 0.3))
    rates = speed[:, None] * axis + bias + rng.normal(0.0, noise, (count, 3))
    return SimulatedTrace(clock, None, rates[keep], moved, friction, period)


def _lost(rng: np.random.Generator, count: int) -> npt.NDArray[np.bool_]:
    """Samples that the phone lost: a few, and now and then a tenth of a second of them."""
    lost = rng.random(count) < 0.005
    if rng.random() < 0.3:
        start = int(rng.integers(0, max(count - 10, 1)))
        lost[start : start + 8] = True
    lost[0] = False
    return lost
