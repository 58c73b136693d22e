"""What jobs answer about versions and about what was said of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.listing import Read
    from riglog.records.measurements import Measurement


class Described(NamedTuple):
    """An entry as people speak of it.

    ``version`` names the version that a thing's entry is. ``words`` are those of a note, a tag, a
    name, or why something was undone. ``read`` is there for a reading, ``about`` for what a note,
    a tag, a name or an undo is about; nothing where that is the thing as such. ``measurement`` is
    what was measured on a component by itself.
    """

    kind: str
    subject: str
    entry: str
    author: str
    at: str
    version: str = ""
    words: str = ""
    read: Read | None = None
    about: tuple[Described, ...] = ()
    measurement: Measurement | None = None


class Fate(NamedTuple):
    """What became of an entry that counts no longer: ``by`` whom, and by which entry."""

    how: Literal["corrected", "undone"]
    by: str
    at: str
    entry: str


class NoteAnswer(NamedTuple):
    """A note, and whether it is new; else its author had noted the same."""

    note: Described
    new: bool


class TagAnswer(NamedTuple):
    """Tags of something: those put on now, those taken off, and all that it has.

    ``about`` is what is tagged, nothing where that is the thing as such.
    """

    subject: str
    about: tuple[Described, ...]
    added: Sequence[Described]
    removed: Sequence[str]
    tags: Sequence[str]


class NameAnswer(NamedTuple):
    """A version and its name; ``before`` is what was called so until now."""

    name: Described
    new: bool
    before: Sequence[Described]


class Undone(NamedTuple):
    """One thing that is undone, or would be.

    ``how`` is leave out, bring back or go back. ``back`` are entries that count again; ``changed``
    the fields of a thing that go back, and ``version`` what its newest version is called then.
    """

    what: Described
    how: str
    back: Sequence[Described]
    changed: Sequence[str]
    version: str


class UndoAnswer(NamedTuple):
    """What was undone; if not ``done``, what would be. ``recorded`` are the entries that say so."""

    done: bool
    undone: Sequence[Undone]
    recorded: Sequence[str] = ()


class Said(NamedTuple):
    """A value as documents write it, who said so when, in which entry, and by which source.

    ``value`` is None where nobody says anything; ``name`` is the version's, and empty of a reading.
    """

    value: Any
    entry: str
    name: str
    author: str
    at: str
    source: str = ""


class Field(NamedTuple):
    """A field of a thing as it is now, and what it was before; ``head`` names one of two heads."""

    name: str
    now: Said
    before: Said | None
    head: str = ""


class WhoAnswer(NamedTuple):
    """Who set the fields of a thing: those that were asked for, or all, as documents have them.

    ``measured`` is what else was measured of them, newest in the log first; all of it counts.
    """

    kind: str
    id: str
    fields: Sequence[Field]
    measured: Sequence[Described] = ()


class CorrectAnswer(NamedTuple):
    """An entry and what took its place; None where the correction says the same.

    ``changed`` are the fields that differ. In a dry run nothing took its place yet.
    """

    old: Described
    new: Described | None
    changed: Sequence[str]
    dry_run: bool = False
