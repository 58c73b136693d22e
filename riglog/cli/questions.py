"""Commands about the balance: where things go, what is to be expected, what a drop test says."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

if TYPE_CHECKING:
    from riglog.jobs.swap_answers import SwapAnswer

COMMANDS: Entries = {}

# A time, or a slip in one: a figure, and letters at most behind it.
_TIME = re.compile(r"[-+]?[0-9.][0-9.,/ ]*[^\W\d_]*")

Build = Annotated[
    str | None, Argument(metavar="[BUILD]", help="Its id, or BUILD@VERSION; else the one in use.")
]


@command(
    COMMANDS,
    "riglog swap a-cam lens-35=lens-75 --drop 3s",
    "riglog swap a-cam lens-35=lens-75 block-battery= =monitor-7@base",
    "riglog swap a-cam --mode low --by body-north=top --turn screen=180deg",
    "riglog swap a-cam --drop 5s",
)
def swap(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        Argument(metavar="[BUILD] [OLD=NEW]...", help="What comes off, and what goes on instead."),
    ] = None,
    drop: Annotated[
        str | None, Option(metavar="TIME", help="Drop time wanted; else the build's own.")
    ] = None,
    free: Annotated[
        list[str] | None, Option(metavar="ADJUSTER", help="Let this one move too.")
    ] = None,
    hold: Annotated[
        list[str] | None, Option(metavar="ADJUSTER", help="Leave this one where it is.")
    ] = None,
    set_: Annotated[
        list[str] | None,
        Option("--set", metavar="ADJUSTER=READING", help="Where it stands now, if moved since."),
    ] = None,
    head: Annotated[
        str | None,
        Option(metavar="level|follow|locked|off", help="What a powered head does; else as before."),
    ] = None,
    not_rebalanced: Annotated[
        bool,
        Option("--not-rebalanced", help="What sits on a powered head is not balanced on it anew."),
    ] = False,
    state: Annotated[
        list[str] | None,
        Option(metavar="PART=STATE", help="As zoom=long; zoom=wide..long is the middle."),
    ] = None,
    mode: Annotated[
        str | None, Option(metavar="high|low", help="Turn the rig over to this mode.")
    ] = None,
    by: Annotated[
        list[str] | None,
        Option(metavar="PART=MOUNT", help="Then this hangs by its mount; by its base: PART=."),
    ] = None,
    turn: Annotated[
        list[str] | None,
        Option(metavar="PART=ANGLE", help="Then this is turned by so much more, where it sits."),
    ] = None,
    keep: Annotated[
        list[str] | None, Option(metavar="PART", help="Then this stays on the rig as it is.")
    ] = None,
    save: Annotated[str | None, Option(metavar="ID", help="Record the result as a build.")] = None,
) -> None:
    """Where does everything go after a swap, or for another drop time.

    OLD=NEW puts NEW where OLD sits; OLD=NEW@MOUNT puts it on that mount, =NEW@MOUNT adds it, OLD=
    takes OLD off. Without BUILD the one in use is meant. With --mode the rig is turned over, with
    or without a swap; of each camera and monitor on it, --by, --turn or --keep says what becomes
    of it, and on a terminal the program asks. Nothing is recorded without --save: save the swap
    once it is made and before its drop, which else counts for the build as it was.
    """
    from riglog.cli.asking import until_said
    from riglog.jobs.swap import swap
    from riglog.jobs.swap_words import Conversion

    words = words or []
    build = words[0] if words and "=" not in words[0] else None
    changes = words if build is None else words[1:]

    def answer(conversion: Conversion) -> SwapAnswer:
        with ctx.obj.writing() if save else ctx.obj.reading() as library:
            return swap(
                library,
                build,
                changes,
                wanted=drop,
                free=free or [],
                hold=hold or [],
                set_=set_ or [],
                save=save,
                head=head,
                rebalanced=not not_rebalanced,
                conversion=conversion,
                states=state or [],
            )

    conversion = Conversion(mode, by or (), turn or (), keep or ())
    ctx.obj.answer(until_said(answer, conversion, as_json=ctx.obj.json))


@command(
    COMMANDS,
    "riglog drop a-cam 3.1 3.0 3.2 --mark 487mm --want 3s",
    "riglog drop a-cam --mark 487mm --live",
    "riglog drop a-cam --frames 74,75 --fps 24000/1001",
    "riglog drop a-cam --trace phone.csv",
    "riglog drop a-cam --timecode '01:00:10;05-01:00:13;07' --fps 29.97",
    "riglog drop hand-ring 1.6 1.5 --mark 212mm,213mm",
)
def drop(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        Argument(metavar="[BUILD] TIME...", help="Drop times at one mark, in seconds."),
    ] = None,
    mark: Annotated[
        str | None,
        Option(metavar="READING", help="Where the pivot stands, or a ring's two: 212mm,213mm."),
    ] = None,
    set_: Annotated[
        list[str] | None,
        Option("--set", metavar="ADJUSTER=READING", help="Where another one stands."),
    ] = None,
    want: Annotated[
        str | None, Option(metavar="TIME", help="Drop time to move to; else the build's own.")
    ] = None,
    method: Annotated[
        str | None, Option(metavar="METHOD", help="counted, stopwatch, clip or sensor.")
    ] = None,
    nose: Annotated[
        str | None, Option("--from", metavar="up|down", help="Which way the nose pointed.")
    ] = None,
    fps: Annotated[str | None, Option(metavar="RATE", help="Frame rate of the clip.")] = None,
    frames: Annotated[
        list[str] | None, Option(metavar="COUNT", help="Frames of a clip, release to upright.")
    ] = None,
    timecode: Annotated[
        list[str] | None, Option(metavar="IN-OUT", help="Time code of release and upright.")
    ] = None,
    timed_to: Annotated[
        str | None,
        Option(metavar="upright|far-side", help="Where the watch stops; asked once, and kept."),
    ] = None,
    live: Annotated[
        bool, Option("--live", help="Time it here: a key at release, a key at upright; q ends.")
    ] = False,
    trace: Annotated[
        str | None, Option(metavar="FILE", help="What a phone on the rig logged, as CSV.")
    ] = None,
    columns: Annotated[
        str | None, Option(metavar="t=A,angle=B", help="Columns of the trace, by name.")
    ] = None,
    units: Annotated[
        str | None, Option(metavar="t=s,angle=deg", help="Units of the trace.")
    ] = None,
    upright: Annotated[
        str | None, Option(metavar="ANGLE", help="What the trace shows upright; else 0deg.")
    ] = None,
    release: Annotated[
        str | None, Option(metavar="ANGLE", help="Let go at this angle from upright; else 90deg.")
    ] = None,
    head: Annotated[
        str | None,
        Option(metavar="level|follow|locked|off", help="What a powered head does; else as before."),
    ] = None,
    on: Annotated[
        str | None,
        Option(metavar="WHEN", help='As "friday 14:20" or 2026-03-14T09:10; else now.'),
    ] = None,
    condition: Annotated[
        list[str] | None, Option(metavar="WORD", help="tether, wind or rain-cover: kept, not used.")
    ] = None,
    note: Annotated[str | None, Option(metavar="TEXT", help="A word to remember.")] = None,
    tag: Annotated[list[str] | None, Option(metavar="TAG", help="To find it by.")] = None,
    type_: Annotated[
        str | None, Option("--type", metavar="post|ring", help="Of a rig not listed yet.")
    ] = None,
) -> None:
    """Record a drop test and answer with the fine move.

    A name that is new begins a rig of which nothing is listed, and a library where there is none.
    Without BUILD the one in use is meant. A ring's pivots may stand at two readings, the one on the
    left in high mode first: 212mm,213mm or 212/213, in inches 3in,3 1/8in. Without --mark the
    pivot is where it stood.
    """
    from riglog.cli.asking import where_stopped
    from riglog.jobs.drop import drop
    from riglog.jobs.questions import DropQuestion

    words = words or []
    build = words[0] if words and not _TIME.fullmatch(words[0]) else None
    question = DropQuestion(
        build=build,
        times=tuple(words if build is None else words[1:]),
        frames=tuple(frames or ()),
        timecodes=tuple(timecode or ()),
        trace=trace,
        columns=columns,
        units=units,
        upright=upright,
        timed_to=timed_to,
        live=live,
        mark=mark,
        want=want,
        method=method,
        nose=nose,
        fps=fps,
        note=note,
        conditions=tuple(condition or ()),
        tags=tuple(tag or ()),
        on=on,
        type=type_,
        release=release,
        head=head,
        set_=tuple(set_ or ()),
    )
    with ctx.obj.starting() if build else ctx.obj.writing() as library:
        if live:
            from riglog.cli.live import timed
            from riglog.jobs.drop_question import to_be_timed

            to_be_timed(library, question)
            question = question._replace(times=timed())
        answer = drop(library, question, where_stopped(as_json=ctx.obj.json))
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog predict a-cam", "riglog predict a-cam --mark 490mm")
def predict(
    ctx: Context,
    build: Build = None,
    mark: Annotated[
        str | None, Option(metavar="READING", help="With the pivot there; else where it stands.")
    ] = None,
    head: Annotated[
        str | None,
        Option(metavar="level|follow|locked|off", help="What a powered head does; else as before."),
    ] = None,
    state: Annotated[
        list[str] | None,
        Option(metavar="PART=STATE", help="As zoom=long; zoom=wide..long is the middle."),
    ] = None,
    plot: Annotated[
        bool | None, Option("--plot/--no-plot", help="Draw it; else on a terminal only.")
    ] = None,
) -> None:
    """Drop time, lean, weight and margin of a build where it stands."""
    from riglog.jobs.predict import predict

    with ctx.obj.reading() as library:
        answer = predict(library, build, mark, head, state or [])
    ctx.obj.plotted(answer, wanted=plot)


@command(
    COMMANDS,
    "riglog neutral 487mm=3.0 495mm=1.8 --want 5s",
    "riglog neutral 120mm=1.9 128mm=1.4 --guides-lean 25deg",
)
def neutral(
    ctx: Context,
    marks: Annotated[
        list[str], Argument(metavar="MARK=TIME...", help="Drop times at two marks or more.")
    ],
    want: Annotated[
        str | None, Option(metavar="TIME", help="Drop time to find the mark of.")
    ] = None,
    guides_lean: Annotated[
        str | None, Option(metavar="ANGLE", help="By how much the post or guides lean; else 0deg.")
    ] = None,
) -> None:
    """Neutral, and any drop time's mark, from drop times alone.

    It takes no library and no weights. Repeats at one mark: 487mm=3.1,3.0,3.2. On guides that lean
    the pivot rises by less than its scale says, and so their lean has to be told here; and the rig
    has to be in trim at each mark. On guides that lie fore and aft no mark tells neutral.
    """
    from riglog.jobs.neutral import neutral

    ctx.obj.answer(neutral(marks, want, guides_lean))
