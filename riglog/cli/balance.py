"""Commands that balance a rig and choose for the shot."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}

Build = Annotated[
    str | None, Argument(metavar="[BUILD]", help="Its id, or a part of it; else the one in use.")
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
