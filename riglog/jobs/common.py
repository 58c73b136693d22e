"""What answers about one build have in common: its name, the wanted drop, what to mind."""

from __future__ import annotations

from math import atan2
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.answers import Move, Named, Warned
from riglog.jobs.drop_times import time_of
from riglog.jobs.free import lift_of
from riglog.records import PivotPair
from riglog.units import SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.tree import Tree
    from riglog.jobs.placing import Placed
    from riglog.library import Standing
    from riglog.records import Build, Setting

# From here on it takes two people [kg].
HEAVY_KG = 12.0
# From here on a small part turns the rig over [s].
NEAR_NEUTRAL_S = 5.0
# Fewer steps than this from the end of a travel leave no room to trim.
NEAR_END_STEPS = 5
# A drop test of more is none [s].
LONGEST_S = 60.0
# A height known no better than this is no expectation.
TELLS_NOTHING_M = 0.02


def named(standing: Standing, hanging: Hanging) -> Named:
    """What an answer is about."""
    rig, mode = hanging.tree.rig, hanging.tree.build.mode
    head = (hanging.tree.build.head or "level") if hanging.tree.payload else ""
    return Named(standing.build.id, standing.number, standing.entry, rig.type, mode, head)


def wanted_drop(text: str | None, build: Build, start: Hanging) -> float:
    """The wanted drop time [s]: as asked, else the build's, else what it has where it stands.

    Raises
    ------
    CallError
        If none is known.
    """
    if text is not None:
        wanted = parse_loose(text, SECOND, "s")
        if not 0 < wanted <= LONGEST_S:
            hint = f"a drop takes more than 0 and at most {LONGEST_S:.0f} s"
            raise CallError(f"{quoted(text)} is no drop time", hint=hint)
        return wanted
    if build.wanted_drop is not None:
        return build.wanted_drop
    stands_s = None
    if "pivot" in start.hung.settings:
        depth = start.depth().value
        stands_s = time_of(depth, float(start.hangs.gyration_m2[0]))
    if stands_s is None:
        raise CallError("nobody said which drop time is wanted", hint="add --drop 3s")
    return stands_s


def wanted_where_set(text: str | None, build: Build, start: Hanging, tree: Tree) -> float | None:
    """As ``wanted_drop``; None where nothing on a tree sets the drop time and nobody asked for one.

    Raises
    ------
    UnreachableError
        If nothing sets it, and somebody did ask.
    """
    if text is not None:
        lift_of(tree)
    return None if tree.lift is None else wanted_drop(text, build, start)


def assumed_to_stand(setting: Setting | None) -> Warned:
    """That nobody told where the pivot stands, with where it is taken to: of a ring each side."""
    match setting:
        case PivotPair(left=left, right=right):
            return Warned("settings_assumed", "pivot", left, right)
        case _:
            return Warned("settings_assumed", "pivot", setting)


def left_lean(end: Hanging, placed: Placed) -> Iterator[Warned]:
    """What no adjuster was free to take out."""
    tree, hangs = end.tree, placed.settled.hangs
    if any(tree.along(index) == 0 for index in placed.settled.moved):
        return
    positions = placed.settled.positions_m
    below = abs(float(tree.below_m(positions, hangs.cg_m[0])))
    forward = float(hangs.across_m[0, 0] - tree.axis_m(end.theta, positions)[0])
    lean = atan2(forward, below)
    yield Warned("not_trimmed", figure=lean)


def near_ends(moves: Sequence[Move]) -> Iterator[Warned]:
    """Adjusters that come to stand within a few steps of their end."""
    for move in moves:
        if move.free and move.adjuster.travel is not None:
            low, high = move.adjuster.travel
            left = min(move.to_m - low, high - move.to_m)
            if left < NEAR_END_STEPS * move.adjuster.step:
                yield Warned("near_travel_end", move.name, left)


def drop_cautions(hanging: Hanging, drops: int) -> Iterator[str]:
    """What to mind before a drop test."""
    yield "drop-test"
    if float(hanging.hangs.mass_kg) >= HEAVY_KG:
        yield "heavy-drop-test"
    if not drops:
        yield "unknown-rig"
    if any(link in {"arm", "vest"} for link in hanging.tree.rig.rated_load):
        yield "arm-load"
