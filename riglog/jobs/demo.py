"""`demo`: a library of two shooting days, and yesterday's lens back on."""

from __future__ import annotations

import shutil
from contextlib import ExitStack
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.jobs.swap import swap
from riglog.library import Library

if TYPE_CHECKING:
    from riglog.jobs.answers import SwapAnswer

AUTHOR = "demo"
BUILD, CHANGE, WANTED = "a-cam", "lens-100=lens-40", "3s"
LIBRARY = "demo.db"


class DemoAnswer(NamedTuple):
    """What was built and asked.

    ``folder`` is where it was left, empty if it was in a temporary place; ``documents`` the files
    in the order in which they were added.
    """

    folder: str
    library: str
    documents: tuple[str, ...]
    recorded: int
    build: str
    change: str
    wanted: str
    swap: SwapAnswer


def demo(keep: Path | None) -> DemoAnswer:
    """Build the demonstration library and answer a swap on it.

    Parameters
    ----------
    keep
        A folder to leave the library and its documents in; else all is gone afterwards.

    Raises
    ------
    CallError
        If there is a demonstration library in that folder already.
    """
    with ExitStack() as stack:
        place = keep or Path(stack.enter_context(TemporaryDirectory(prefix="riglog-")))
        if (place / LIBRARY).exists():
            hint = "name another folder, or remove that file"
            raise CallError(f"there is a {LIBRARY} in {place} already", hint=hint)
        documents = _lay_out(place)
        with Library.create(place / LIBRARY, AUTHOR) as library:
            recorded = sum(len(library.add([str(each)])) for each in documents)
            answer = swap(library, BUILD, [CHANGE], wanted=WANTED)
        names = tuple(each.name for each in documents)
        folder = "" if keep is None else str(keep)
        return DemoAnswer(folder, LIBRARY, names, recorded, BUILD, CHANGE, WANTED, answer)


def _lay_out(place: Path) -> list[Path]:
    """Copies of the documents, in the order in which they are added."""
    place.mkdir(parents=True, exist_ok=True)
    with as_file(files("riglog.demo_db")) as source:
        return [Path(shutil.copy(each, place)) for each in sorted(source.glob("*.yaml"))]
