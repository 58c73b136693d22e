"""Readings held against parameters: a residual, a noise and a row for each of their claims.

A residual is zero where the parameters explain the claim exactly. A drop enters as a height: the
pivot stands d above the center of gravity, and the drop time tells d. In the time domain the same
figures would give intervals that are too narrow near neutral, where a time is far from normal.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.estimation.claims import Claim, claims
from riglog.estimation.forward import Balance, Weights, balance
from riglog.estimation.heights import (
    FORWARD_SHIFT,
    drop,
    height,
    height_slopes,
)
from riglog.estimation.noise import pooled_sd
from riglog.estimation.priors import ON_HEAD_SD_M
from riglog.estimation.rows import Rows, add_tilt, pull_back, stack
from riglog.mechanics.arrays import STANDARD_GRAVITY, FloatArray

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.estimation.kit import Logged
    from riglog.estimation.stands import Stand, Stands
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


class Evaluated(NamedTuple):
    """All claims at one theta: residuals (k,), noise variances (k,) and their rows."""

    residual: FloatArray
    noise: FloatArray
    rows: Rows

    def part(self, chosen: Sequence[int]) -> Evaluated:
        """Some of the claims."""
        at = np.array(chosen, dtype=np.intp)
        seats = tuple(self.rows.seats[index] for index in chosen)
        rows = Rows(self.rows.jacobian[at], self.rows.rigging[at], seats)
        return Evaluated(self.residual[at], self.noise[at], rows)


class Observations:
    """The readings of a kit, ready to be held against any parameters.

    ``claims`` is what they say, ``places`` where the rig stood at each of these claims.
    """

    def __init__(
        self,
        stands: Stands,
        readings: Sequence[Logged],
        stood: Sequence[Stand],
        timing_sd: Mapping[tuple[str, str], float],
    ) -> None:
        self.stands = stands
        self.readings = tuple(readings)
        self.timing_sd = timing_sd
        self._stood = stood
        by_tree: dict[int, list[tuple[Claim, Stand]]] = defaultdict(list)
        for index, (logged, stand) in enumerate(zip(readings, stood, strict=True)):
            for claim in claims(index, logged, timing_sd):
                # A ring's two pivots hold it level across, wherever its center of gravity is.
                if claim.kind != "side" or stand.tree.rig.type != "ring":
                    by_tree[id(stand.tree)].append((claim, stand))
        self._groups = list(by_tree.values())
        self.claims = [claim for group in self._groups for claim, _ in group]
        self.places = [stand for group in self._groups for _, stand in group]

    @classmethod
    def of(cls, stands: Stands, readings: Sequence[Logged]) -> Observations:
        """Readings where they were taken; their parameters are added."""
        stood = [stands.stand(logged.hung) for logged in readings]
        return cls(stands, readings, stood, pooled_sd(readings))

    @cached_property
    def at_priors(self) -> Evaluated:
        """Every claim where the priors are; ask once all parameters are made."""
        return self.evaluate(self.stands.parameters.mean)

    def only(self, chosen: Sequence[int]) -> Observations:
        """The same with some of the readings; what people's timings scatter stays as it was."""
        if len(chosen) == len(self.readings):
            return self
        readings = [self.readings[index] for index in chosen]
        stood = [self._stood[index] for index in chosen]
        fewer = Observations(self.stands, readings, stood, self.timing_sd)
        # They were evaluated at the priors to be chosen, and need not be again.
        known = {claim: index for index, claim in enumerate(self.claims)}
        named = (claim._replace(reading=chosen[claim.reading]) for claim in fewer.claims)
        fewer.at_priors = self.at_priors.part([known[claim] for claim in named])
        return fewer

    def again(self) -> Observations:
        """The same after a prior was replaced."""
        return Observations(self.stands, self.readings, self._stood, self.timing_sd)

    def evaluate(self, theta: FloatArray) -> Evaluated:
        """Residuals, noise and rows of every claim at parameters theta (p,)."""
        parts = [self._evaluate(group, theta) for group in self._groups]
        return Evaluated(
            np.concatenate([part.residual for part in parts] or [np.zeros(0)]),
            np.concatenate([part.noise for part in parts] or [np.zeros(0)]),
            stack([part.rows for part in parts], len(theta)),
        )

    def _evaluate(self, group: list[tuple[Claim, Stand]], theta: FloatArray) -> Evaluated:
        tree = group[0][1].tree
        positions = np.array([stand.positions(theta) for _, stand in group])
        hangs = balance(tree, theta, positions)
        told = Telling(tree, [claim for claim, _ in group], positions, hangs, theta)
        jacobian = pull_back(
            self.stands.parameters, tree, hangs, told.weights,
            np.array([stand.settings for _, stand in group]), told.pivot, told.friction,
            told.centering,
        )  # fmt: skip
        for index, (to_columns, to_positions) in told.tilts.items():
            add_tilt(jacobian[index], tree, group[index][1].settings, to_columns, to_positions)
        rows = Rows(jacobian, told.weights.cg, tuple(stand.seats for _, stand in group))
        return Evaluated(told.residual, told.noise, rows)


class Telling:
    """What k claims on one tree say of its balance, to first order.

    Attributes
    ----------
    residual, noise : (k,) arrays
    weights
        Coefficients of center, k^2 and weight in the residual.
    pivot, friction : (k,) arrays
        Coefficients of the pivot's position and of the friction torque.
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
        self.pivot_m = positions_m[:, tree.pivot]
        self.per_newton_m = 1 / (STANDARD_GRAVITY * float(hangs.mass_kg))
        self.friction_m = float(theta[tree.friction]) * self.per_newton_m
        self.residual, self.noise = np.zeros(count), np.zeros(count)
        self.weights = Weights.none(count)
        self.pivot, self.friction = np.zeros(count), np.zeros(count)
        self.axis_m = tree.axis_m(theta)
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
    def centering(self) -> FloatArray:
        """Coefficients (k, 2) of where the gimbal's axis is: the center's, turned by the pan."""
        x, y = self.weights.cg[:, 0], self.weights.cg[:, 1]
        cosine, sine = np.cos(self.pan), np.sin(self.pan)
        return -np.stack([x * cosine - y * sine, x * sine + y * cosine], axis=-1)

    def _depth(self, at: Indices) -> FloatArray:
        """How far the center of gravity lies below the pivot axis, as the world has it [m]."""
        depth: FloatArray = self.tree.up * (self.pivot_m[at] - self.hangs.cg_m[at, 2])
        return depth

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
        self.pivot[at] = self.tree.up
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
        forward = float(self.hangs.cg_m[index, 0] - self.axis_m[0])
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
        self.residual[at] = self.hangs.cg_m[at, 2] - stated
        self.noise[at] = [claim.sd**2 for claim in told]
        self.weights.cg[at, 2] = 1.0

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
        off = self.axis_m - np.array(self.tree.rig.pivot_at)
        across = self.hangs.across_m[at, axis] - self.tree.rig.pivot_at[axis]
        across = across - np.stack(turned, axis=-1) @ off
        self.residual[at] = across - tangent * depth
        sd = np.array([claim.sd for claim in told]) * np.maximum(depth, _LEAST_DEPTH_M)
        self.noise[at] = np.square(sd) + self.friction_m**2
        self.weights.cg[at, axis] = self.weights.aside[at, axis] = 1.0
        believed = _believed(across, depth, tangent)
        self.weights.cg[at, 2] = self.tree.up * believed
        self.pivot[at] = -self.tree.up * believed

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
        across = float(self.hangs.cg_m[index, 0] - self.axis_m[0])
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
        self.pivot[index] = up * claim.value * told.slow_per_m
        self.weights.cg[index, 2] = -self.pivot[index]
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
        self.pivot[at] = -self.tree.up * believed
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
