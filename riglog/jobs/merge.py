"""`merge`: bundles and other libraries into this one."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.library.foreign import vetting
from riglog.logbook import Logbook
from riglog.logbook.staging import sources_of, staged

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.logbook.merge import Plan


class MergeAnswer(NamedTuple):
    """What a merge brought, or in a dry run would bring.

    ``made`` says that the library is new, or would be. ``fingerprint`` is that of the library
    afterwards; None in a dry run.
    """

    path: str
    dry_run: bool
    made: bool
    plan: Plan
    fingerprint: str | None


def merge(path: Path, files: Sequence[Path], *, dry_run: bool = False) -> MergeAnswer:
    """Take in bundles, libraries and folders of bundles, all of them or nothing.

    A library that is not there yet is made, once all was found to be sound.

    Raises
    ------
    CallError
        If a file cannot be read, or is neither bundle nor library.
    DocumentError
        With all that is wrong in any of them; or if they rest on entries that are not here.
    LibraryError
        If the library, or one of the others, cannot be used.
    BusyError
        If somebody else is writing, or there is no room.
    """
    found = sources_of(files)
    if any(path.exists() and each.samefile(path) for each in found):
        raise CallError(f"{str(path)!r} is the library itself", hint="name another one")
    made = not path.exists()
    if made and dry_run:
        return _first_plan(path, found)
    if made:
        with staged(found, None, vetting) as stage, Logbook.create(path) as log:
            return MergeAnswer(str(path), dry_run, made, log.merge(stage), log.fingerprint())
    with Logbook.open(path, write=not dry_run) as log, staged(found, path, vetting) as stage:
        if dry_run:
            return MergeAnswer(str(path), dry_run, made, log.merge_plan(stage), None)
        return MergeAnswer(str(path), dry_run, made, log.merge(stage), log.fingerprint())


def _first_plan(path: Path, found: Sequence[Path]) -> MergeAnswer:
    """What a library that is not there yet would hold; none is left behind."""
    with (
        TemporaryDirectory() as folder,
        staged(found, None, vetting) as stage,
        Logbook.create(Path(folder) / "nothing.db") as log,
    ):
        return MergeAnswer(
            str(path), dry_run=True, made=True, plan=log.merge_plan(stage), fingerprint=None
        )
