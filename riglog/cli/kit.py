"""Commands about what the library holds."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003 # typer reads the hints
from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(COMMANDS, "riglog demo")
def demo(
    ctx: Context,
    keep: Annotated[
        Path | None, Option(metavar="DIR", help="Leave the library and its documents there.")
    ] = None,
) -> None:
    """Build a small library and answer a lens swap on it."""
    from riglog.jobs.demo import demo

    ctx.obj.answer(demo(keep))


@command(COMMANDS, "riglog init", "riglog init --db kits/house.db")
def init(ctx: Context) -> None:
    """Make a library; one that is there stays as it is."""
    from riglog.jobs.init import init

    ctx.obj.answer(init(ctx.obj.path, ctx.obj.who(needed=False)))


@command(COMMANDS, "riglog add kit.yaml", "riglog add kits/*.yaml --dry-run")
def add(
    ctx: Context,
    files: Annotated[
        list[str], Argument(metavar="FILE...", help="Kit documents; - is standard input.")
    ],
    dry_run: Annotated[bool, Option("--dry-run", help="Check them, and record nothing.")] = False,
) -> None:
    """Check kit documents and record them, all or nothing."""
    from riglog.jobs.add import add

    with ctx.obj.trying() if dry_run else ctx.obj.writing() as library:
        answer = add(library, files, dry_run=dry_run)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog list builds", "riglog list tags")
def list_(
    ctx: Context,
    kind: Annotated[
        str,
        Argument(
            metavar="KIND",
            help="components, rigs, builds, readings, scales, names, tags or notes.",
        ),
    ] = "builds",
) -> None:
    """What there is of a kind: things, readings, or what was said of them."""
    from riglog.jobs.listing import list_, said_kind

    said = said_kind(kind)
    with ctx.obj.reading() as library:
        if said is None:
            answer: object = list_(library, kind)
        else:
            from riglog.jobs.listing_said import list_said

            answer = list_said(library, said)
    ctx.obj.answer(answer)


@command(
    COMMANDS, "riglog show a-cam", "riglog show a-cam@yesterday", "riglog show a-cam@2 > a-cam.yaml"
)
def show(
    ctx: Context,
    thing: Annotated[
        str | None,
        Argument(
            metavar="[ID[@VERSION]]",
            help="A component, rig or build, else that in use; or an entry, by its id.",
        ),
    ] = None,
) -> None:
    """What one thing says, as a kit document.

    After the @ stands a version's number, a day (yesterday, 2026-03-14) or the name of a state.
    """
    from riglog.jobs.show import show

    with ctx.obj.reading() as library:
        answer = show(library, thing)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog history a-cam", "riglog history a-cam -n 20")
def history(
    ctx: Context,
    thing: Annotated[
        str | None,
        Argument(
            metavar="[ID]",
            help="A component, rig or build, else that in use; or a reading, by its entry.",
        ),
    ] = None,
    count: Annotated[
        int | None, Option("-n", metavar="COUNT", min=1, help="So many of the newest.")
    ] = None,
) -> None:
    """How a thing came about: versions, readings and notes, newest first.

    What was corrected or undone stays, and says by whom.
    """
    from riglog.jobs.history import history

    with ctx.obj.reading() as library:
        answer = history(library, thing, count)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog use a-cam")
def use(
    ctx: Context,
    build: Annotated[str, Argument(metavar="BUILD", help="Its id, or a part of it.")],
) -> None:
    """Take a build in use, for commands that name none."""
    from riglog.jobs.use import use

    with ctx.obj.writing() as library:
        answer = use(library, build)
    ctx.obj.answer(answer)
