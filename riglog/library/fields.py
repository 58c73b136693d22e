"""What an entry says, field by field, as documents write it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.library.reversing import flat
from riglog.library.standing import reading_of
from riglog.records import Build, Component, Rig, from_body
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from riglog.library.reversing import Path
    from riglog.logbook import Entry

CLASSES: dict[str, Any] = {
    "component": Component,
    "rig": Rig,
    "build": Build,
    "scale": WeighingScale,
}


def noun_of(entry: Entry) -> Any:
    """The component, rig, build, scale or reading that an entry holds."""
    if entry.kind == "reading":
        return reading_of(entry)[0]
    return from_body(CLASSES[entry.kind], entry.body)


def as_documents(entry: Entry) -> dict[Path, Any]:
    """Its fields by their paths, each value with its unit: ``("settings", "pivot"): "487 mm"``."""
    from riglog.interchange.writer import written

    return flat(written(noun_of(entry)))
