"""`lens-table`: the whole lens set against one or several drop times, from one posterior."""

from __future__ import annotations

from fnmatch import fnmatchcase
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.errors import CallError, UnreachableError, listed, quoted
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung
from riglog.estimation.lineup import Lineup, line_up, reduce, tell
from riglog.jobs.common import drop_cautions, named, wanted_drop
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.exchange import Change, Lookup, exchange, part_named
from riglog.jobs.free import free_adjusters, lift_of
from riglog.jobs.lens_table_answers import LensRow, LensTableAnswer
from riglog.jobs.marks import Marks
from riglog.jobs.swap_question import ASKED, refuse_unset, whole
from riglog.library.adjusters import adjusters_of, settings_given
from riglog.library.clock import today
from riglog.library.evidence import kit_for

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.library import Library, Standing
    from riglog.records import Adjuster, Build, Setting

# Columns of a page, and of anybody's patience.
MOST_DROPS = 12


class _Set(NamedTuple):
    """The lenses in the order of the kit: how each would hang, or why it cannot."""

    lenses: list[str]
    hung: dict[str, Hung]
    why: dict[str, str]
    left_out: list[str]


def lens_table(
    library: Library,
    build: str | None,
    old: str,
    lenses: Sequence[str],
    *,
    wanted: Sequence[str] = (),
    hold: Sequence[str] = (),
    set_: Sequence[str] = (),
) -> LensTableAnswer:
    """Answer where pivot and slides go for each lens of a set and each drop time.

    Parameters
    ----------
    build
        Words for the build; None means the one in use.
    old
        The part that each of them replaces.
    lenses
        Ids or patterns such as `lens-*`.
    wanted
        Drop times; none means the build's own, else what it has where it stands.
    hold
        Adjusters that stay where they are.
    set_
        `ADJUSTER=READING`, where an adjuster stands now.

    Raises
    ------
    CallError
        If a word is wrong, or no lens can go on.
    UnreachableError
        If no lens has any of the drop times.
    """
    standing = library.standing(build)
    old = part_named(standing.build, old)
    known = adjusters_of(library, standing.build)
    given = settings_given(known, set_, library.rig(standing.build.rig).type)
    settings = {**standing.settings, **given}
    asked = _asked(library, standing.build, old, lenses, settings, known, hold)
    before = standing.hung(standing.since[:10])._replace(settings=settings)
    stands = [before, *asked.hung.values()]
    parts = sorted({standing.build.part(old).component, *asked.hung})
    inference = Inference(kit_for(library.logbook, stands, parts), stands)
    start, *ends = inference.stands
    drops = _drops(wanted, standing.build, start)
    return _answer(standing, old, asked, (start, *ends), drops, hold)


def _asked(
    library: Library,
    build: Build,
    old: str,
    words: Sequence[str],
    settings: Mapping[str, Setting],
    known: Mapping[str, Adjuster],
    hold: Sequence[str],
) -> _Set:
    component = cache(whole(library))
    fitted = build.part(old).component
    kind = component(fitted).kind
    matched = _matched(library, words)
    lenses = [name for name in matched if component(name).kind == kind]
    left_out = [name for name in matched if name not in lenses]
    if not lenses:
        raise CallError(
            f"none of {listed(left_out)} is a {kind}", hint=f"{old} is one, and so are its likes"
        )
    kept = {name: at for name, at in settings.items() if not name.startswith(f"{old}.")}
    own = {name: scale for name, scale in known.items() if not name.startswith(f"{old}.")}
    hung, why = {}, {}
    for lens in lenses:
        try:
            if lens == fitted:
                refuse_unset(known, settings, hold)
                after, at = build, dict(settings)
            else:
                after, at = _exchanged(build, old, lens, component), kept
                mine = {f"{lens}.{each.id}": each for each in component(lens).adjusters}
                refuse_unset({**own, **mine}, at, hold)
        except CallError as error:
            why[lens] = error.message
        else:
            version = f"{ASKED} {lens}"
            hung[lens] = Hung(build=after, version=version, settings=at, day=today())
    if not hung:
        raise CallError(f"no lens can go on: {next(iter(why.values()))}")
    return _Set(lenses, hung, why, left_out)


def _exchanged(build: Build, old: str, lens: str, component: Lookup) -> Build:
    return exchange(build, [Change(old, lens)], component).build


def _matched(library: Library, words: Sequence[str]) -> list[str]:
    """Components that the words fit, in the order in which they were first recorded."""
    every = library.logbook.subjects("component")
    found: set[str] = set()
    for word in words:
        if any(each in word for each in "*?["):
            fits = {name for name in every if fnmatchcase(name, word.casefold())}
            if not fits:
                raise CallError(f"no component fits {quoted(word)}", hint="riglog list components")
            found |= fits
        else:
            found.add(library.resolve("component", word))
    if not found:
        raise CallError("no lens was named", hint="say which: --with 'lens-*'")
    return library.logbook.oldest_first("component", found)


def _drops(wanted: Sequence[str], build: Build, start: Hanging) -> list[float]:
    if len(wanted) > MOST_DROPS:
        raise CallError(f"{len(wanted)} drop times are too many", hint=f"at most {MOST_DROPS}")
    return list(dict.fromkeys(wanted_drop(each, build, start) for each in wanted or (None,)))


def _answer(
    standing: Standing,
    old: str,
    asked: _Set,
    hangings: tuple[Hanging, ...],
    drops: list[float],
    hold: Sequence[str],
) -> LensTableAnswer:
    start, *ends = hangings
    lift = [lift_of(end.tree) for end in ends]
    free = [_free(end, hold) for end in ends]
    lineup = line_up(reduce(ends, free), np.array(drops))
    _refuse_unreachable(lineup, drops)
    told = Marks(lineup, tell(start.inference, ends, lineup), ends, lift)
    rows = {
        lens: LensRow(
            lens,
            on=False,
            mass_kg=float(ends[number].hangs.weight_kg),
            slides=told.slides(number),
            marks=told.marks(number),
        )
        for number, lens in enumerate(asked.hung)
    }
    fitted = standing.build.part(old).component
    evidence = evidence_of(start)
    tree = ends[0].tree
    moving = sorted({index for group in free for index in group if index != lift[0]})
    scales = {tree.adjusters[index]: tree.scales[index] for index in [lift[0], *moving]}
    return LensTableAnswer(
        named=named(standing, start),
        old=old,
        kind=start.inference.kit.components[fitted].kind,
        wanted_s=drops,
        scales=scales,
        rows=[
            (rows[lens] if lens in rows else LensRow(lens, on=False, why=asked.why[lens]))._replace(
                on=lens == fitted
            )
            for lens in asked.lenses
        ],
        left_out=asked.left_out,
        evidence=evidence,
        cautions=(
            *(("ring-sides",) if start.tree.rig.type == "ring" else ()),
            *drop_cautions(start, evidence.drops),
        ),
        warnings=doubts(evidence),
    )


def _free(end: Hanging, hold: Sequence[str]) -> list[int]:
    return [group[0] for group in free_adjusters(end.tree, (), hold) if group]


def _refuse_unreachable(lineup: Lineup, drops: Sequence[float]) -> None:
    if not np.any(lineup.reached):
        raise UnreachableError(
            f"no lens drops in {listed([f'{each:g} s' for each in drops])}",
            hint="the shortest drop of a rig is near a second: ask for a longer one",
        )
