"""Commands that take spreadsheets in and give them out."""

from __future__ import annotations

from pathlib import Path  # noqa: TC003 # typer reads the hints
from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}


@command(
    COMMANDS,
    "riglog import inventory.csv --map inventory.yaml --dry-run",
    "riglog import inventory.csv --map inventory.yaml",
)
def import_(
    ctx: Context,
    file: Annotated[str, Argument(metavar="FILE.csv", help="The spreadsheet, saved as CSV.")],
    mapping: Annotated[
        str, Option("--map", metavar="FILE.yaml", help="Which column is which key.")
    ],
    dry_run: Annotated[
        bool, Option("--dry-run", help="Show what each row becomes, and record nothing.")
    ] = False,
) -> None:
    """Record the rows of a spreadsheet, all or nothing.

    docs/documents.md shows a mapping. Semicolons, decimal commas and units in the names of columns
    are read; where a figure can be two, it is refused.
    """
    from riglog.jobs.spreadsheet import import_sheet

    with ctx.obj.trying() if dry_run else ctx.obj.writing() as library:
        answer = import_sheet(library, file, mapping, dry_run=dry_run)
    ctx.obj.answer(answer)


@command(
    COMMANDS,
    "riglog export components > components.csv",
    "riglog export library -o house.jsonl",
)
def export(
    ctx: Context,
    what: Annotated[
        str, Argument(metavar="WHAT", help="components, builds, readings, or the whole library.")
    ],
    output: Annotated[
        Path | None, Option("--output", "-o", metavar="FILE", help="Where to; else it is printed.")
    ] = None,
) -> None:
    """What there is as CSV for a spreadsheet, or everything as JSON Lines.

    Texts that a spreadsheet would run as a formula begin with an apostrophe; import takes it off.
    The library as JSON Lines is a bundle: merge takes it in, each entry under its id.
    """
    from riglog.jobs.export import WHOLE, export

    if what.casefold() == WHOLE:
        _whole(ctx, output)
        return
    with ctx.obj.reading() as library:
        answer = export(library, what)
    if output is None:
        ctx.obj.answer(answer)
        return
    from riglog.jobs.written_table import written_table
    from riglog.wording import table

    ctx.obj.answer(written_table(output, table(answer), answer.kind, len(answer.rows)))


def _whole(ctx: Context, output: Path | None) -> None:
    from riglog.errors import CallError
    from riglog.jobs.bundle import bundle

    if output is None:
        raise CallError("the library goes into a file", hint="add -o FILE")
    with ctx.obj.reading() as library:
        answer = bundle(library, [], output)
    ctx.obj.answer(answer)
