"""Parts that somebody names as on a build: where they go, and what comes off for them."""

from __future__ import annotations

from collections.abc import Callable
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
    from riglog.records import Component

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


Choose = Callable[[str, str], bool]


def fit(
    library: Library,
    build: Build,
    names: Iterable[str],
    first: Sequence[Change] = (),
    choose: Choose | None = None,
) -> Fitted:
    """A build with components on it, each of which may be there already.

    Where there is one part of the same kind, of which a build has one, the named takes its place.
    Anything else goes where it was logged last, on what now stands for what carried it then; a
    filter that never was goes in front. Where a hood has a place for a filter too, only a person
    can tell.

    Parameters
    ----------
    names
        Exact ids of components.
    first
        Changes that come before.
    choose
        Whether a component goes on a mount; None where nobody can be asked.

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
        changes.append(_change(library, now, component(name), choose))
        now = exchange(build, changes, component).build
    return Fitted(build, now, tuple(changes))


def _order(kind: str) -> int:
    """What carries comes before what is carried: a filter goes on the lens that comes with it."""
    return ONE_OF.index(kind) if kind in ONE_OF else len(ONE_OF)


def _change(library: Library, build: Build, new: Component, choose: Choose | None) -> Change:
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
    places = _places(library, build, new)
    if not places:
        hint = f"write on what: ={new.id}@MOUNT"
        raise CallError(f"nobody logged where {new.id} goes", hint=hint)
    if len(places) == 1:
        return Change(None, new.id, places[0])
    chosen = next((place for place in places if choose and choose(new.id, place)), None)
    if chosen is None:
        hint = f"write which: ={new.id}@{places[0]}"
        raise CallError(f"{new.id} could go on {listed(places)}", hint=hint)
    return Change(None, new.id, chosen)


def _places(library: Library, build: Build, new: Component) -> list[str]:
    """Where a component may go: where it was, or else each mount that it, or a filter, fits."""
    last = _last_place(library, build, new.id)
    if last and last.sure:
        return [last.on]
    other = _for_filters(library, build) if new.kind == "filter" else []
    return list(dict.fromkeys([*([last.on] if last else []), *other]))


class _Place(NamedTuple):
    """A mount, and whether it is the very one that a component was logged on."""

    on: str
    sure: bool


def _last_place(library: Library, build: Build, name: str) -> _Place | None:
    """The mount that a component was last logged on, or its like on this build."""
    sought = Sought(kinds=("build",), things=(name,))
    for entry in library.logbook.found(sought, 1):
        then = from_body(Build, entry.body)
        part = next(part for part in then.parts if part.component == name)
        owner, _, mount = part.on.rpartition(".")
        if not owner:
            return _Place(mount, sure=True) if mount in library.rig(build.rig).mounts else None
        return _alike(library, build, then.part(owner).component, mount)
    return None


def _alike(library: Library, build: Build, owner: str, mount: str) -> _Place | None:
    """A mount of the same part, or of the only one of its kind that has a mount so named."""
    component = whole(library)
    same = [part for part in build.parts if part.component == owner]
    kind = component(owner).kind
    near = same or [part for part in build.parts if component(part.component).kind == kind]
    fits = [part for part in near if mount in component(part.component).mounts]
    return _Place(f"{fits[0].id}.{mount}", sure=bool(same)) if len(fits) == 1 else None


def _for_filters(library: Library, build: Build) -> list[str]:
    """The front of a lens, and what a matte box has for filters."""
    component = whole(library)
    found = [(part.id, component(part.component)) for part in build.parts]
    fronts = [f"{name}.front" for name, of in found if of.kind == "lens" and "front" in of.mounts]
    boxes = [(name, of) for name, of in found if of.kind == "matte-box"]
    return [*fronts, *(f"{name}.{mount}" for name, of in boxes for mount in of.mounts)]
