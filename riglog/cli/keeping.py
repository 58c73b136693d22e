"""Commands about the library file itself: is it sound, make it anew, copy it."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003 # typer reads the hints
from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(COMMANDS, "riglog audit", "riglog audit --against 1234-3ab12f04c0de5678")
def audit(
    ctx: Context,
    against: Annotated[
        str | None,
        Option(metavar="FINGERPRINT|BUNDLE", help="What was there once must be there still."),
    ] = None,
) -> None:
    """Check that every entry is as it was recorded.

    All damage is listed, with what still works and what to do. The fingerprint is a word for all
    entries, to be written down: later it tells whether the log was cut short or rewritten.
    """
    from riglog.jobs.audit import audit

    ctx.obj.answer(audit(ctx.obj.current, against=against))


@command(COMMANDS, "riglog rebuild")
def rebuild(ctx: Context) -> None:
    """Make everything but the entries anew from the entries.

    No entry is touched. Where the log itself is damaged, nothing is changed.
    """
    from riglog.jobs.rebuild import rebuild

    ctx.obj.answer(rebuild(ctx.obj.current))


@command(COMMANDS, "riglog backup stick/house-friday.db")
def backup(
    ctx: Context,
    file: Annotated[Path, Argument(metavar="FILE", help="A new file; none is written over.")],
) -> None:
    """Copy the library to a file, and check the copy, while others work with it."""
    from riglog.jobs.backup import backup

    ctx.obj.answer(backup(ctx.obj.current, file))
