"""Commands that look in the log and that put into it what was jotted elsewhere."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(
    COMMANDS,
    "riglog find --with lens-75 --on yesterday",
    'riglog find night car --on "last week" -n 3',
)
def find(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        Argument(metavar="[WORD]...", help="Words of a reading, its build or a component."),
    ] = None,
    with_: Annotated[
        list[str] | None,
        Option("--with", metavar="COMPONENT", help="It has to have this; may be repeated."),
    ] = None,
    on: Annotated[
        str | None,
        Option(metavar="DAY", help='yesterday, friday, "last week", 2026-03, 2026-03-14.'),
    ] = None,
    rig: Annotated[str | None, Option(metavar="RIG", help="On this rig.")] = None,
    tag: Annotated[list[str] | None, Option(metavar="TAG", help="With this tag.")] = None,
    build: Annotated[
        str | None, Option(metavar="BUILD", help="Compare with this one; else that in use.")
    ] = None,
    count: Annotated[int, Option("-n", metavar="COUNT", help="So many at most.")] = 5,
) -> None:
    """Find the logged build and mark that fits best, and its mark for now.

    Nearest first: by parts in common with the build in use, with what was asked for on it, then
    the newest. A word is found at the beginning of words too, and accents do not matter; one that
    is an exact id is that thing.
    """
    from riglog.jobs.find import find

    with ctx.obj.reading() as library:
        answer = find(
            library,
            words or [],
            with_=with_ or [],
            on=on,
            rig=rig,
            tags=tag or [],
            build=build,
            count=count,
        )
    ctx.obj.answer(answer)


@command(
    COMMANDS,
    "riglog log today.txt",
    "riglog log - a-cam --on yesterday --dry-run < jotted.txt",
)
def log(
    ctx: Context,
    file: Annotated[str, Argument(metavar="FILE", help="Lines of text; - is standard input.")],
    build: Annotated[
        str | None, Argument(metavar="[BUILD]", help="Its id, or a part of it; else that in use.")
    ] = None,
    on: Annotated[
        str | None, Option(metavar="DAY", help="The day of the lines; else today.")
    ] = None,
    dry_run: Annotated[
        bool, Option("--dry-run", help="Say how they are understood, and record nothing.")
    ] = False,
    partly: Annotated[
        bool, Option("--partly", help="Leave out lines that are not understood.")
    ] = False,
) -> None:
    """Record lines as people jot them: 14:20 lens-75 nd9 489 3.0 3.1 windy.

    A time of day; parts that are on it now (a lens takes the place of the lens; no hood, OLD=NEW
    and =NEW@MOUNT work too); the mark, and stage-side -6 for another adjuster; drop times; windy,
    tethered or rain cover, which keep a drop test out of estimates; all else is a note, with its
    numbers (take 4, leans 2 deg), and so is what stands behind note:. A line with a day alone tells
    the day of those below it. What could be two things, as a number among words that may be a drop
    time, is asked about on a terminal, and refused elsewhere. A page may be given again once it has
    grown: what was logged before is known, of a line without a time by what it says.
    """
    from riglog.cli.asking import is_meant
    from riglog.jobs.log import log
    from riglog.jobs.log_answers import PageError

    asks = None if file == "-" or ctx.obj.json else is_meant()
    with ctx.obj.trying() if dry_run else ctx.obj.writing() as library:
        try:
            answer = log(library, file, build, on=on, dry_run=dry_run, partly=partly, ask=asks)
        except PageError as error:
            ctx.obj.echo(error)
            raise
    ctx.obj.answer(answer)
