"""`shot`: what each drop time means for a shot, and which one to take."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import CallError, UnreachableError, quoted
from riglog.estimation.heights import FRICTION_SHIFT
from riglog.estimation.inference import Hanging, Inference
from riglog.estimation.lineup import Lineup, line_up, reduce, tell
from riglog.estimation.planting import reading_m
from riglog.jobs.answers import Warned
from riglog.jobs.common import NEAR_NEUTRAL_S, drop_cautions, named, wanted_drop
from riglog.jobs.drop_curve import drop_curve
from riglog.jobs.evidence import evidence_of
from riglog.jobs.margin import margin_kg
from riglog.jobs.marks import Marks
from riglog.jobs.placing import (
    drop_at_mark,
    first_mark,
    free_adjusters,
    place,
    time_of,
)
from riglog.jobs.shot_answers import Limit, Shot, ShotAnswer, ShotRow, Why
from riglog.library.evidence import kit_for
from riglog.mechanics.arrays import STANDARD_GRAVITY
from riglog.mechanics.balance import hold_band
from riglog.mechanics.handling import (
    fall_time,
    hold_force,
    hold_torque,
    swing_during_acceleration,
    swing_from_acceleration,
    swing_from_step,
)
from riglog.mechanics.pendulum import reaches
from riglog.mechanics.pivot import has_height, pivot_height
from riglog.units import (
    METER,
    METER_PER_SECOND,
    METER_PER_SECOND_SQUARED,
    RADIAN,
    SECOND,
    parse_loose,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.lens_table_answers import Mark
    from riglog.library import Library
    from riglog.mechanics.arrays import FloatArray
    from riglog.units import Unit

# The range that a table shows where none is asked: common practice, no source.
USUAL_S = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
# A grip on the post, a walk, and the tilt of a look down that a hand holds, where nobody said.
_GRIP_M, _WALK_M_S, _HELD_RAD = 0.25, 1.4, 0.7853981633974483
# Limits of what is to be flown: a filter's weight, a hand's breadth of sway, a rig that comes back.
LEAST_MARGIN_KG, MOST_SWING_RAD, MOST_BAND_RAD = 0.05, 0.35, 0.26
# One step of the pivot lower may not make the drop this many times as long.
_COARSE = 2.0
_QUARTER = 1.5707963267948966


class ShotQuestion(NamedTuple):
    """What is asked of the shot, as typed."""

    from_: str | None = None
    to: str | None = None
    over: str | None = None
    grip: str | None = None
    walk: str | None = None
    accel: str | None = None
    for_: str | None = None
    lean: str | None = None
    drops: tuple[str, ...] = ()


def shot(library: Library, build: str | None, question: ShotQuestion) -> ShotAnswer:
    """Answer what each drop time means for the shot, and recommend one.

    Raises
    ------
    CallError
        If a word is wrong.
    UnreachableError
        If no drop time falls through the move in the time.
    """
    asked = understood(question)
    standing = library.standing(build)
    hung = standing.hung(standing.since[:10])
    hanging = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]
    rig = _Rig.of(hanging)
    wanted = None if asked.over_s is None else _wanted_by_move(asked, rig)
    drops = _drops(question, hanging, wanted)
    rows = _rows(hanging, rig, asked, drops)
    if not rows:
        raise UnreachableError("no mark gives any of these drop times", hint="ask for longer ones")
    chosen, why = recommended(rows, wanted)
    placed = place(hanging, [[hanging.tree.pivot]], rows[chosen].drop_s)
    slide = _slide(hanging) if asked.lean_rad is not None else None
    tree, stands = hanging.tree, hung.settings.get("pivot")
    evidence = evidence_of(hanging)
    return ShotAnswer(
        named=named(standing, hanging),
        shot=asked,
        pivot=tree.scales[tree.pivot],
        stands_m=None if stands is None else reading_m(stands),
        rows=rows,
        wanted_s=wanted,
        chosen=chosen,
        why=why,
        first=first_mark(hanging, placed)[0],
        at_mark_s=drop_at_mark(hanging, placed.settled, rows[chosen].mark.set_m),
        lean_name=None if slide is None else tree.adjusters[slide],
        lean_scale=None if slide is None else tree.scales[slide],
        evidence=evidence,
        cautions=tuple(_cautions(hanging, evidence.drops, rows[chosen].drop_s)),
        warnings=tuple(Warned("wild_reading", name[:8], sure) for name, sure in evidence.doubted),
        curve=drop_curve(hanging),
    )


def _cautions(hanging: Hanging, drops: int, drop_s: float) -> Iterator[str]:
    yield "clamp-under-load" if hanging.tree.rig.type == "post" else "ring-sides"
    yield from drop_cautions(hanging, drops)
    if drop_s >= NEAR_NEUTRAL_S:
        yield "near-neutral"


def understood(question: ShotQuestion) -> Shot:
    """The words as figures.

    Raises
    ------
    CallError
        If one is none, or a move is not told whole.
    """
    start, end = (_given(text, RADIAN, "deg", 180.0) for text in (question.from_, question.to))
    over = _given(question.over, SECOND, "s", 60.0, least=0.0)
    told = [each is not None for each in (start, end, over)]
    if any(told) and not all(told):
        raise CallError("a move needs all three", hint="as --from 80deg --to 0deg --over 6s")
    if start is not None and start == end:
        raise CallError("a move has two angles", hint="as --from 80deg --to 0deg --over 6s")
    accel = _given(question.accel, METER_PER_SECOND_SQUARED, "m/s2", 20.0, least=0.0)
    hold = _given(question.for_, SECOND, "s", 60.0, least=0.0)
    if hold is not None and accel is None:
        raise CallError("--for says how long what holds", hint="add --accel 1.5m/s2")
    lean = _given(question.lean, RADIAN, "deg", 80.0)
    held = _HELD_RAD if start is None or end is None else max(abs(start), abs(end))
    return Shot(
        held_rad=min(held, _QUARTER),
        grip_m=_given(question.grip, METER, "mm", 2.0, least=0.0) or _GRIP_M,
        walk_m_s=_given(question.walk, METER_PER_SECOND, "m/s", 15.0, least=0.0) or _WALK_M_S,
        from_rad=start,
        to_rad=end,
        over_s=over,
        accel_m_s2=accel,
        for_s=hold,
        lean_rad=lean,
    )


def _given(
    text: str | None, unit: Unit, symbol: str, most: float, least: float | None = None
) -> float | None:
    """A quantity as typed, of which ``most`` of the symbol's unit is the most; above ``least``."""
    if text is None:
        return None
    value = parse_loose(text, unit, symbol)
    limit = parse_loose(f"{most:g}", unit, "m" if symbol == "mm" else symbol)
    if abs(value) > limit or (least is not None and value <= least):
        above = f"more than {least:g} and " if least is not None else ""
        shown = f"{most:g} {'m' if symbol == 'mm' else symbol}"
        raise CallError(f"{quoted(text)} is out of range", hint=f"it is {above}at most {shown}")
    return value


class _Rig(NamedTuple):
    """What the mechanics need of a build: all but its height."""

    mass_kg: float
    k2_m2: float
    friction_m: float

    @classmethod
    def of(cls, hanging: Hanging) -> _Rig:
        hangs = hanging.hangs
        weight = STANDARD_GRAVITY * float(hangs.mass_kg)
        friction = max(float(hanging.theta[hanging.tree.friction]), 0.0) / weight
        return cls(float(hangs.mass_kg), float(hangs.gyration_m2[0]), friction)


def _move(asked: Shot) -> tuple[float, float]:
    """Release and stop of the fall that the move is, or that it undoes; the release is positive."""
    assert asked.from_rad is not None
    assert asked.to_rad is not None
    far, near = sorted((asked.from_rad, asked.to_rad), key=abs, reverse=True)
    sign = 1.0 if far > 0 else -1.0
    return sign * far, sign * near


def _wanted_by_move(asked: Shot, rig: _Rig) -> float:
    """The drop time [s] of the rig that falls through the move by itself in the time wanted."""
    assert asked.over_s is not None
    release, stop = _move(asked)
    told = {"release_rad": release, "stop_rad": stop, "friction_m": rig.friction_m}
    if not has_height(asked.over_s, rig.k2_m2, **told):
        raise UnreachableError(
            f"no drop time falls through that move in {asked.over_s:g} s",
            hint="give the move another time, or leave --over out and look at the table",
        )
    height = float(pivot_height(asked.over_s, rig.k2_m2, **told))
    found = time_of(height - FRICTION_SHIFT * rig.friction_m, rig.k2_m2)
    if found is None:
        raise UnreachableError(
            f"a move of {asked.over_s:g} s leaves the rig to friction alone",
            hint="give it less time",
        )
    return found


def _drops(question: ShotQuestion, hanging: Hanging, wanted: float | None) -> list[float]:
    build = hanging.hung.build
    given = [wanted_drop(each, build, hanging) for each in question.drops]
    usual = given or [*USUAL_S, *([build.wanted_drop] if build.wanted_drop else [])]
    return sorted({*usual, *([] if wanted is None else [wanted])})


def _slide(hanging: Hanging) -> int:
    """The adjuster that leans it fore and aft."""
    group = free_adjusters(hanging.tree, (), ())[0]
    if not group:
        raise CallError("nothing slides fore and aft", hint="leave --lean out")
    return group[0]


def _rows(hanging: Hanging, rig: _Rig, asked: Shot, drops: Sequence[float]) -> list[ShotRow]:
    """A row for each drop time that there is a mark for."""
    tree = hanging.tree
    free = [tree.pivot] if asked.lean_rad is None else [_slide(hanging), tree.pivot]
    lineup = line_up(reduce([hanging], [free]), np.array(drops))
    marks = Marks(lineup, tell(hanging.inference, [hanging], lineup), [hanging]).marks(0)
    felt = _Felt.of(rig, asked, lineup, hanging)
    rows = [
        _row(hanging, rig, felt, drops[number], mark, number)
        for number, mark in enumerate(marks)
        if mark is not None
    ]
    return [row._replace(limit=_limit(row)) for row in rows]


class _Felt(NamedTuple):
    """How it feels at each of d heights, (d,) each."""

    depth_m: FloatArray
    force_n: FloatArray
    fall_s: FloatArray
    swing_rad: FloatArray
    accel_rad: FloatArray | None
    band_rad: FloatArray
    lean_to_m: FloatArray | None

    @classmethod
    def of(cls, rig: _Rig, asked: Shot, lineup: Lineup, hanging: Hanging) -> _Felt:
        """All of it at once; the height is that of the center of gravity, friction beside it."""
        d = np.maximum(lineup.depth_m[0] + FRICTION_SHIFT * rig.friction_m, 1e-9)
        k2 = lineup.gyration_m2[0]
        torque = hold_torque(rig.mass_kg, d, asked.held_rad, friction_m=rig.friction_m)
        return cls(
            d,
            abs(hold_force(torque, asked.grip_m)),
            _fall(rig, asked, d, k2),
            swing_from_step(d, k2, asked.walk_m_s),
            _accelerated(asked, d, k2),
            hold_band(d, 0.0, rig.friction_m),
            _leaning(asked, lineup, hanging, d),
        )


def _fall(rig: _Rig, asked: Shot, d: FloatArray, k2: FloatArray) -> FloatArray:
    """Time to fall through the move, or from horizontal; nan where it does not get there."""
    release, stop = (_QUARTER, 0.0) if asked.over_s is None else _move(asked)
    falls = reaches(d, release_rad=release, stop_rad=stop, friction_m=rig.friction_m)
    found = np.full(len(d), np.nan)
    if np.any(falls):
        found[falls] = fall_time(
            d[falls], k2[falls], from_rad=release, to_rad=stop, friction_m=rig.friction_m
        )
    return found


def _accelerated(asked: Shot, d: FloatArray, k2: FloatArray) -> FloatArray | None:
    if asked.accel_m_s2 is None:
        return None
    if asked.for_s is None:
        return np.full(len(d), float(swing_from_acceleration(asked.accel_m_s2)))
    return swing_during_acceleration(d, k2, asked.accel_m_s2, asked.for_s)


def _leaning(asked: Shot, lineup: Lineup, hanging: Hanging, d: FloatArray) -> FloatArray | None:
    """Readings of the fore-aft slide at which it hangs at the lean asked for."""
    if asked.lean_rad is None:
        return None
    index = int(lineup.reduced.free[0, 0])
    trimmed = lineup.reduced.start_m[0, 0] + lineup.moved_m[0, :, 0]
    positions = trimmed + d * np.tan(asked.lean_rad) / lineup.reduced.center_per[0, 0, 0]
    scale = hanging.tree.scales[index].scale
    return np.array([scale.reading(float(each)) for each in positions])


def _row(
    hanging: Hanging, rig: _Rig, felt: _Felt, drop_s: float, mark: Mark, number: int
) -> ShotRow:
    depth = float(felt.depth_m[number]) - FRICTION_SHIFT * rig.friction_m
    step = hanging.tree.scales[hanging.tree.pivot].step * hanging.height_per_travel()
    fall = float(felt.fall_s[number])
    return ShotRow(
        drop_s=drop_s,
        mark=mark,
        force_n=float(felt.force_n[number]),
        fall_s=None if np.isnan(fall) else fall,
        swing_rad=float(felt.swing_rad[number]),
        accel_rad=None if felt.accel_rad is None else float(felt.accel_rad[number]),
        band_rad=float(felt.band_rad[number]),
        margin_kg=margin_kg(hanging, float(felt.depth_m[number])),
        up_s=time_of(depth + step, rig.k2_m2),
        down_s=time_of(depth - step, rig.k2_m2),
        lean_to_m=None if felt.lean_to_m is None else float(felt.lean_to_m[number]),
        limit=None,
    )


def _limit(row: ShotRow) -> Limit | None:
    """The first thing that rules a drop time out for any shot."""
    if row.mark.beyond_m:
        return Limit("travel", row.mark.beyond_m)
    if row.down_s is None or row.down_s > _COARSE * row.drop_s:
        return Limit("step", row.down_s or 0.0)
    if row.margin_kg is not None and row.margin_kg < LEAST_MARGIN_KG:
        return Limit("margin", row.margin_kg)
    if row.band_rad > MOST_BAND_RAD:
        return Limit("band", row.band_rad)
    if row.swing_rad > MOST_SWING_RAD:
        return Limit("swing", row.swing_rad)
    return None


def recommended(rows: Sequence[ShotRow], wanted_s: float | None) -> tuple[int, Why]:
    """The number of the row to take, and why.

    The one that the move wants, or the nearest to it that no limit rules out; without a move the
    longest, which is the lightest to hold and swings the least. The nearest is by the ratio.
    """
    fit = [number for number, row in enumerate(rows) if row.limit is None]
    if not fit:
        return 0, Why("none", rows[0])
    if wanted_s is None:
        best = fit[-1]
        longer = [row for row in rows[best + 1 :] if row.limit is not None]
        return best, Why("longest", longer[0] if longer else None)
    at = next((n for n, row in enumerate(rows) if row.drop_s == wanted_s), None)
    if at in fit and at is not None:
        return at, Why("move", None)
    best = min(fit, key=lambda number: abs(np.log(rows[number].drop_s / wanted_s)))
    return best, Why("near", rows[at] if at is not None else None)
