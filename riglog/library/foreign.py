"""Whether what an entry from elsewhere says is a record that this program can read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.records import Build, Component, Rig, Stand
from riglog.records.form import fault
from riglog.records.readings import KINDS, reading_class

if TYPE_CHECKING:
    from riglog.logbook.entry import Body

_NOUNS = {"component": Component, "rig": Rig, "build": Build}


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
