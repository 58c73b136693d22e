"""What claims say of a balance: a residual and its slopes for each kind.

A drop enters as a height: the pivot stands d above the center of gravity, and the drop time tells
d. In the time domain the same figures would give intervals that are too narrow near neutral, where
a time is far from normal.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from riglog.estimation.forward import Balance, Weights
from riglog.estimation.heights import (
    FORWARD_SHIFT,
    drop,
    height,
    height_slopes,
)
from riglog.estimation.priors import ON_HEAD_SD_M
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.claims import Claim
    from riglog.estimation.tree import Tree

Indices = npt.NDArray[np.intp]
# Nearer to neutral than this a lean tells hardly anything [m].
_LEAST_DEPTH_M = 0.0003
# Steeper than this nothing hangs that anybody reads a lean of.
_STEEPEST = 1.0
# The variance of a claim that says nothing of a rig, beside which any other counts.
_TELLS_NOTHING = 1.0
# Nearer to the critical pan rate than this share, what is small at any other is large.
_NEAR_CRITICAL = 0.3
# The time that the noise of a timing is taken at is the predicted one, within these of the timed.
_LEAST_SHARE, _GREATEST_SHARE = 0.6, 1.7
# A rig is let go with its center of gravity at most this share of its depth off trim: further off
# it would not be told from a drop of another rig, and the fit comes back inside. Where that is too
# far for its time to be had at all, less; and a time that nothing has tells nothing of trim.
_MOST_OFF = (0.5, 0.1, 0.0)


class Telling:
    """What k claims on one tree say of its balance, to first order.

    Attributes
    ----------
    residual, noise : (k,) arrays
    weights
        Coefficients of center, k^2 and weight in the residual.
    by_scale : (k,) array of bool
        Whether a claim places the center on the pivot's scale; all others say how it lies off the
        tilt axis, wherever that stands.
    friction : (k,) array
        Coefficients of the friction torque.
    tilts
        By claim, what it tells of the tilt of the principal axis: change with the tree's columns
        (q,) and with the adjusters' positions (a,).
    """

    def __init__(
        self,
        tree: Tree,
        told: Sequence[Claim],
        positions_m: FloatArray,
        hangs: Balance,
        theta: FloatArray,
    ) -> None:
        count = len(told)
        self.tree, self.hangs, self.theta = tree, hangs, theta
        self.positions_m = positions_m
        self.tilts: dict[int, tuple[FloatArray, FloatArray]] = {}
        self.per_newton_m = 1 / (STANDARD_GRAVITY * float(hangs.mass_kg))
        self.friction_m = float(theta[tree.friction]) * self.per_newton_m
        self.residual, self.noise = np.zeros(count), np.zeros(count)
        self.weights = Weights.none(count)
        self.by_scale, self.friction = np.zeros(count, dtype=bool), np.zeros(count)
        self.axis_m = tree.axis_m(theta, positions_m)
        self.pan = np.array([claim.pan for claim in told])
        tell = {
            "drop": self._drop,
            "height": self._height,
            "lean": self._lean,
            "side": self._side,
            "spin": self._spin,
            "weight": self._weight,
            "friction": self._friction,
        }
        for kind, of_kind in tell.items():
            at = np.array([i for i, claim in enumerate(told) if claim.kind == kind], dtype=np.intp)
            if at.size:
                of_kind(at, [told[i] for i in at])

    @property
    def pivot(self) -> FloatArray:
        """Coefficients (k,) of the pivot's position: the center's along its way, negated."""
        along: FloatArray = self.weights.cg @ self.tree.way
        return np.where(self.by_scale, 0.0, -along)

    @property
    def centering(self) -> FloatArray:
        """Coefficients (k, 2) of where the gimbal's axis is: the center's, turned by the pan."""
        x, y, _ = np.where(self.by_scale, 0.0, self.weights.cg.T)
        cosine, sine = np.cos(self.pan), np.sin(self.pan)
        return -np.stack([x * cosine - y * sine, x * sine + y * cosine], axis=-1)

    def _depth(self, at: Indices) -> FloatArray:
        """How far the center of gravity lies below the pivot axis, as the world has it [m]."""
        return self.tree.below_m(self.positions_m[at], self.hangs.cg_m[at])

    def _drop(self, at: Indices, told: Sequence[Claim]) -> None:
        time, sd = (np.array([getattr(c, name) for c in told]) for name in ("value", "sd"))
        factor = np.array([claim.factor for claim in told])
        k2 = self.hangs.gyration_m2[at]
        hidden = np.array([claim.hidden for claim in told])
        depth = self._depth(at) - hidden * self.friction_m
        self.residual[at] = depth - height(time, factor, k2)
        # The slope where the rig is believed to drop, not where this one timing happened to fall.
        least = height(_GREATEST_SHARE * time, factor, k2)
        believed = drop(np.maximum(depth, least), factor, k2)
        per_s = height_slopes(np.maximum(believed, _LEAST_SHARE * time), factor, k2)[0]
        self.noise[at] = np.square(per_s * sd)
        self.weights.cg[at, 2] = -self.tree.up
        self.weights.gyration[at] = -height_slopes(time, factor, k2)[1]
        self.friction[at] = -hidden * self.per_newton_m
        for index, claim in zip(at, told, strict=True):
            if claim.nose:
                self._off_trim(index, claim)
            if self.hangs.asides is not None and claim.hidden:
                self._off_head(index, claim, float(self.hangs.asides.whole_m[index, 0]))

    def _off_trim(self, index: int, claim: Claim) -> None:
        """A drop that says which way its nose pointed also tells how far off trim it was."""
        from riglog.mechanics.pivot import height_gradient  # seldom needed, and slow to read

        k2 = float(self.hangs.gyration_m2[index])
        near = float(height(claim.value, claim.factor, k2))
        forward = float(self.hangs.cg_m[index, 0] - self.axis_m[index, 0])
        slopes = None
        for most in _MOST_OFF:
            x_m = min(max(forward, -most * near), most * near)
            try:
                slopes = height_gradient(
                    claim.value, k2, x_m=x_m, nose=claim.nose, release_rad=claim.release,
                    stop_rad=claim.stop,
                )  # fmt: skip
            except ValueError:  # so far off, no height has this time
                continue
            break
        if slopes is None:
            return
        told = float(slopes.d_m) + float(slopes.per_x) * (forward - x_m)
        self.residual[index] += near - told
        self.weights.cg[index, 0] = -float(slopes.per_x)
        self.weights.gyration[index] = -float(slopes.per_k2)

    def _off_head(self, index: int, claim: Claim, aside_m: float) -> None:
        """A payload off the axis of its head holds one way's drop back and speeds the other's.

        Trimmed, the frame lies off its center the other way, which takes some of that back.
        """
        if claim.nose:
            self.residual[index] -= claim.nose * claim.hidden * aside_m
            self.weights.aside[index, 0] = -claim.nose * claim.hidden
        else:
            unknown = np.square(aside_m) + np.square(self._on_head * ON_HEAD_SD_M)
            self.noise[index] += np.square(claim.hidden - FORWARD_SHIFT) * unknown

    @property
    def _on_head(self) -> float:
        """Share of the payload in the mass that tilts."""
        heavy = [part in self.tree.payload for part in self.tree.parts]
        return float(self.hangs.part_mass_kg[heavy].sum() / self.hangs.mass_kg)

    def _height(self, at: Indices, told: Sequence[Claim]) -> None:
        scale = self.tree.scales[self.tree.pivot].scale
        stated = np.array([scale.position(claim.value) for claim in told])
        axis, per_m = self.tree.balanced
        zero = (*self.tree.rig.pivot_at, 0.0)[axis]
        self.residual[at] = (self.hangs.cg_m[at, axis] - zero) / per_m - stated
        self.noise[at] = [claim.sd**2 for claim in told]
        self.weights.cg[at, axis] = 1.0 / per_m
        self.by_scale[at] = True

    def _lean(self, at: Indices, told: Sequence[Claim]) -> None:
        self._hang(at, told, axis=0, sign=1.0)

    def _side(self, at: Indices, told: Sequence[Claim]) -> None:
        # Positive with the right side low: a center of gravity to the right, where y is negative.
        self._hang(at, told, axis=1, sign=-self.tree.up)

    def _hang(self, at: Indices, told: Sequence[Claim], axis: int, sign: float) -> None:
        tangent = sign * np.array([claim.value for claim in told])
        depth = self._depth(at)
        # The axis of the gimbal as the panned rig has it.
        pan = self.pan[at]
        turned = [np.cos(pan), np.sin(pan)] if axis == 0 else [-np.sin(pan), np.cos(pan)]
        pan_axis = self.tree.pan_axis_m(self.positions_m[at])
        off = self.axis_m[at, :2] - pan_axis[:, :2]
        across = self.hangs.across_m[at, axis] - pan_axis[:, axis]
        across = across - np.sum(np.stack(turned, axis=-1) * off, axis=-1)
        self.residual[at] = across - tangent * depth
        sd = np.array([claim.sd for claim in told]) * np.maximum(depth, _LEAST_DEPTH_M)
        self.noise[at] = np.square(sd) + self.friction_m**2
        self.weights.cg[at, axis] = self.weights.aside[at, axis] = 1.0
        believed = _believed(across, depth, tangent)
        self.weights.cg[at, 2] = self.tree.up * believed

    def _spin(self, at: Indices, told: Sequence[Claim]) -> None:
        for index, claim in zip(at, told, strict=True):
            self._panned(int(index), claim)

    def _panned(self, index: int, claim: Claim) -> None:
        from riglog.estimation.pan import pan  # seldom needed

        up = self.tree.up
        told = pan(self.tree, self.theta, self.positions_m[index], claim.rate)
        if not told.is_long:
            self.noise[index] = _TELLS_NOTHING
            return
        across = float(self.hangs.cg_m[index, 0] - self.axis_m[index, 0])
        residual = up * told.tilts.value[0] + told.per_x * across + claim.value * (told.share - 1.0)
        if self.hangs.asides is not None:
            residual -= told.slow_per_m * float(self.hangs.asides.whole_m[index, 0])
            self.weights.aside[index, 0] = -told.slow_per_m
        self.residual[index] = residual
        # A word says which way, and hardly how far: where it goes further, that is no news.
        way = np.sign(claim.value) * np.sign(1.0 - told.share)
        scale = max(abs(1.0 - told.share), _NEAR_CRITICAL)
        self.noise[index] = (claim.sd * scale) ** 2 + max(2.0 * way * residual, 0.0) ** 2
        self.weights.cg[index, 0] = told.per_x
        self.weights.cg[index, 2] = -(up * claim.value * told.slow_per_m)
        self.tilts[index] = up * told.tilts.to_columns[0], up * told.tilts.to_positions[0]

    def _weight(self, at: Indices, told: Sequence[Claim]) -> None:
        self.residual[at] = self.hangs.weight_kg - np.array([claim.value for claim in told])
        self.noise[at] = [claim.sd**2 for claim in told]
        self.weights.weight[at] = 1.0

    def _friction(self, at: Indices, told: Sequence[Claim]) -> None:
        share = np.array([claim.value for claim in told])
        depth = self._depth(at)
        self.residual[at] = self.friction_m - share * depth
        sd = np.array([claim.sd for claim in told]) * np.maximum(depth, _LEAST_DEPTH_M)
        self.noise[at] = np.square(sd)
        believed = _believed(np.full(len(at), self.friction_m), depth, share)
        self.weights.cg[at, 2] = self.tree.up * believed
        self.friction[at] = self.per_newton_m


def _believed(part_m: FloatArray, depth_m: FloatArray, read: FloatArray) -> FloatArray:
    """The share of its depth that a lean or a hold band is believed to be, as its slope wants it.

    With the share that was read, two that contradict each other would agree on a depth of nothing,
    where neither has any noise. How the parts seated themselves is left out, which makes the
    interval of a lean 2 % narrow at most. Too near neutral it is the share that was read.
    """
    share = part_m / np.maximum(depth_m, _LEAST_DEPTH_M)
    most = np.maximum(np.abs(read), _STEEPEST)
    return np.where(depth_m > _LEAST_DEPTH_M, np.clip(share, -most, most), read)
