"""Whether what an entry from elsewhere says is a record that this program can read."""

from __future__ import annotations

import gc
import os
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from riglog.logbook.aside import aside
from riglog.logbook.transfer.vetting import Vetted, read, told, vet
from riglog.records import Build, Component, Rig, Stand
from riglog.records.form import fault
from riglog.records.readings import KINDS, reading_class

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager

    from riglog.logbook.entry import Body

_NOUNS = {"component": Component, "rig": Rig, "build": Build}


def vetting(staging: Path) -> AbstractContextManager[Callable[[], Vetted]]:
    """Begin to look at all that is staged in a file; what the block gets waits for the answer."""
    return aside(staging, [__name__, str(staging)], partial(vet, staging, record_fault), read)


def record_fault(kind: str, subject: str, body: Body) -> str:
    """What is wrong with the record that an entry holds; "" where nothing is.

    Kinds that are not known here pass: the log keeps them, and a newer program reads them.
    """
    if kind == "reading":
        return _of_reading(subject, dict(body))
    if kind not in _NOUNS:
        return ""
    if body.get("id") != subject:
        return "its id is not that of what it is about"
    return fault(_NOUNS[kind], body)


def _of_reading(build: str, body: dict[str, object]) -> str:
    if wrong := fault(Stand, body.pop("stand", None)):
        return f"where it stood: {wrong}"
    if body.get("build") != build:
        return "its build is not what it is about"
    kind = body.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        return f"{kind!a} is no kind of reading"
    return fault(reading_class(kind), body)


if __name__ == "__main__":
    gc.disable()
    print(told(vet(Path(sys.argv[1]), record_fault)), flush=True)  # noqa: T201 # to who asked
    os._exit(0)  # nothing is left to do, and taking it all apart takes a while
