"""`demo`: a library of three shooting days, and yesterday's lens back on."""

from __future__ import annotations

import shutil
from contextlib import ExitStack
from errno import EDQUOT, ENOSPC
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import BusyError, CallError, LibraryError, RiglogError, name_shown
from riglog.jobs.demo_steps import DOCUMENTS, LIBRARY, STEPS
from riglog.jobs.merge import merge
from riglog.jobs.settle import settle_fork
from riglog.jobs.swap import swap
from riglog.library import Library
from riglog.library.settling import Choice

if TYPE_CHECKING:
    from riglog.jobs.demo_steps import Step
    from riglog.jobs.swap_answers import SwapAnswer

BUILD, CHANGE, WANTED = "a-cam", "lens-100=lens-40", "3s"


class DemoAnswer(NamedTuple):
    """What was built and asked.

    ``folder`` is where it was left, empty if it was in a temporary place; ``library`` the name of
    the file there, and ``steps`` how it came about. ``entries`` counts those of the library.
    """

    folder: str
    library: str
    steps: tuple[Step, ...]
    entries: int
    build: str
    change: str
    wanted: str
    swap: SwapAnswer


def demo(keep: Path | None) -> DemoAnswer:
    """Build the demonstration library and answer a swap on it.

    Parameters
    ----------
    keep
        A new or empty folder to leave the library and its documents in; None means that all is
        gone afterwards.

    Raises
    ------
    CallError
        If something is in that folder already: nobody's file is written over.
    LibraryError
        If the folder, or a temporary one, cannot be written.
    BusyError
        If there is no room.
    """
    with ExitStack() as stack:
        place = _checked(keep) if keep else Path(stack.enter_context(_temporary()))
        with Library.create(place / LIBRARY, ""):
            _lay_out(place)
        for step in STEPS:
            _take(step, place)
        with Library.open(place / LIBRARY, "") as library:
            entries = sum(1 for _ in library.logbook.log())
            answer = swap(library, BUILD, [CHANGE], wanted=WANTED)
        folder = str(keep) if keep else ""
        return DemoAnswer(folder, LIBRARY, STEPS, entries, BUILD, CHANGE, WANTED, answer)


def _take(step: Step, place: Path) -> None:
    """Do what the command of a step does."""
    path = place / step.library
    if step.do == "merge":
        merge(path, [place / step.what])
        return
    with Library.open(path, step.author, write=True) as library:
        if step.do == "add":
            library.add([str(place / step.what)])
        else:
            settle_fork(library, step.what, Choice(None, {}, join=True))


def _checked(place: Path) -> Path:
    """A folder that holds nothing, or that is not there yet."""
    try:
        empty = not place.exists() or (place.is_dir() and not any(place.iterdir()))
    except OSError as error:
        raise _unusable(place, error) from error
    if not empty:
        message = f"{name_shown(str(place))} is not an empty folder"
        raise CallError(message, hint="name a new one, as --keep salt-road")
    return place


def _temporary() -> TemporaryDirectory[str]:
    try:
        return TemporaryDirectory(prefix="riglog-")
    except OSError as error:
        raise LibraryError(f"there is no temporary folder: {error.strerror}") from error


def _lay_out(place: Path) -> None:
    """Copies of the documents."""
    with as_file(files("riglog.demo_db")) as source:
        try:
            for name in DOCUMENTS:
                shutil.copy(source / name, place)
        except OSError as error:
            raise _unusable(place, error) from error


def _unusable(place: Path, error: OSError) -> RiglogError:
    if error.errno in {ENOSPC, EDQUOT}:
        return BusyError(f"there is no room in {name_shown(str(place))}", hint="make room")
    return LibraryError(f"{name_shown(str(place))} cannot be used: {error.strerror}")
