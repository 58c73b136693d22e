"""`merge`: bundles and other libraries into this one."""

from __future__ import annotations

from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.library.foreign import record_fault, vetting
from riglog.logbook import Logbook
from riglog.logbook.creation import appearing
from riglog.logbook.transfer.staging import sources_of, staged

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from contextlib import AbstractContextManager

    from riglog.errors import Finding
    from riglog.logbook.transfer.merge import Plan
from riglog.logbook.transfer.staging import Staged


class MergeAnswer(NamedTuple):
    """What a merge brought, or in a dry run would bring.

    ``made`` says that the library is new, or would be. ``left_out`` is what was not sound of
    libraries that were rescued. ``fingerprint`` is that of the library afterwards; None in a dry
    run.
    """

    path: str
    dry_run: bool
    made: bool
    plan: Plan
    left_out: Sequence[Finding]
    fingerprint: str | None


def merge(
    path: Path, files: Sequence[Path], *, dry_run: bool = False, rescue: bool = False
) -> MergeAnswer:
    """Take in bundles, libraries and folders of bundles, all of them or nothing.

    A library that is not there yet is made, once all was found to be sound.

    Parameters
    ----------
    rescue
        Take what is sound of damaged libraries, and leave out the rest.

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
    with ExitStack() as opened:
        if made:
            stage = opened.enter_context(_staged(found, None, rescue=rescue))
            place = opened.enter_context(_passing() if dry_run else appearing(path))
            log = opened.enter_context(Logbook.create(place))
        else:
            log = opened.enter_context(Logbook.open(path, write=not dry_run))
            stage = opened.enter_context(_staged(found, path, rescue=rescue))
        plan = log.merge_plan(stage) if dry_run else log.merge(stage)
        now = None if dry_run else log.fingerprint()
        return MergeAnswer(str(path), dry_run, made, plan, stage.left_out, now)


@contextmanager
def _passing() -> Iterator[Path]:
    """A place for a library of which none is left behind."""
    with TemporaryDirectory() as folder:
        yield Path(folder, "nothing.db")


def _staged(
    files: Sequence[Path], library: Path | None, *, rescue: bool
) -> AbstractContextManager[Staged]:
    if rescue:
        from riglog.logbook.transfer.rescue import rescued  # seldom needed

        return rescued(files, library, record_fault)
    return staged(files, library, vetting)
