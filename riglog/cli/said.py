"""Commands about what is said of things: notes, tags, names, and taking back."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}

_ANYTHING = "ID, ID@VERSION, or the start of an entry's id."


@command(
    COMMANDS,
    'riglog note a-cam "wobbles above 5 s"',
    "riglog note a-cam@2 base plate was loose",
    "riglog note 1a2b3c4d wrong clip",
)
def note(
    ctx: Context,
    thing: Annotated[str, Argument(metavar="WHAT", help=_ANYTHING)],
    words: Annotated[list[str], Argument(metavar="TEXT...", help="What to remember.")],
) -> None:
    """Note something on a component, rig, build, version, reading or entry."""
    from riglog.jobs.note import note

    with ctx.obj.writing() as library:
        answer = note(library, thing, words)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog tag a-cam night rain", "riglog tag a-cam rain --remove")
def tag(
    ctx: Context,
    thing: Annotated[str, Argument(metavar="WHAT", help=_ANYTHING)],
    words: Annotated[list[str], Argument(metavar="TAG...", help="Words to find it by.")],
    remove: Annotated[bool, Option("--remove", help="Take them off.")] = False,
) -> None:
    """Put tags on anything, or take them off."""
    from riglog.jobs.tag import tag

    with ctx.obj.writing() as library:
        answer = tag(library, thing, words, remove=remove)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog name a-cam night-wide", "riglog name a-cam@yesterday before-rain")
def name(
    ctx: Context,
    version: Annotated[
        str, Argument(metavar="ID[@VERSION]", help="A build as it stands, or any version.")
    ],
    called: Annotated[str, Argument(metavar="NAME", help="Small letters, digits, hyphens.")],
) -> None:
    """Name a version, to be found as ID@NAME; of a build also where it stands."""
    from riglog.jobs.naming import name

    with ctx.obj.writing() as library:
        answer = name(library, version, called)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog undo", "riglog undo 1a2b3c4d --dry-run", "riglog undo a-cam@4 --yes")
def undo(
    ctx: Context,
    words: Annotated[
        list[str] | None,
        Argument(metavar="[WHAT]...", help="Entries or versions; else the last you recorded."),
    ] = None,
    why: Annotated[str, Option("--note", metavar="TEXT", help="Why.")] = "",
    dry_run: Annotated[bool, Option("--dry-run", help="Say what it would do.")] = False,
    yes: Annotated[bool, Option("--yes", help="Do it without asking.")] = False,
) -> None:
    """Reverse what was recorded, by an entry that names it.

    Nothing is removed. A version goes back by a new version; a reading, note, tag or name counts
    no longer; an undo that is undone brings back. It says first what it will do, and asks.
    """
    from riglog import wording
    from riglog.jobs.undo import undo, undo_plan

    with ctx.obj.trying() if dry_run else ctx.obj.reading() as library:
        planned = undo_plan(library, words or [])
    if dry_run:
        ctx.obj.answer(planned)
        return
    ctx.obj.agree(wording.say(planned), yes=yes)
    with ctx.obj.writing() as library:
        answer = undo(library, words or [], planned, why)
    ctx.obj.answer(answer)


@command(
    COMMANDS,
    "riglog correct 1a2b3c4d times=3.1s,3.0s mark=487mm",
    'riglog correct lens-35 mass=1.13kg "by=bench scale"',
)
def correct(
    ctx: Context,
    thing: Annotated[
        str, Argument(metavar="WHAT", help="A reading, by its entry; or a thing, by its id.")
    ],
    changes: Annotated[
        list[str], Argument(metavar="KEY=VALUE...", help="As documents write it; KEY= leaves out.")
    ],
    dry_run: Annotated[bool, Option("--dry-run", help="Say what it would do.")] = False,
) -> None:
    """Put right what was recorded wrongly, by an entry that takes its place.

    The old one stays in history. A key inside another stands behind a point, as settings.pivot;
    items of a list have commas between them.
    """
    from riglog.jobs.correct import correct, correct_plan

    if dry_run:
        with ctx.obj.trying() as library:
            planned = correct_plan(library, thing, changes)
        ctx.obj.answer(planned)
        return
    with ctx.obj.writing() as library:
        answer = correct(library, thing, changes)
    ctx.obj.answer(answer)
