"""`trim`: the moves that hang a rig upright and keep a pan level, then drop it again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from riglog.errors import CallError, quoted
from riglog.estimation.inference import Inference
from riglog.estimation.products import whole
from riglog.jobs.answers import Move, Value, Warned
from riglog.jobs.cant import canted
from riglog.jobs.common import drop_cautions, named, near_ends, wanted_where_set
from riglog.jobs.drop_times import drop_value
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.level import inertia, is_known, level, panned, seated_m
from riglog.jobs.placing import first_mark
from riglog.jobs.trim_answers import Inertia, Level, TrimAnswer
from riglog.jobs.trim_moves import Work, may_trim, moves_of, trimmed_for
from riglog.library.adjusters import adjusters_of, named_adjuster, settings_given
from riglog.library.evidence import kit_for
from riglog.units import RADIAN_PER_SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung
    from riglog.estimation.tree import Tree
    from riglog.estimation.trim import Trimmed
    from riglog.library import Library, Standing
    from riglog.records import Build

# A pan of more is none [rad/s]: a turn each half second.
FASTEST_RAD_S = 12.566370614359172
# What trim may be left off and no eye sees it [m].
_TRIMMED_M = 1e-4
# A tilt known no better than this is not worth moving weight for [rad]: 8 degrees.
_TELLS_NOTHING_RAD = 0.14


def trim_build(
    library: Library,
    build: str | None,
    *,
    wanted: str | None = None,
    pan: str | None = None,
    hold: Sequence[str] = (),
    set_: Sequence[str] = (),
) -> TrimAnswer:
    """Answer which adjusters to move, and where the pivot goes then.

    Parameters
    ----------
    build
        Words for the build; None means the one in use.
    wanted
        Drop time; None means the build's own, else what it has where it stands.
    pan
        A pan rate to tell the lean at.
    hold
        Adjusters that stay where they are.
    set_
        `ADJUSTER=READING`, where an adjuster stands now.

    Raises
    ------
    CallError
        If a word is wrong.
    """
    rate = None if pan is None else pan_rate_asked(pan)
    standing = library.standing(build)
    known = adjusters_of(library, standing.build)
    kept = [named_adjuster(word, known) for word in hold]
    hung = standing.hung(standing.since[:10])
    given = settings_given(known, set_, library.rig(standing.build.rig).type)
    hung = hung._replace(settings={**hung.settings, **given})
    last = _last(library, standing, hung)
    stands = [hung, *([last[1]] if last else [])]
    hanging, *before = Inference(kit_for(library.logbook, stands, []), stands).stands
    return _answer(standing, hanging, wanted, rate, kept, (last[0], before[0]) if last else None)


def pan_rate_asked(text: str) -> float:
    """A pan rate as typed [rad/s]; a bare number is in turns per minute.

    Raises
    ------
    CallError
        If it is none.
    """
    rate = parse_loose(text, RADIAN_PER_SECOND, "rpm")
    if not 0 < rate <= FASTEST_RAD_S:
        hint = "it is more than 0 and at most 120 rpm"
        raise CallError(f"{quoted(text)} is no pan rate", hint=hint)
    return rate


def _last(library: Library, standing: Standing, hung: Hung) -> tuple[int, Hung] | None:
    """The newest older version of the build that is made of other parts, as it was recorded."""
    versions = library.logbook.versions("build", standing.build.id)
    for version in reversed(versions):
        if version.number < standing.number:
            before = library.standing(f"{standing.build.id}@{version.name}")
            if before.build.parts != hung.build.parts:
                return version.number, before.hung(before.since[:10])
    return None


def _answer(
    standing: Standing,
    hanging: Hanging,
    wanted: str | None,
    rate: float | None,
    kept: list[str],
    last: tuple[int, Hanging] | None,
) -> TrimAnswer:
    tree, start = hanging.tree, hanging.positions_m
    now = level(hanging, start)
    counts = tree.rig.type == "post" and is_known(hanging) and _told(now.tilt_rad)
    marked = "pivot" in hanging.hung.settings
    wanted_s = _wanted(hanging, standing.build, wanted)
    work = Work(may_trim(hanging, kept), seated_m(hanging, start), counts)
    here = work.trimmed(hanging, start)
    done, placed = trimmed_for(hanging, here, work, None if _is_kept(tree, kept) else wanted_s)
    moves = moves_of(hanging, done, placed, wanted_s, counts=counts)
    then_m = done.positions_m if placed is None else placed.settled.positions_m
    exact = [*done.moved, *([] if placed is None else placed.settled.moved)]
    then = level(hanging, then_m, exact)
    evidence = evidence_of(hanging)
    return TrimAnswer(
        named=named(standing, hanging),
        moves=moves,
        sets="" if tree.lift is None else tree.adjusters[tree.lift],
        now=now,
        then=then,
        off_m=(float(done.across_m[0]), float(done.across_m[1])),
        tilt_counts=counts,
        wanted_s=wanted_s,
        drop_now_s=_drop_there(hanging, here) if marked else None,
        first=None if placed is None else first_mark(hanging, placed, done.moved)[0],
        inertia=inertia(whole(tree, hanging.theta, start)),
        inertia_then=inertia(whole(tree, hanging.theta, then_m)),
        last=_inertia_of(last[1]) if last else None,
        last_version=last[0] if last else None,
        panned=None if rate is None else panned(hanging, start, rate),
        panned_then=None if rate is None else panned(hanging, then_m, rate),
        evidence=evidence,
        cautions=tuple(_cautions(hanging, evidence.drops)),
        warnings=(
            *_warnings(hanging, done, moves, now, reached=placed is not None or wanted_s is None),
            *doubts(evidence),
        ),
    )


def _told(tilt_rad: Value) -> bool:
    low, high = tilt_rad.low, tilt_rad.high
    return low is not None and high is not None and high - low < 2 * _TELLS_NOTHING_RAD


def _wanted(hanging: Hanging, build: Build, text: str | None) -> float | None:
    """The wanted drop time; None where nobody said, or nothing sets it and nobody asked."""
    known = text is not None or build.wanted_drop is not None or "pivot" in hanging.hung.settings
    return wanted_where_set(text, build, hanging, hanging.tree) if known else None


def _is_kept(tree: Tree, kept: Sequence[str]) -> bool:
    return tree.lift is not None and tree.adjusters[tree.lift] in kept


def _drop_there(hanging: Hanging, done: Trimmed) -> Value:
    """The drop time once trimmed, with what sets it where it stands."""
    depth = hanging.depth(done.positions_m, exact=done.moved)
    k2 = float(hanging.at(done.positions_m).gyration_m2[0])
    return drop_value(depth, k2)


def _inertia_of(hanging: Hanging) -> Inertia:
    return inertia(whole(hanging.tree, hanging.theta, hanging.positions_m))


def _cautions(hanging: Hanging, drops: int) -> Iterator[str]:
    yield "clamp-under-load" if hanging.tree.rig.type == "post" else "ring-sides"
    if hanging.tree.rig.type == "post":
        yield "pan-test"
    yield from drop_cautions(hanging, drops)


def _warnings(
    hanging: Hanging, done: Trimmed, answer_moves: Sequence[Move], now: Level, *, reached: bool
) -> Iterator[Warned]:
    tree = hanging.tree
    if not is_known(hanging):
        yield Warned("tilt_unlisted")
    elif tree.rig.type == "post" and now.tilt_rad.value is not None and not _told(now.tilt_rad):
        yield Warned("tilt_untold")
    if now.lean_rad is None and "pivot" in hanging.hung.settings:
        yield Warned("top_heavy")
    if float(np.hypot(*done.across_m)) > _TRIMMED_M:
        yield Warned("trim_out_of_reach", figure=float(np.hypot(*done.across_m)))
    if tree.rig.type == "ring":
        yield from canted(hanging)
    if not reached:
        yield Warned("drop_out_of_reach")
    yield from (Warned("unset_adjuster", name) for name in _unset(hanging))
    lift = None if tree.lift is None else tree.adjusters[tree.lift]
    yield from near_ends([move for move in answer_moves if move.name != lift])


def _unset(hanging: Hanging) -> list[str]:
    """Adjusters that could move something, if anybody knew where they stand."""
    tree = hanging.tree
    return [
        name
        for index, name in enumerate(tree.adjusters)
        if name not in hanging.hung.settings
        and index != tree.pivot
        and np.any(tree.slides[tree.tilts, index])
    ]
