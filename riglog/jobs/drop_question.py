"""The words of a drop test, understood: whose, at which mark, what times, and what is wanted."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeVar

from riglog.errors import CallError, NotFoundError, nearest, quoted
from riglog.estimation.planting import reading_m
from riglog.jobs.circumstances import conditions_of, note_of, tags_of
from riglog.jobs.habit import told_to
from riglog.jobs.heads import head_named, with_head
from riglog.jobs.timing import Timing, angle, seconds, timing
from riglog.library import Standing
from riglog.library.adjusters import adjusters_of, checked_mark, settings_given
from riglog.library.clock import instant
from riglog.logbook.entry import now
from riglog.records import Adjuster, Build, Drop, Rig, Setting
from riglog.records.limits import is_id
from riglog.records.readings.measured import HORIZONTAL

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from riglog.estimation.kit import Hung
    from riglog.jobs.questions import DropQuestion
    from riglog.library import Library
    from riglog.records.habit import Habit


class Test(NamedTuple):
    """A drop test in nouns.

    ``start`` holds the rig and the build that it begins, of an unknown name, and is empty
    otherwise. ``marked`` says whether the call told the mark; else it is where the pivot was left.
    """

    standing: Standing
    reading: Drop
    hung: Hung
    mark_m: float | None
    marked: bool
    wanted_s: float | None
    asked: bool
    start: tuple[Rig, Build] | tuple[()]
    taken: Timing
    habit: Habit | None

    @property
    def version(self) -> str | None:
        """Name of the version that is meant; the newest of a build that is only begun."""
        return None if self.start else self.standing.name


def understood(
    library: Library, question: DropQuestion, ask: Callable[[], str | None] | None = None
) -> Test:
    """The drop test that the words mean. Records nothing.

    ``ask`` asks a person where the watch was stopped, if nobody said and it was never asked.

    Raises
    ------
    CallError
        If a word is wrong.
    NotFoundError
        If a name is most likely a slip.
    """
    taken = timing(question)
    wanted = None if question.want is None else seconds(question.want)
    on = now() if question.on is None else instant(question.on)
    timed_to, habit = told_to(library, question, taken.method, ask)
    release = HORIZONTAL if question.release is None else angle(question.release)
    drop = Drop(
        build=question.build or "", on=on, times=taken.times, method=taken.method,
        nose=_nose(question.nose), fps=taken.fps, sd=taken.sd,
        timed_to=timed_to,
        release=release if taken.release is None else taken.release,
        conditions=conditions_of(question.conditions), note=note_of(question.note),
        tags=tags_of(question.tags),
        head=head_named(question.head),
    )  # fmt: skip
    standing, start = _standing(library, question, on)
    drop = replace(drop, build=standing.build.id)
    if question.build and "@" in question.build:
        drop = _put_back(library, standing, drop)
    settings = _settings(library, standing, start, question)
    hung = with_head(standing.hung(on[:10]), drop.head)
    hung = hung._replace(settings={**hung.settings, **settings})
    stands = hung.settings.get("pivot")
    return Test(
        standing,
        replace(drop, settings={**drop.settings, **settings}),
        hung,
        None if stands is None else reading_m(stands),
        "pivot" in settings,
        wanted or standing.build.wanted_drop,
        wanted is not None,
        start,
        taken,
        habit,
    )


V = TypeVar("V")


def to_be_timed(library: Library, question: DropQuestion) -> None:
    """Refuse what is wrong with a question before somebody times its drops.

    Raises
    ------
    CallError, NotFoundError
        As ``understood``; also if it tells times already.
    """
    if question.times or question.frames or question.timecodes or question.trace:
        raise CallError("--live times the drops, and times are told too", hint="keep one of them")
    understood(library, question._replace(times=("1s",)))


Start = tuple[Rig, Build] | tuple[()]


def _standing(library: Library, question: DropQuestion, on: str) -> tuple[Standing, Start]:
    """Where the named build stood; where the name is new, a rig with nothing listed on it."""
    name = question.build
    try:
        return library.standing(name, on), ()
    except NotFoundError as error:
        if name is None or "@" in name:
            raise
        _refuse_slip(library, name, question.type, error)
    start = new_rig(name, question.type or "post")
    for noun in start:
        _refuse_known(library, noun.id)
    empty = Standing(start[1], "", 1, "1", settings={}, states={}, head=None, since=on)
    return empty, start


def _put_back(library: Library, standing: Standing, drop: Drop) -> Drop:
    """A drop of a former state, with what differs from where the rig stood since."""
    since = library.standing(f"{standing.build.id}@{standing.name}", drop.on)
    states, head = standing.states, standing.head
    return replace(
        drop,
        settings=_differing(standing.settings, since.settings),
        states=_differing(states, since.states),
        head=head if head != since.head else drop.head,
    )


def _differing(one: Mapping[str, V], other: Mapping[str, V]) -> dict[str, V]:
    return {name: value for name, value in one.items() if other.get(name) != value}


def _refuse_slip(library: Library, name: str, rig_type: str | None, error: NotFoundError) -> None:
    """A name that is nearly one in the library is more likely a slip than a new rig."""
    if not (is_id(name) and is_id(rig_name(name))):
        raise CallError(
            f"{quoted(name)} is no name for a rig", hint="write it like a-cam: a to z, 0 to 9, -"
        ) from error
    near = nearest(name, library.logbook.subjects("build"))
    if near and rig_type is None:
        raise NotFoundError(
            f"there is no build {quoted(name)}",
            hint=f"did you mean {near}? to start a rig of that name, add --type post",
        ) from error


def _refuse_known(library: Library, name: str) -> None:
    kind = library.logbook.kind_of(name)
    if kind is not None:
        raise CallError(f"{name} is a {kind} already", hint="start the rig under another name")


def rig_name(build: str) -> str:
    """What the rig of a build is called that was begun by a drop test."""
    return f"{build}-rig"


def new_rig(name: str, rig_type: str) -> tuple[Rig, Build]:
    """A rig of which nothing is known but that it hangs from a pivot, and its build.

    Raises
    ------
    CallError
        If the type is none.
    """
    if rig_type not in {"post", "ring"}:
        raise CallError(f"{quoted(rig_type)} is no type of rig", hint="it is post or ring")
    kind: Literal["post", "ring"] = "post" if rig_type == "post" else "ring"
    rig = Rig(id=rig_name(name), type=kind, adjusters=(Adjuster(id="pivot", axis="z"),))
    return rig, Build(id=name, rig=rig.id)


def _settings(
    library: Library, standing: Standing, start: Start, question: DropQuestion
) -> dict[str, Setting]:
    """Where adjusters stand that the question tells of."""
    rig = start[0] if start else library.rig(standing.build.rig)
    settings: dict[str, Setting] = {}
    if question.set_:
        known = {"pivot": rig.adjuster("pivot")}
        known |= {} if start else adjusters_of(library, standing.build)
        settings = settings_given(known, question.set_, rig.type)
    if question.mark is None:
        return settings
    if "pivot" in settings:
        raise CallError("pivot is set twice", hint="keep one of --mark and --set pivot")
    return {"pivot": checked_mark(rig.adjuster("pivot"), question.mark, rig.type), **settings}


def _nose(text: str | None) -> Literal["up", "down"] | None:
    if text is None:
        return None
    if text == "up":
        return "up"
    if text == "down":
        return "down"
    raise CallError(f"{quoted(text)} is no way for the nose to point", hint="it is up or down")
