"""The words about a reading that every kind of it has: of which build, where it stood, and when."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, get_args

from riglog.errors import CallError, mend_word, quoted
from riglog.jobs.heads import head_named, with_head
from riglog.library.adjusters import checked_mark
from riglog.library.clock import instant
from riglog.logbook.entry import now
from riglog.records.readings.measured import Condition

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from riglog.estimation.kit import Hung
    from riglog.library import Library, Standing
    from riglog.records import Setting
    from riglog.records.build import Head


class Circumstances(NamedTuple):
    """As typed: texts, None or nothing where nobody said."""

    build: str | None = None
    mark: str | None = None
    head: str | None = None
    on: str | None = None
    note: str | None = None
    tags: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()


class Taken(NamedTuple):
    """The same in nouns: where the build stood, and what every reading of it says."""

    standing: Standing
    hung: Hung
    settings: Mapping[str, Setting]
    on: str
    head: Head | None
    note: str
    tags: tuple[str, ...]
    conditions: tuple[Condition, ...]

    @property
    def mark(self) -> Setting | None:
        """Where the pivot stands, as its scale shows it."""
        return self.hung.settings.get("pivot")

    @property
    def fields(self) -> dict[str, object]:
        """What every class of readings takes."""
        return {
            "build": self.standing.build.id, "on": self.on, "settings": self.settings,
            "head": self.head, "note": self.note, "tags": self.tags, "conditions": self.conditions,
        }  # fmt: skip


def taken(library: Library, said: Circumstances) -> Taken:
    """What the words mean. Records nothing.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError, ForkError
        If a word is wrong, or does not name one build.
    """
    on = now() if said.on is None else instant(said.on)
    head = head_named(said.head)
    standing = library.standing(said.build, on)
    settings: dict[str, Setting] = {}
    if said.mark is not None:
        rig = library.rig(standing.build.rig)
        settings["pivot"] = checked_mark(rig.adjuster("pivot"), said.mark, rig.type)
    hung = with_head(standing.hung(on[:10]), head)
    hung = hung._replace(settings={**hung.settings, **settings})
    return Taken(
        standing, hung, settings, on, head, note_of(said.note), tags_of(said.tags),
        conditions_of(said.conditions),
    )  # fmt: skip


def note_of(text: str | None) -> str:
    """A note as it is kept."""
    from riglog.interchange.forms import note  # few readings have one

    return note(text) if text else ""


def tags_of(texts: Iterable[str]) -> tuple[str, ...]:
    """Tags as they are kept."""
    from riglog.interchange.forms import line

    return tuple(map(line, texts))


def conditions_of(texts: Iterable[str]) -> tuple[Condition, ...]:
    """Conditions, each once.

    Raises
    ------
    CallError
        If one is none.
    """
    return tuple(dict.fromkeys(map(_condition, texts)))


def _condition(text: str) -> Condition:
    for condition in get_args(Condition):
        if text == condition:
            return condition  # type: ignore[no-any-return]  # one of the literals
    hint = mend_word(text, get_args(Condition))
    raise CallError(f"{quoted(text)} is no condition of a reading", hint=hint)
