"""Commands that hold what was logged against what was to be expected."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(COMMANDS, "riglog check a-cam", "riglog check a-cam@2")
def check(
    ctx: Context,
    build: Annotated[
        str | None,
        Argument(metavar="[BUILD[@VERSION]]", help="Its id, or a part of it; else the one in use."),
    ] = None,
) -> None:
    """Logged against predicted: every reading of a build, and which stand out.

    Each is held against what was known before it was logged, and against all other readings.
    """
    from riglog.jobs.check import check

    with ctx.obj.reading() as library:
        answer = check(library, build)
    ctx.obj.answer(answer)
