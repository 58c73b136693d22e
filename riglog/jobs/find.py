"""`find`: the logged build and mark that fits best, and what it means for the rig as it is now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import CallError, ForkError, NotFoundError
from riglog.jobs.find_answers import Compared, FindAnswer, Found
from riglog.jobs.find_candidates import Candidate, candidates, day_of, newest
from riglog.jobs.find_question import Question, understood
from riglog.jobs.listing import Pivots
from riglog.library.standing import reading_of
from riglog.records.readings.measured import HORIZONTAL

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.library import Library, Standing
    from riglog.logbook import Entry
    from riglog.records import Build, Drop, Part

# Of a version that was found by itself, so many readings are looked at for the last drop.
_LOOKED_AT = 50


def find(
    library: Library,
    words: Sequence[str],
    *,
    with_: Sequence[str] = (),
    on: str | None = None,
    rig: str | None = None,
    tags: Sequence[str] = (),
    build: str | None = None,
    count: int = 5,
) -> FindAnswer:
    """Find logged builds and marks, nearest first: by parts in common, then by time.

    Parameters
    ----------
    words
        Each has to occur, or begin a word that does, in a reading or the build it was taken on.
    with_, rig
        Words for components and a rig that it has to have; where nothing has all of them, some.
    on
        Words for the day, or the days.
    build
        The build to compare with; None means the one in use, if there is one, or else the only one
        that fits.

    Raises
    ------
    CallError, AmbiguousError
        If a word is wrong.
    NotFoundError
        If nothing fits.
    """
    question = understood(library, words, with_, on, rig, tags, count)
    now = _standing(library, build)
    if now is None:
        fits, apart = _fitting(library, question, ())
        now = _only_one(library, fits)
        if now is None:
            return FindAnswer(_told(library, question, fits, ()), None, apart)
    # numpy, which a search with nothing to compare with does without
    from riglog.jobs.find_now import target, with_marks

    wanted = target(library, now, question.components)
    like = _things(wanted.build)
    fits, apart = _fitting(library, question, like)
    found = [
        _differing(each, fit.build, wanted.build)
        for each, fit in zip(_told(library, question, fits, like), fits, strict=False)
    ]
    rig_type = library.rig(now.build.rig).type
    compared = Compared(now.build.id, now.name, rig_type, now.build.mode, wanted.after, wanted.why)
    return FindAnswer(with_marks(library, wanted, found), compared, apart)


def _standing(library: Library, build: str | None) -> Standing | None:
    """The build to compare with; none where none is named and none can be meant."""
    try:
        return library.standing(build)
    except (CallError, ForkError):
        if build is not None:
            raise
        return None


def _only_one(library: Library, fits: Sequence[Candidate]) -> Standing | None:
    """The build as it stands now, where whatever fits is a version of one."""
    names = {each.build.id for each in fits}
    try:
        return library.standing(names.pop()) if len(names) == 1 else None
    except ForkError:
        return None


def _things(build: Build) -> tuple[str, ...]:
    return tuple(dict.fromkeys([build.rig, *(part.component for part in build.parts)]))


def _fitting(
    library: Library, question: Question, like: Sequence[str]
) -> tuple[list[Candidate], bool]:
    """What fits, nearest first, and whether nothing has all the components asked for."""
    fits = candidates(library, question, like)
    apart = not fits and len(question.components) > 1
    if apart:
        fits = list(_some(library, question))
    if not fits:
        from riglog.jobs.find_meant import meant  # only on the way to a message

        hint = meant(question) or _wider(question)
        raise NotFoundError("nothing is logged that fits", hint=hint)
    return sorted(fits, key=lambda each: _distance(each, question, like)), apart


def _some(library: Library, question: Question) -> Iterator[Candidate]:
    """What has some of the components."""
    seen = set()
    for name in question.components:
        for each in candidates(library, question._replace(components=(name,)), ()):
            if each.entry.id not in seen:
                seen.add(each.entry.id)
                yield each


def _distance(
    each: Candidate, question: Question, like: Sequence[str]
) -> tuple[int, int, int, bool, float]:
    """Parts asked for, parts in common, strange ones; whether it was read of at all; its age."""
    asked = len(each.parts.intersection(question.components))
    common = len(each.parts.intersection(like))
    strange = len(each.parts.difference(like)) if like else 0
    return -asked, -common, strange, not each.readings, -each.when


def _wider(question: Question) -> str:
    narrow = {"--on": question.days, "--tag": question.tags, "--rig": question.rigs}
    if given := [name for name, has in narrow.items() if has]:
        return f"try it without {given[0]}"
    if question.rest:
        return "each word has to occur in a reading or its build; try fewer"
    return "riglog list readings shows what was read"


def _told(
    library: Library, question: Question, fits: Sequence[Candidate], like: Sequence[str]
) -> list[Found]:
    """What is told of the nearest."""
    pivots = Pivots(library)
    found = [_found(library, each, pivots, question) for each in fits[: question.most]]
    return [
        each._replace(common=len(fit.parts.intersection(like)))
        for each, fit in zip(found, fits, strict=False)
    ]


def _found(library: Library, each: Candidate, pivots: Pivots, question: Question) -> Found:
    reading = each.readings[0] if each.readings else _last_of(library, each, question)
    bare = Found(
        build=each.build.id,
        version=library.logbook.version_of(each.entry).name,
        entry=each.entry.id,
        on=each.entry.at,
        author=each.entry.author,
        rig=each.build.rig,
        pivot=pivots.of(each.build.rig),
        mark=each.build.settings.get("pivot"),
        note=each.build.note,
        tags=each.build.tags,
        wanted_s=each.build.wanted_drop,
    )
    return bare if reading is None else _read(bare, reading)


def _read(found: Found, entry: Entry) -> Found:
    """What was read of a version, in place of what the version says of itself."""
    noun, stand = reading_of(entry)
    return found._replace(
        reading=entry.id,
        on=noun.on,
        author=entry.author,
        mark=stand.settings.get("pivot"),
        times_s=noun.to_upright if noun.kind == "drop" else (),
        plain=noun.kind == "drop" and _plain(noun),
        note=noun.note or found.note,
        tags=tuple(dict.fromkeys([*noun.tags, *found.tags])),
    )


def _plain(drop: Drop) -> bool:
    """Whether it fell from horizontal to upright and nothing pulled or pushed."""
    return drop.release == HORIZONTAL and drop.stop == 0.0 and not drop.conditions


def _last_of(library: Library, each: Candidate, question: Question) -> Entry | None:
    """The last drop of a version that was found by itself, else the last reading."""
    readings = library.logbook.readings_of(
        each.build.id, versions=(each.entry.id,), limit=_LOOKED_AT
    )
    days = question.days
    return next(iter(newest([r for r in readings if days is None or day_of(r) in days])), None)


def _differing(found: Found, then: Build, now: Build) -> Found:
    """What sets a logged build apart from the one that it is held against."""
    was, is_ = ({part.id: part for part in each.parts} for each in (then, now))
    both = [name for name in was if name in is_ and was[name].component == is_[name].component]
    moved = [name for name in both if _place(was[name], both) != _place(is_[name], both)]
    other = [name for name in ("rig", "mode") if getattr(then, name) != getattr(now, name)]
    return found._replace(
        gone=tuple(name for name in was if name not in both),
        come=tuple(name for name in is_ if name not in both),
        moved=tuple(moved),
        other=tuple(other),
    )


def _place(part: Part, both: Sequence[str]) -> tuple[object, ...]:
    """Where a part sits; on what was exchanged, the mount alone tells."""
    owner, _, mount = part.on.rpartition(".")
    return owner if owner in both else "", mount, part.offset, part.turn
