"""Commands about versions: what differs between two, and who said what."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(
    COMMANDS,
    "riglog diff a-cam@1 a-cam@3",
    "riglog diff a-cam@yesterday",
    "riglog diff a-cam b-cam",
    "riglog diff",
)
def diff(
    ctx: Context,
    one: Annotated[
        str | None,
        Argument(metavar="[ID[@VERSION]]", help="The first version, or build; else that in use."),
    ] = None,
    other: Annotated[
        str | None,
        Argument(metavar="[ID[@VERSION]]", help="The second; @VERSION for another of the first."),
    ] = None,
) -> None:
    """What differs between two versions or builds, and what that does.

    Each difference is told with what it does alone to weight, center of gravity, lean, drop time
    and mark, the largest first. Without a second word, a version is held against the newest, and
    the newest against the one before it.
    """
    from riglog.jobs.diff import diff

    with ctx.obj.reading() as library:
        answer = diff(library, one, other)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog who lens-35 mass", "riglog who a-cam pivot", "riglog who lens-35")
def who(
    ctx: Context,
    thing: Annotated[
        str, Argument(metavar="ID[@VERSION]", help="A thing; or a reading, by its entry.")
    ],
    field: Annotated[
        str | None, Argument(metavar="[FIELD]", help="As documents call it; else all of them.")
    ] = None,
) -> None:
    """Who set a field, when, by which scale or source, and what came before."""
    from riglog.jobs.who import who

    with ctx.obj.reading() as library:
        answer = who(library, thing, field)
    ctx.obj.answer(answer)
