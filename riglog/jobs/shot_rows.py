"""Rows of the table of a shot: for each drop time its mark, and how it feels there."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import CallError
from riglog.estimation.interval import TWO_SIDED
from riglog.estimation.lineup import line_up, reduce, tell
from riglog.jobs.answers import Value
from riglog.jobs.free import free_adjusters, lift_of
from riglog.jobs.margin import margin_kg
from riglog.jobs.marks import Marks
from riglog.jobs.shot_answers import ShotRow
from riglog.jobs.shot_choice import limit
from riglog.jobs.shot_draws import bounds, drawn
from riglog.jobs.shot_felt import Felt, Rig, felt

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.lineup import Lineup, Told
    from riglog.jobs.lens_table_answers import Mark
    from riglog.jobs.shot_answers import Shot
    from riglog.jobs.shot_draws import Draws


def slide_of(hanging: Hanging) -> int:
    """The adjuster that leans it fore and aft.

    Raises
    ------
    CallError
        If there is none.
    """
    group = free_adjusters(hanging.tree, (), ())[0]
    if not group:
        raise CallError("nothing slides fore and aft", hint="leave --lean out")
    return group[0]


def rows_of(hanging: Hanging, asked: Shot, drops: Sequence[float]) -> list[ShotRow]:
    """A row for each drop time that there is a mark for."""
    tree, wanted, lift = hanging.tree, np.array(drops), lift_of(hanging.tree)
    free = [lift] if asked.lean_rad is None else [slide_of(hanging), lift]
    lineup = line_up(reduce([hanging], [free]), wanted)
    told = tell(hanging.inference, [hanging], lineup)
    draws, k2 = drawn(hanging), lineup.gyration_m2[0]
    step = tree.scales[lift].step * abs(hanging.depth_per_m(lift))
    best, may_be = (
        felt(rig, asked, wanted, k2, step) for rig in (Rig.of(hanging), Rig.of(hanging, draws))
    )
    leaning = _leaning(hanging, asked, lineup, told, best, may_be)
    feels = _Feels(hanging, best, may_be, draws, leaning)
    marks = Marks(lineup, told, [hanging], [lift]).marks(0)
    found = [feels.row(n, drops[n], mark) for n, mark in enumerate(marks) if mark is not None]
    return [row._replace(limit=limit(row)) for row in found]


class _Feels(NamedTuple):
    """How each drop time feels by the best fit, and in what it may be."""

    hanging: Hanging
    best: Felt
    may_be: Felt
    draws: Draws
    lean_to_m: Sequence[Value] | None

    def row(self, number: int, drop_s: float, mark: Mark) -> ShotRow:
        return ShotRow(
            drop_s=drop_s,
            mark=mark,
            force_n=self._known("force_n", number),
            fall_s=self._known("fall_s", number),
            swing_rad=self._known("swing_rad", number),
            accel_rad=None if self.best.accel_rad is None else self._known("accel_rad", number),
            band_rad=self._known("band_rad", number),
            margin_kg=self._margin(number, drop_s),
            up_s=self._known("up_s", number),
            down_s=self._known("down_s", number),
            lean_to_m=None if self.lean_to_m is None else self.lean_to_m[number],
            limit=None,
        )

    def _known(self, name: str, number: int) -> Value:
        best, draws = (getattr(each, name)[..., number] for each in (self.best, self.may_be))
        return bounds(float(best) if np.isfinite(best) else None, draws)

    def _margin(self, number: int, drop_s: float) -> Value | None:
        """The moment that holds it up, over how far away the camera is from that mark."""
        seen, lift = float(self.best.seen_m[number]), lift_of(self.hanging.tree)
        margin = margin_kg(self.hanging, seen, self.hanging.settle([lift], drop_s).positions_m)
        if margin is None:
            return None
        mass = float(self.hanging.hangs.mass_kg)
        away = np.maximum(mass * seen / margin + self.draws.camera_m[:, 0], 0.0)
        moment = mass * self.draws.mass[:, 0] * self.may_be.seen_m[:, number]
        with np.errstate(divide="ignore"):
            return bounds(margin, moment / away)


def _leaning(
    hanging: Hanging, asked: Shot, lineup: Lineup, told: Told, best: Felt, may_be: Felt
) -> list[Value] | None:
    """Readings of the fore-aft slide at which it hangs at the lean asked for.

    How sure they are: by where it hangs upright, and by how high the pivot is above the center.
    """
    if asked.lean_rad is None:
        return None
    index, reduced = int(lineup.reduced.free[0, 0]), lineup.reduced
    upright = reduced.start_m[0, 0] + lineup.moved_m[0, :, 0]
    per_depth = np.tan(asked.lean_rad) / reduced.off_per[0, 0, 0]
    low, high = (float(each[told.across(0, 0)]) for each in told.estimates.interval())
    wide = np.hypot((high - low) / 2, TWO_SIDED * per_depth * np.std(may_be.depth_m, axis=0))
    return [
        _reading(hanging, index, *ends)
        for ends in zip(upright + per_depth * best.depth_m, wide, strict=True)
    ]


def _reading(hanging: Hanging, index: int, position_m: float, wide_m: float) -> Value:
    scale = hanging.tree.scales[index].scale
    value, *ends = (scale.reading(position_m + by) for by in (0.0, -wide_m, wide_m))
    return Value(value, *sorted(ends))
