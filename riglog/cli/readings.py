"""Commands that record how a rig swings and hangs, and say what follows."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command
from riglog.errors import CallError, quoted

if TYPE_CHECKING:
    from riglog.jobs.circumstances import Circumstances

COMMANDS: Entries = {}

# An angle, or a slip in one: a figure, and letters at most behind it.
_ANGLE = re.compile(r"[-+]?[0-9.][0-9.,/ ]*[^\W\d_]*")

Build = Annotated[
    str | None, Argument(metavar="[BUILD]", help="Its id, or a part of it; else the one in use.")
]
Mark = Annotated[
    str | None, Option(metavar="READING", help="Where the pivot stands; else where it stood.")
]
Head = Annotated[
    str | None,
    Option(metavar="level|follow|locked|off", help="What a powered head does; else as before."),
]
On = Annotated[
    str | None,
    Option(metavar="WHEN", help='As "friday 14:20" or 2026-03-14T09:10; else now.'),
]
Note = Annotated[str | None, Option(metavar="TEXT", help="A word to remember.")]
Tag = Annotated[list[str] | None, Option(metavar="TAG", help="To find it by.")]
Condition = Annotated[
    list[str] | None, Option(metavar="WORD", help="tether, wind or rain-cover: kept, not used.")
]


def _said(
    build: str | None,
    mark: str | None,
    head: str | None,
    on: str | None,
    note: str | None,
    tag: list[str] | None,
    condition: list[str] | None,
) -> Circumstances:
    from riglog.jobs.circumstances import Circumstances

    return Circumstances(build, mark, head, on, note, tuple(tag or ()), tuple(condition or ()))


@command(COMMANDS, "riglog lean a-cam 2deg", "riglog lean a-cam -1deg --side 0.5deg --pan 180deg")
def lean(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        Argument(metavar="[BUILD] [ANGLE]", help="How far it leans, positive with the nose down."),
    ] = None,
    side: Annotated[
        str | None, Option(metavar="ANGLE", help="How far to the side, positive right side low.")
    ] = None,
    pan: Annotated[
        str | None, Option(metavar="ANGLE", help="Where the rig was panned to in its gimbal.")
    ] = None,
    mark: Mark = None,
    head: Head = None,
    on: On = None,
    condition: Condition = None,
    note: Note = None,
    tag: Tag = None,
) -> None:
    """Record how it hangs, and say what wants trimming.

    Read with the rig panned to 0 deg and again to 180 deg, it tells the trim of the rig, which
    turns along, from the centering of the gimbal, which does not.
    """
    from riglog.jobs.lean import LeanQuestion, lean

    words = list(words or [])
    build = words.pop(0) if words and not _ANGLE.fullmatch(words[0]) else None
    if len(words) > 1 and words[1].startswith("--"):
        message = f'{quoted(words[1])} stands behind "--", where nothing is an option'
        raise CallError(message, hint='leave out "--": an angle below zero needs none')
    if len(words) > 1:
        raise CallError(f"{quoted(words[1])} is one angle too many", hint="tell --side by its name")
    said = _said(build, mark, head, on, note, tag, condition)
    with ctx.obj.writing() as library:
        answer = lean(library, LeanQuestion(said, words[0] if words else None, side, pan))
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog swing a-cam --swings 5 --from 30deg --to 8deg --time 14s")
def swing(
    ctx: Context,
    swings: Annotated[str, Option(metavar="COUNT", help="Full swings, there and back.")],
    time: Annotated[str, Option(metavar="TIME", help="What they took, in seconds.")],
    start: Annotated[
        str, Option("--from", metavar="ANGLE", help="Where the first began, from where it hangs.")
    ],
    build: Build = None,
    end: Annotated[
        str | None, Option("--to", metavar="ANGLE", help="How far the last still swung.")
    ] = None,
    mark: Mark = None,
    head: Head = None,
    on: On = None,
    condition: Condition = None,
    note: Note = None,
    tag: Tag = None,
) -> None:
    """Record swings: they tell the drop time and, as they die away, friction.

    Let it go from an angle, count whole swings there and back, stop the watch as it turns round,
    and read how far the last still went. Angles are from where it hangs, in degrees.
    """
    from riglog.jobs.friction import SwingQuestion, swing

    said = _said(build, mark, head, on, note, tag, condition)
    with ctx.obj.writing() as library:
        answer = swing(library, SwingQuestion(said, swings, time, start, end))
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog hold a-cam --stays 4deg --falls 6deg")
def hold(
    ctx: Context,
    build: Build = None,
    stays: Annotated[
        str | None, Option(metavar="ANGLE", help="The farthest tilt at which it stays put.")
    ] = None,
    falls: Annotated[
        str | None, Option(metavar="ANGLE", help="The least tilt at which it does not.")
    ] = None,
    mark: Mark = None,
    head: Head = None,
    on: On = None,
    condition: Condition = None,
    note: Note = None,
    tag: Tag = None,
) -> None:
    """Record how far it can be tilted and stays put: that tells friction.

    Tilt it a little, let go without a push, and go on until it does not stay. Angles are from where
    it hangs, in degrees. It tells most near neutral, at long drop times.
    """
    from riglog.jobs.friction import HoldQuestion, hold

    said = _said(build, mark, head, on, note, tag, condition)
    with ctx.obj.writing() as library:
        answer = hold(library, HoldQuestion(said, stays, falls))
    ctx.obj.answer(answer)
