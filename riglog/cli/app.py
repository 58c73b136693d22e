"""The program as a whole, and what stands before a command."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from typer import Exit, Option, Typer
from typer.main import get_command

from riglog.cli import output
from riglog.cli.commands import MODULES, command, commands
from riglog.cli.group import Group, add_commands

if TYPE_CHECKING:
    from collections.abc import Sequence


def _version(wanted: bool) -> None:
    if wanted:
        from riglog import __version__

        output.say(f"riglog {__version__}")
        raise Exit


def riglog(
    version: Annotated[
        bool,
        Option("--version", help="Say which version this is.", callback=_version, is_eager=True),
    ] = False,
) -> None:
    """Where do pivot, stage and battery go now? A logbook for rigs that hang from a pivot.

    \b
    Example:
      riglog drop a-cam 3.1 3.0 3.2 --mark 487mm --want 3s
      riglog swap a-cam lens-35=lens-75 --drop 3s

    Quantities take their unit, as 487mm, 18 3/8in or 3.1s; bare figures are seconds, or what the
    rig's scale is engraved in. Exit status: 0 done, 2 the words are wrong, 3 there is no answer,
    4 the library cannot be used, 5 busy, try again.
    """  # noqa: D301 # \b keeps the lines below it as they are


def program(words: Sequence[str]) -> Group:
    """The program, ready to be run: with one command if the words begin with it, else with all."""
    app = Typer(
        cls=Group,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    )
    app.callback()(riglog)
    called = [command(word) for word in words[:1] if word in MODULES]
    add_commands(app, called or commands().values())
    group = get_command(app)
    assert isinstance(group, Group)
    group.known = MODULES
    return group
