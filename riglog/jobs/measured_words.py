"""Words of a measurement to figures, with the mend for what cannot be."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast, get_args

from riglog.errors import CallError, mend_word, quoted
from riglog.library.clock import instant
from riglog.logbook import now
from riglog.records.component import Source
from riglog.records.limits import LEAST
from riglog.records.support import Axis
from riglog.units import KILOGRAM, METER, parse, parse_loose

if TYPE_CHECKING:
    from riglog.library import Library


def mass_of(text: str, what: str = "mass") -> float:
    """A mass above nothing [kg]; its unit has to be said.

    Raises
    ------
    CallError
        If the words are none.
    """
    mass = parse(text, KILOGRAM)
    if mass < LEAST:
        raise CallError(f"the {what} {quoted(text)} is not more than nothing", hint="write it anew")
    return mass


def length_of(text: str) -> float:
    """A length [m]; a bare figure is in millimeters.

    Raises
    ------
    CallError
        If the words are none.
    """
    return parse_loose(text, METER, "mm")


def distance_of(text: str, what: str) -> float:
    """A length above nothing [m]; raises as ``length_of``."""
    length = length_of(text)
    if length < LEAST:
        raise CallError(f"{what} {quoted(text)} is not more than nothing", hint="measure it anew")
    return length


def axis_of(text: str) -> Axis:
    """``x``, ``y`` or ``z``.

    Raises
    ------
    CallError
        If the words are none.
    """
    if text not in get_args(Axis):
        hint = "x is fore and aft, y across, z up"
        raise CallError(f"{quoted(text)} is no axis", hint=hint)
    return cast("Axis", text)


def source_of(text: str | None) -> Source | None:
    """A sort of source, as documents have it.

    Raises
    ------
    CallError
        If the words are none.
    """
    if text is None:
        return None
    if text not in get_args(Source):
        raise CallError(f"{quoted(text)} is no source", hint=mend_word(text, get_args(Source)))
    return cast("Source", text)


def component_named(library: Library, words: str) -> str:
    """The id of a component; raises as ``Library.resolve``."""
    return library.resolve("component", words)


def circumstances(on: str | None, note: str | None) -> dict[str, Any]:
    """When it was, and a word to remember, as every measurement has them.

    Raises
    ------
    CallError
        If the time is none.
    """
    from riglog.interchange.forms import note as written

    return {"on": instant(on) if on else now(), "note": written(note) if note else ""}
