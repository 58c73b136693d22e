"""A second opinion: every unknown of a swap written out, and fitted by dense least squares.

It reads the nouns of a case and nothing of its truth. The residuals are the scores of all the
unknowns of ``dense_model``, those of the setting errors of each stand, and for each stand the mean
of its drop times (compared as a time, with the stopwatch's error alone) and its trim.

Array letters: p unknowns, ``...`` trial vectors of scores.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from dense_model import (
    PULL_SHIFT,
    TORQUE_SHIFT,
    FloatArray,
    Model,
    Modeler,
    drop_time_s,
    height_m,
)
from scipy.optimize import least_squares  # type: ignore[import-untyped]  # scipy ships no types
from scipy.special import ellipk  # type: ignore[import-untyped]  # same
from simulated_rigs import (
    ANGLE_SD_RAD,
    GRAVITY_M_S2,
    ON_HEAD_SD_M,
    STOPWATCH_SD_S,
    TRIM_SD_RAD,
    Logged,
)

from riglog.records import PivotPair

if TYPE_CHECKING:
    from swap_cases import Case

    from riglog.records import Build, Rig, Swing


class Stand:
    """Drop times at one stand: what the fit compares."""

    def __init__(self, item: Logged, model: Model, modeler: Modeler, rig: Rig) -> None:
        key = (item.stand.version, item.setting("pivot"), item.drop.on[:10])
        self.model = model
        self.time_s = item.mean_s
        self._time_sd = STOPWATCH_SD_S / np.sqrt(len(item.drop.times))
        self.pivot_index = modeler.unknowns["pivot", key]
        self._stage_index = modeler.unknowns["stage", key]
        self._pivot = item.setting("pivot")
        self._stage = item.setting("stage-fore-aft")
        # Of two side pivots, each read to a step, the mean is known better.
        pair = isinstance(item.stand.settings["pivot"], PivotPair)
        self.pivot_step = rig.adjuster("pivot").step / (2**0.5 if pair else 1.0)
        self._stage_step = rig.adjuster("stage-fore-aft").step
        self._pulled = ON_HEAD_SD_M * model.head_share(np.zeros(len(modeler.unknowns)))

        self._swing = item.swing

    def pivot(self, scores: FloatArray) -> FloatArray:
        """(...) where the pivot truly stands [m]."""
        return self._pivot + self.pivot_step * scores[..., self.pivot_index]

    def residuals(self, scores: FloatArray) -> FloatArray:
        """(..., 2) the time and the trim, in standard deviations."""
        stage = self._stage + self._stage_step * scores[..., self._stage_index]
        x, d, k2 = self.model.balance(scores, self.pivot(scores), stage)
        lean = x / (height_m(self.time_s, k2) * np.tan(TRIM_SD_RAD))
        friction = self.model.friction_m(scores)
        late = drop_time_s(d - TORQUE_SHIFT * friction, k2) - self.time_s
        told = [late / self._late_sd(k2), lean]
        if self._swing is not None:
            told += self._swung(self._swing, np.maximum(d, 0.0003), k2, friction)
        return np.stack(told, axis=-1)

    def _late_sd(self, k2: FloatArray) -> FloatArray:
        """Of the stopwatch, and of a payload off its head whose nose nobody told."""
        height = height_m(self.time_s, k2)
        slope = self.time_s * (0.5 / height - height / (k2 + height**2))
        return np.hypot(self._time_sd, slope * PULL_SHIFT * self._pulled)

    @staticmethod
    def _swung(
        swing: Swing, d: FloatArray, k2: FloatArray, friction: FloatArray
    ) -> list[FloatArray]:
        """The period by elliptic integrals, and the last angle swing by swing, in their errors."""
        assert swing.end is not None
        angles = np.linspace(swing.start, swing.end, 9)
        longer = np.mean(2 / np.pi * ellipk(np.sin(angles / 2) ** 2))
        period = 2 * np.pi * np.sqrt((k2 + d * d) / (GRAVITY_M_S2 * d)) * longer
        last = np.full_like(d, swing.start)
        for _ in range(2 * swing.swings):
            lost = np.zeros_like(d)
            for _ in range(4):
                middle = np.maximum(last - lost / 2, 1e-3)
                # cos b - cos a = (friction / d) (a + b), and a + b is twice the middle.
                sine = np.minimum(friction / d * middle / np.sin(middle), 1.0)
                lost = 2 * np.arcsin(sine)
            last = last - lost
        off = (period * swing.swings - swing.time) / STOPWATCH_SD_S
        return [off, (last - swing.end) / (ANGLE_SD_RAD * np.sqrt(2))]


class Problem:
    """The unknowns and the stands of a case, and its fit."""

    def __init__(self, case: Case) -> None:
        modeler = Modeler(case.family, case.rigs, case.components)
        hung: list[tuple[str, Build, Logged | None]] = [
            *((item.drop.on, item.build, item) for item in case.logged),
            (case.on, case.old, None),
            (case.on, case.new, None),
        ]
        self.stands: list[Stand] = []
        for on, build, item in sorted(hung, key=lambda entry: entry[0]):
            model = modeler.model(build, on)
            if item is not None:
                self.stands.append(Stand(item, model, modeler, case.rigs[build.rig]))
            elif build is case.old:
                self.old = model
            else:
                self.new = model
        self.unknowns = len(modeler.unknowns)
        self.nominal = np.zeros(self.unknowns)

    @cached_property
    def scores(self) -> FloatArray:
        """(p,) the scores of greatest posterior density.

        Raises
        ------
        RuntimeError
            If the search does not converge.
        """
        if not self.stands:
            return self.nominal
        found = least_squares(
            self._residuals, self._start(), self._jacobian, method="lm", xtol=1e-10, ftol=1e-12
        )
        if not found.success:
            raise RuntimeError(found.message)
        return np.asarray(found.x)

    def _start(self) -> FloatArray:
        """Every stand as far off its mark as the nominal rig needs to drop in the time read."""
        start = self.nominal.copy()
        for stand in self.stands:
            _, d, k2 = stand.model.balance(self.nominal, stand.pivot(self.nominal))
            short = height_m(stand.time_s, k2) - d
            along = short / np.cos(stand.model.lean)
            start[stand.pivot_index] = stand.model.up * along / stand.pivot_step
        return start

    def _residuals(self, scores: FloatArray) -> FloatArray:
        compared = [stand.residuals(scores) for stand in self.stands]
        return np.concatenate([scores, *compared], axis=-1)

    def _jacobian(self, scores: FloatArray) -> FloatArray:
        """Central differences, all columns in one batch."""
        ahead, behind = (self._residuals(scores + s * np.eye(len(scores))) for s in (1e-4, -1e-4))
        return (ahead - behind).T / 2e-4

    def mark_m(self, drop_s: float) -> float:
        """Where the new build's pivot goes for a drop time [m]."""
        return float(self.new.mark(self.scores, drop_s))

    def sd_m(self, drop_s: float) -> float:
        """Standard deviation of that mark [m], by the curvature at the fit."""
        trials = self.scores + 1e-4 * np.eye(len(self.scores))
        slope = (self.new.mark(trials, drop_s) - self.new.mark(self.scores, drop_s)) / 1e-4
        jacobian = self._jacobian(self.scores)
        spread = np.linalg.solve(jacobian.T @ jacobian, slope)
        return float(np.sqrt(slope @ spread))
