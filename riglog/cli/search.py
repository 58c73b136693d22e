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
