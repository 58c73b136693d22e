"""Commands that hand a library over, take others in, and settle what came of it."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003 # typer reads the hints
from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(
    COMMANDS,
    "riglog bundle -o house.bundle",
    "riglog bundle a-cam -o stick/ --own-notes",
    "riglog bundle -o monday.bundle --since friday.bundle",
)
def bundle(
    ctx: Context,
    output: Annotated[
        Path,
        Option(
            "--output",
            "-o",
            metavar="FILE",
            help="The bundle; in a folder its content names it.",
        ),
    ],
    builds: Annotated[
        list[str] | None, Argument(metavar="BUILD...", help="Those to hand over; else everything.")
    ] = None,
    since: Annotated[
        str | None,
        Option(metavar="BUNDLE|DAY", help="Only what came in after an earlier bundle, or a day."),
    ] = None,
    own_notes: Annotated[
        bool, Option("--own-notes", help="Leave out the notes of other people.")
    ] = False,
) -> None:
    """Write entries to one file, to be taken in elsewhere.

    A build goes with its rig, its components and all their versions, what was read of it and what
    was said of them; drop tests of other builds stay here. What stands in a document's own note is
    part of its entry, and goes along.
    """  # fmt: skip
    from riglog.jobs.bundle import bundle

    with ctx.obj.reading() as library:
        answer = bundle(library, builds or [], output, since=since, own_notes=own_notes)
    ctx.obj.answer(answer)


@command(
    COMMANDS,
    "riglog merge kim.bundle --dry-run",
    "riglog merge stick/ old.db",
    "riglog merge --rescue damaged.db monday.bundle --db new.db",
)
def merge(
    ctx: Context,
    files: Annotated[
        list[Path], Argument(metavar="FILE...", help="Bundles, libraries, folders of bundles.")
    ],
    dry_run: Annotated[
        bool, Option("--dry-run", help="Say what is new, and take nothing.")
    ] = False,
    rescue: Annotated[
        bool, Option("--rescue", help="Take what is sound of damaged libraries.")
    ] = False,
) -> None:
    """Take in bundles and other libraries, all of them or nothing.

    Everything is checked before anything stays. What is here already is left as it is, so a bundle
    can be merged twice, and in any order. With --rescue, entries of libraries that are damaged are
    left out, and told, unless another of the files has them; of a bundle that is damaged nothing
    can be trusted.
    """
    from riglog.jobs.merge import merge

    path = ctx.obj.path if dry_run else ctx.obj.current
    ctx.obj.answer(merge(path, files, dry_run=dry_run, rescue=rescue))


@command(
    COMMANDS,
    "riglog settle a-cam",
    "riglog settle a-cam --take 3.ab12",
    "riglog settle a-cam --join --field note=3.cd34",
)
def settle(
    ctx: Context,
    thing: Annotated[str, Argument(metavar="ID", help="A component, rig, build or scale.")],
    take: Annotated[
        str | None, Option(metavar="VERSION", help="The newest version that counts.")
    ] = None,
    field: Annotated[
        list[str] | None,
        Option(metavar="FIELD=VERSION", help="The one that counts for a field; may be repeated."),
    ] = None,
    join: Annotated[
        bool, Option("--join", help="Take what only one of them changed from that one.")
    ] = False,
    dry_run: Annotated[bool, Option("--dry-run", help="Say what it would be.")] = False,
) -> None:
    """Settle a fork: two people changed a thing apart from each other.

    Without a choice it shows what differs, and how to settle it. The new version comes after all of
    them, and all of them stay. With --join and --take, what several of them changed is taken from
    that one. What a part says is a field, as parts.hood.on; parts.hood names all that differs of
    it, and parts all that differs of any.
    """
    from riglog.jobs.settle import parse_fields, settle_fork
    from riglog.library.settling import Choice

    choice = Choice(take, parse_fields(field or []), join)
    opened = ctx.obj.writing if choice.made else ctx.obj.reading
    with ctx.obj.trying() if dry_run else opened() as library:
        answer = settle_fork(library, thing, choice, dry_run=dry_run)
    ctx.obj.answer(answer)
