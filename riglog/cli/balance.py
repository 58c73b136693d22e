"""Commands that balance a rig and choose for the shot."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}

Build = Annotated[
    str | None, Argument(metavar="[BUILD]", help="Its id, or BUILD@VERSION; else the one in use.")
]


@command(
    COMMANDS,
    "riglog lens-table a-cam --swap lens-35 --with 'lens-*' --drop 3s --drop 5s",
    "riglog lens-table a-cam --swap lens-35 --with 'lens-*' --csv",
)
def lens_table(
    ctx: Context,
    old: Annotated[str, Option("--swap", metavar="OLD", help="The part that each one replaces.")],
    lenses: Annotated[
        list[str], Option("--with", metavar="ID|PATTERN", help="What goes on, such as 'lens-*'.")
    ],
    build: Build = None,
    drop: Annotated[
        list[str] | None, Option(metavar="TIME", help="Drop times wanted; else the build's own.")
    ] = None,
    hold: Annotated[
        list[str] | None, Option(metavar="ADJUSTER", help="Leave this one where it is.")
    ] = None,
    set_: Annotated[
        list[str] | None,
        Option("--set", metavar="ADJUSTER=READING", help="Where it stands now, if moved since."),
    ] = None,
    csv: Annotated[
        bool, Option("--csv", help="Answer as comma-separated values, for a spreadsheet.")
    ] = False,
) -> None:
    """Where everything goes for each lens of a set, on one page.

    Options that are lists may be repeated. The lenses stand in the order of the kit.
    """
    from riglog.jobs.lens_table import lens_table

    with ctx.obj.reading() as library:
        answer = lens_table(
            library, build, old, lenses, wanted=drop or [], hold=hold or [], set_=set_ or []
        )
    ctx.obj.answer(answer, as_table=csv)


@command(
    COMMANDS,
    "riglog shot a-cam --from 80deg --to 0deg --over 6s",
    "riglog shot a-cam --walk 1.4m/s --accel 1.5m/s2 --for 3s --lean 10deg",
)
def shot(
    ctx: Context,
    build: Build = None,
    from_: Annotated[
        str | None, Option("--from", metavar="ANGLE", help="Tilt that the move begins at.")
    ] = None,
    to: Annotated[str | None, Option(metavar="ANGLE", help="Tilt that it ends at.")] = None,
    over: Annotated[str | None, Option(metavar="TIME", help="How long it takes.")] = None,
    grip: Annotated[
        str | None, Option(metavar="LENGTH", help="From the pivot to the hand; else 250mm.")
    ] = None,
    walk: Annotated[
        str | None, Option(metavar="SPEED", help="Of a start or stop; else 1.4m/s.")
    ] = None,
    accel: Annotated[
        str | None, Option(metavar="ACCELERATION", help="One that holds, as 1.5m/s2.")
    ] = None,
    for_: Annotated[str | None, Option("--for", metavar="TIME", help="How long it holds.")] = None,
    lean: Annotated[
        str | None, Option(metavar="ANGLE", help="Hang it at this lean, + nose down.")
    ] = None,
    drop: Annotated[
        list[str] | None, Option(metavar="TIME", help="Drop times to show; else 1.5 to 8 s.")
    ] = None,
    plot: Annotated[
        bool | None, Option("--plot/--no-plot", help="Draw it; else on a terminal only.")
    ] = None,
) -> None:
    """What each drop time means for the shot, and which to take.

    Force to hold a tilt, time to fall hands off, how far a start swings it, and what one step of
    the pivot does.
    """
    from riglog.jobs.shot import shot
    from riglog.jobs.shot_question import ShotQuestion

    question = ShotQuestion(from_, to, over, grip, walk, accel, for_, lean, tuple(drop or ()))
    with ctx.obj.reading() as library:
        answer = shot(library, build, question)
    ctx.obj.plotted(answer, wanted=plot)


@command(COMMANDS, "riglog sensitivity a-cam")
def sensitivity(
    ctx: Context,
    build: Build = None,
    drop: Annotated[
        str | None, Option(metavar="TIME", help="About this drop time; else the build's own.")
    ] = None,
) -> None:
    """What 100 g here or there does, and what small things do."""
    from riglog.jobs.sensitivity import sensitivity

    with ctx.obj.reading() as library:
        answer = sensitivity(library, build, drop)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog trim a-cam", "riglog trim a-cam --drop 3s --pan 20rpm --hold base")
def trim(
    ctx: Context,
    build: Build = None,
    drop: Annotated[
        str | None, Option(metavar="TIME", help="Drop time wanted; else the build's own.")
    ] = None,
    pan: Annotated[
        str | None, Option(metavar="RATE", help="Tell the lean in a pan at this rate, as 20rpm.")
    ] = None,
    hold: Annotated[
        list[str] | None, Option(metavar="ADJUSTER", help="Leave this one where it is.")
    ] = None,
    set_: Annotated[
        list[str] | None,
        Option("--set", metavar="ADJUSTER=READING", help="Where it stands now, if moved since."),
    ] = None,
) -> None:
    """The moves that hang it upright and keep a pan level.

    The fewest moves that do it, within all travels; then trim again and drop again.
    """
    from riglog.jobs.trim import trim_build

    with ctx.obj.reading() as library:
        answer = trim_build(library, build, wanted=drop, pan=pan, hold=hold or [], set_=set_ or [])
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog spin a-cam --lens-end dips --turns 3 --in 7s")
def spin(
    ctx: Context,
    lens_end: Annotated[
        str, Option(metavar="dips|rises|flat", help="What the lens end did in a steady pan.")
    ],
    turns: Annotated[str, Option(metavar="NUMBER", help="How many turns it made.")],
    time: Annotated[str, Option("--in", metavar="TIME", help="How long they took.")],
    build: Build = None,
    mark: Annotated[
        str | None, Option(metavar="READING", help="Where the pivot stands; else where it stood.")
    ] = None,
    on: Annotated[
        str | None,
        Option(metavar="WHEN", help='As "friday 14:20" or 2026-03-14T09:10; else now.'),
    ] = None,
    note: Annotated[str | None, Option(metavar="TEXT", help="A word to remember.")] = None,
) -> None:
    """Record a pan in words: what the lens end did.

    It tells how the principal axis is tilted, which trim then takes out.
    """
    from riglog.jobs.spin import SpinQuestion, spin

    question = SpinQuestion(
        build=build, lens_end=lens_end, turns=turns, time=time, mark=mark, on=on, note=note
    )
    with ctx.obj.writing() as library:
        answer = spin(library, question)
    ctx.obj.answer(answer)
