"""Logged drop times as marks of the build as it is now, from one estimate."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, UnreachableError
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung
from riglog.jobs.evidence import evidence_of
from riglog.jobs.find_answers import Now
from riglog.jobs.fitting import fit
from riglog.jobs.free import free_adjusters, lift_of
from riglog.jobs.placing import first_mark, place
from riglog.jobs.swap_question import ASKED, refuse_unset
from riglog.library.adjusters import adjusters_of
from riglog.library.clock import today
from riglog.library.evidence import kit_for
from riglog.records.readings.measured import mean_s

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.find_answers import Found
    from riglog.library import Library, Standing
    from riglog.records import Build


class Target(NamedTuple):
    """How the build in use would hang with what was asked for on it.

    ``hung`` is none, and ``why`` says why, where a part could not be put on it.
    """

    build: Build
    hung: Hung | None
    parts: tuple[str, ...]
    after: str
    why: str


def target(library: Library, now: Standing, components: Sequence[str]) -> Target:
    """The build as it stands, with components on it."""
    try:
        fitted = fit(library, now.build, components)
    except CallError as error:
        return Target(now.build, None, (), "", str(error))
    parts = tuple(change.new for change in fitted.changes if change.new)
    known = adjusters_of(library, fitted.build)
    settings = {name: at for name, at in now.settings.items() if name in known}
    try:
        refuse_unset(known, settings, ())
    except CallError as error:
        return Target(fitted.build, None, parts, fitted.said, str(error))
    if fitted.changes:
        hung = Hung(build=fitted.build, version=ASKED, settings=settings, day=today())
    else:
        hung = now.hung(now.since[:10])
    return Target(fitted.build, hung, parts, fitted.said, "")


def with_marks(library: Library, wanted: Target, found: Sequence[Found]) -> list[Found]:
    """Finds with the mark that gives the drop time of each now, or the one wanted of it."""
    if wanted.hung is None or not any(_drop_of(each, wanted) for each in found):
        return [each._replace(why=wanted.why) for each in found]
    log = library.logbook
    also = [log.entry(each.reading) for each in found if each.reading]
    kit = kit_for(log, [wanted.hung], wanted.parts, also)
    mark = cache(_marks(Inference(kit, [wanted.hung]).stands[0]))
    return [_with_mark(each, wanted, mark) for each in found]


def _with_mark(found: Found, wanted: Target, mark: Callable[[float], Now]) -> Found:
    drop_s = _drop_of(found, wanted)
    if drop_s is None:
        return found
    try:
        return found._replace(now=mark(drop_s)._replace(as_wanted=not _is_timed(found)))
    except UnreachableError as error:
        return found._replace(why=error.message)


def _is_timed(found: Found) -> bool:
    return bool(found.times_s) and found.plain


def _drop_of(found: Found, wanted: Target) -> float | None:
    """The drop time that a find stands for: as it was timed, else as it was or is wanted."""
    if _is_timed(found):
        return mean_s(found.times_s)
    return found.wanted_s or wanted.build.wanted_drop


def _marks(hanging: Hanging) -> Callable[[float], Now]:
    """Marks by the wanted drop time [s]."""
    groups = free_adjusters(hanging.tree, [], [])
    disputed = tuple(evidence_of(hanging).disputed)

    def mark(wanted_s: float) -> Now:
        lift = lift_of(hanging.tree)
        placed = place(hanging, groups, wanted_s)
        marked = placed.moves[lift]
        first, _ = first_mark(hanging, placed)
        others = tuple(move for move in placed.moves if move.free and move is not marked)
        return Now(marked, others, first.set_m, wanted_s, as_wanted=False, disputed=disputed)

    return mark
