"""The question that a swap puts: a build as it stands, what is exchanged, the states on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, listed, quoted
from riglog.estimation.kit import Hung
from riglog.estimation.priors import inherit
from riglog.jobs.conversion import convert
from riglog.jobs.exchange import (
    Change,
    Exchanged,
    Lookup,
    exchange,
    parse_change,
    part_named,
)
from riglog.jobs.heads import with_head
from riglog.jobs.passage import between
from riglog.jobs.states import ends_of, with_states
from riglog.jobs.swap_words import NONE, Conversion
from riglog.library.adjusters import adjusters_of, named_adjuster, settings_given
from riglog.library.clock import today

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from riglog.jobs.passage import State
    from riglog.library import Library, Standing
    from riglog.records import Adjuster, Build, Component, Setting
    from riglog.records.build import Head

# What stands for the build in question among the versions.
ASKED = "asked"


class Asked(NamedTuple):
    """The question: the build as it stands, what is exchanged, and the states on the way.

    ``ends`` holds the ends of every range that a part can be set in: part, state, and the build so.
    ``head_before`` is what a powered head did before.
    """

    standing: Standing
    exchanged: Exchanged
    before: Hung
    after: Hung
    states: list[State]
    ends: list[tuple[str, str, Hung]]
    head_before: str = "level"

    @property
    def parts(self) -> list[str]:
        """Components that the question is about."""
        names = {*self.exchanged.off, *self.exchanged.fitted}
        builds = (self.before.build, self.after.build)
        return sorted({p.component for b in builds for p in b.parts if p.id in names})


def ask(
    library: Library,
    build: str | None,
    changes: Sequence[str],
    set_: Sequence[str] = (),
    hold: Sequence[str] = (),
    *,
    head: Head | None = None,
    rebalanced: bool = True,
    conversion: Conversion = NONE,
    states: Sequence[str] = (),
) -> Asked:
    """The question in nouns.

    ``set_`` says where adjusters stand, if not where they were left; one on ``hold`` has to.
    ``head`` is what a powered head does; not ``rebalanced``, the payload stays where it was
    balanced on it before.
    ``conversion`` turns the rig over, and may be all that is asked, as may the ``states`` of parts,
    or where the same build goes for another drop time.

    Raises
    ------
    CallError
        If an exchange is not to be had.
    """
    standing = library.standing(build)
    stood = standing.hung(standing.since[:10])
    before = with_head(stood, head)
    look_up = whole(library)
    meant = [by_ids(library, before.build, parse_change(text)) for text in changes]
    exchanged = convert(exchange(before.build, meant, look_up), conversion, look_up)
    known = adjusters_of(library, exchanged.build)
    settings = {
        **standing.settings,
        **settings_given(known, set_, library.rig(before.build.rig).type),
    }
    kept = {name: at for name, at in settings.items() if name in known}
    refuse_unset(known, kept, hold)
    before = before._replace(settings=settings)
    after = Hung(build=exchanged.build, version=ASKED, settings=kept, day=today())
    after = with_states(after, states, look_up)
    if not rebalanced:
        after = after._replace(balanced_with=before.build)
    # Nobody knows how it hangs in between while nobody knows where it hangs from.
    ways = between(before, exchanged) if "pivot" in settings else []
    ends, did = [*ends_of(after, look_up)], stood.build.head or "level"
    return Asked(standing, exchanged, before, after, ways, ends, did)


def whole(library: Library) -> Lookup:
    """Looks up components, with the mounts of the type that they are like."""

    def look_up(name: str) -> Component:
        component = library.component(name)
        if component.like is None:
            return component
        return inherit(component, look_up(component.like))

    return look_up


def by_ids(library: Library, build: Build, change: Change) -> Change:
    """The change by exact ids."""
    old = None if change.old is None else part_named(build, change.old)
    new = None if change.new is None else library.resolve("component", change.new)
    on = change.on
    if on is not None and "." not in on and on not in library.rig(build.rig).mounts:
        owner, mounts = build.rig, sorted(library.rig(build.rig).mounts)
        raise CallError(
            f"{owner} has no mount {quoted(on)}", hint=f"it has {listed(mounts, 'and')}"
        )
    return Change(old, new, on)


def refuse_unset(
    known: Mapping[str, Adjuster], settings: Mapping[str, Setting], hold: Sequence[str]
) -> None:
    """Refuse adjusters of which nobody said where they stand, the pivot only where it has to stay.

    Raises
    ------
    CallError
        If there are any.
    """
    held = {named_adjuster(word, known) for word in hold}
    unset = [
        name for name in known if name not in settings and (name != "pivot" or "pivot" in held)
    ]
    if unset:
        raise CallError(
            f"nobody said where {listed(unset, 'and')} {'stands' if len(unset) == 1 else 'stand'}",
            hint="add " + " ".join(f"--set {name}=READING" for name in unset),
        )


def said(exchanged: Exchanged) -> Iterator[str]:
    """What was exchanged, as one says it."""
    both = set(exchanged.off) & set(exchanged.fitted)
    off = [name for name in exchanged.off if name not in both]
    fitted = [name for name in exchanged.fitted if name not in both]
    if fitted and off:
        yield f"{listed(fitted, 'and')} for {listed(off, 'and')}"
    elif fitted:
        yield f"{listed(fitted, 'and')} added"
    elif off:
        yield f"nothing in place of {listed(off, 'and')}"
