"""`add`: kit documents into the library, all of them or nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.library import Library
    from riglog.library.recording import Recorded


class AddAnswer(NamedTuple):
    """What became of every noun; in a dry run, what would become of it."""

    dry_run: bool
    recorded: Sequence[Recorded]


def add(library: Library, files: Sequence[str], *, dry_run: bool = False) -> AddAnswer:
    """Check and record documents.

    Raises
    ------
    DocumentError
        With everything that is wrong in any of the files.
    CallError
        If a file cannot be read.
    ForkError
        If a document changes a thing that has two heads.
    """
    return AddAnswer(dry_run, library.add(files, dry_run=dry_run))
