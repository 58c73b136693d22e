"""The words of a drop test, understood: whose, at which mark, what times, and what is wanted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, get_args

from riglog.errors import CallError, NotFoundError, listed, nearest, quoted
from riglog.estimation.kit import Hung
from riglog.estimation.tree import reading_m
from riglog.library import Standing
from riglog.library.adjusters import adjusters_of, checked_setting
from riglog.library.clock import doubt, instant
from riglog.logbook.entry import now
from riglog.records import Adjuster, Build, Drop, Rig
from riglog.records.limits import is_id
from riglog.records.reading import HORIZONTAL, Method
from riglog.units import RADIAN, SECOND, parse_loose

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.jobs.questions import DropQuestion
    from riglog.library import Library

LONGEST_S = 60.0
MOST_FPS = 100_000


@dataclass(frozen=True, slots=True)
class Test:
    """A drop test in nouns.

    ``started`` says that its rig was unknown and has just been begun. ``marked`` says whether the
    call told the mark; else it is where the pivot was left.
    """

    standing: Standing
    reading: Drop
    hung: Hung
    mark_m: float | None
    marked: bool
    wanted_s: float | None
    started: bool
    doubtful_date: bool


def understood(library: Library, question: DropQuestion) -> Test:
    """The drop test that the words mean; on an unknown name, its rig is recorded first.

    Raises
    ------
    CallError
        If a word is wrong; then nothing is recorded.
    """
    times = tuple(_seconds(text) for text in question.times)
    if not times:
        raise CallError("no drop time was given", hint="add the seconds, such as 3.1 3.0 3.2")
    wanted = None if question.want is None else _seconds(question.want)
    on = now() if question.on is None else instant(question.on)
    release = HORIZONTAL if question.release is None else _release(question.release)
    drop = Drop(
        build=question.build or "", on=on, times=times,
        method=_method(question.method or "stopwatch"),
        nose=_nose(question.nose), fps=_fps(question.fps), release=release,
        note=question.note or "", tags=tuple(question.tags),
    )  # fmt: skip
    standing, started = _standing(library, question)
    known = adjusters_of(library, standing.build)["pivot"]
    marked = question.mark is not None
    settings = {"pivot": checked_setting(known, "pivot", question.mark)} if question.mark else {}
    hung = standing.hung(on[:10])
    hung = replace(hung, settings={**hung.settings, **settings})
    stands = hung.settings.get("pivot")
    return Test(
        standing,
        replace(drop, build=standing.build.id, settings=settings),
        hung,
        None if stands is None else reading_m(stands),
        marked,
        wanted or standing.build.wanted_drop,
        started,
        doubt(on, now()) is not None,
    )


def _standing(library: Library, question: DropQuestion) -> tuple[Standing, bool]:
    """Where the named build stands; a rig with nothing listed where the name is new."""
    name = question.build
    try:
        return library.standing(name), False
    except NotFoundError as error:
        if name is None or "@" in name:
            raise
        _refuse_slip(library, name, question.type, error)
    build = start_rig(library, name, question.type or "post")
    return library.standing(build.id), True


def _refuse_slip(library: Library, name: str, rig_type: str | None, error: NotFoundError) -> None:
    """A name that is nearly one in the library is more likely a slip than a new rig."""
    if not is_id(name):
        raise CallError(
            f"{quoted(name)} is no name for a rig", hint="write it like a-cam: a to z, 0 to 9, -"
        ) from error
    near = nearest(name, library.logbook.subjects("build"))
    if near and rig_type is None:
        raise NotFoundError(
            f"there is no build {quoted(name)}",
            hint=f"did you mean {near}? to start a rig of that name, add --type post",
        ) from error


def start_rig(library: Library, name: str, rig_type: str) -> Build:
    """Record a rig of which nothing is known but that it hangs from a pivot.

    Raises
    ------
    CallError
        If the type is none.
    """
    if rig_type not in {"post", "ring"}:
        raise CallError(f"{quoted(rig_type)} is no type of rig", hint="post or ring")
    kind: Literal["post", "ring"] = "post" if rig_type == "post" else "ring"
    rig = Rig(id=f"{name}-rig", type=kind, adjusters=(Adjuster(id="pivot", axis="z"),))
    build = Build(id=name, rig=rig.id)
    library.record(rig, build)
    return build


def _seconds(text: str) -> float:
    seconds = parse_loose(text, SECOND, "s")
    if not 0 < seconds <= LONGEST_S:
        raise CallError(
            f"{quoted(text)} is no drop time",
            hint=f"a drop takes more than 0 and at most {LONGEST_S:.0f} s",
        )
    return seconds


def _release(text: str) -> float:
    angle = parse_loose(text, RADIAN, "deg")
    if not 0 < angle < 2 * HORIZONTAL:
        raise CallError(f"{quoted(text)} is no angle to release from", hint="such as 30 deg")
    return angle


def _method(text: str) -> Method:
    for method in get_args(Method):
        if text == method:
            return method  # type: ignore[no-any-return]  # one of the literals
    raise _unlisted(text, "way of timing", get_args(Method))


def _fps(text: str | None) -> float | None:
    """Frames a second, also as a fraction like 24000/1001."""
    if text is None:
        return None
    try:
        rate = float(Fraction(text))
    except (ValueError, ZeroDivisionError):
        rate = 0.0
    if not 1 <= rate <= MOST_FPS:
        raise CallError(f"{quoted(text)} is no frame rate", hint="such as 25 or 24000/1001")
    return rate


def _nose(text: str | None) -> Literal["up", "down"] | None:
    if text is None:
        return None
    if text == "up":
        return "up"
    if text == "down":
        return "down"
    raise _unlisted(text, "way for the nose to point", ("up", "down"))


def _unlisted(text: str, what: str, choices: Iterable[str]) -> CallError:
    return CallError(f"{quoted(text)} is no {what}", hint=f"it is {listed(choices, 'or')}")
