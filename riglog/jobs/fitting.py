"""Parts that somebody names as on a build: where they go, and what comes off for them."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, listed
from riglog.jobs.exchange import Change, exchange
from riglog.jobs.swap_question import whole
from riglog.logbook.search import Sought
from riglog.records import from_body
from riglog.records.build import Build

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.library import Library
    from riglog.records import Component, Part

# A build has one of each of these, and the named one takes its place; what carries comes first.
ONE_OF = ("post", "frame", "stage", "head", "camera", "battery", "monitor", "lens", "matte-box")


class Fitted(NamedTuple):
    """A build with parts on it, and the exchanges that put them there."""

    before: Build
    build: Build
    changes: tuple[Change, ...]

    @property
    def gone(self) -> tuple[str, ...]:
        """Parts that came off."""
        return _only_on(self.before, self.build)

    @property
    def come(self) -> tuple[str, ...]:
        """Parts that went on."""
        return _only_on(self.build, self.before)

    @property
    def said(self) -> str:
        """What was exchanged, as one says it; empty if nothing was."""
        gone, come = self.gone, self.come
        if not come:
            return f"{listed(gone, 'and')} off" if gone else ""
        return f"{listed(come, 'and')} " + (f"for {listed(gone, 'and')}" if gone else "added")


def _only_on(build: Build, other: Build) -> tuple[str, ...]:
    names = {part.id for part in other.parts}
    return tuple(part.id for part in build.parts if part.id not in names)


def fit(
    library: Library, build: Build, names: Iterable[str], first: Sequence[Change] = ()
) -> Fitted:
    """A build with components on it, each of which may be there already.

    Where there is one part of the same kind, of which a build has one, the named takes its place.
    Anything else goes where it was logged last, on what now stands for what carried it then; a
    filter that never was goes in front.

    Parameters
    ----------
    names
        Exact ids of components.
    first
        Changes that come before.

    Raises
    ------
    CallError
        If nobody can tell where one goes.
    """
    component = whole(library)
    changes = list(first)
    now = exchange(build, changes, component).build
    for name in sorted(names, key=lambda each: _order(component(each).kind)):
        if any(name in {part.component, part.id} for part in now.parts):
            continue
        changes.append(_change(library, now, component(name)))
        now = exchange(build, changes, component).build
    return Fitted(build, now, tuple(changes))


def _order(kind: str) -> int:
    """What carries comes before what is carried: a filter goes on the lens that comes with it."""
    return ONE_OF.index(kind) if kind in ONE_OF else len(ONE_OF)


def _change(library: Library, build: Build, new: Component) -> Change:
    component = whole(library)
    if new.kind in ONE_OF:
        alike = [part.id for part in build.parts if component(part.component).kind == new.kind]
        if len(alike) == 1:
            return Change(alike[0], new.id)
        if len(alike) > 1:
            raise CallError(
                f"{new.id} could take the place of {listed(alike)}",
                hint=f"write which: {alike[0]}={new.id}",
            )
    on = _last_place(library, build, new.id) or (_front(library, build, new))
    if on is None:
        hint = f"write on what: ={new.id}@MOUNT"
        raise CallError(f"nobody logged where {new.id} goes", hint=hint)
    return Change(None, new.id, on)


def _last_place(library: Library, build: Build, name: str) -> str | None:
    """The mount that a component was last logged on, or its like on this build."""
    sought = Sought(kinds=("build",), things=(name,))
    for entry in library.logbook.found(sought, 1):
        then = from_body(Build, entry.body)
        part = next(part for part in then.parts if part.component == name)
        owner, _, mount = part.on.rpartition(".")
        if not owner:
            return mount if mount in library.rig(build.rig).mounts else None
        return _alike(library, build, then.part(owner).component, mount)
    return None


def _alike(library: Library, build: Build, owner: str, mount: str) -> str | None:
    """A mount of the same part, or of the only one of its kind that has a mount so named."""
    component = whole(library)
    same = [part for part in build.parts if part.component == owner]
    kind = component(owner).kind
    near = same or [part for part in build.parts if component(part.component).kind == kind]
    return _only([part for part in near if mount in component(part.component).mounts], mount)


def _only(parts: Sequence[Part], mount: str) -> str | None:
    return f"{parts[0].id}.{mount}" if len(parts) == 1 else None


def _front(library: Library, build: Build, new: Component) -> str | None:
    """The front of the lens, for a filter."""
    if new.kind != "filter":
        return None
    component = whole(library)
    lenses = [part for part in build.parts if component(part.component).kind == "lens"]
    mounts = {mount for part in lenses for mount in component(part.component).mounts}
    return _only(lenses, "front") if "front" in mounts else None
