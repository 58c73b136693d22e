"""Whether a build hangs together: parts on mounts that there are, and every adjuster set."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from riglog.errors import listed
from riglog.interchange.frames import (
    Frame,
    check_head,
    check_settings,
    check_states,
    frame_of,
)
from riglog.interchange.world import unknown_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.errors import Finding
    from riglog.interchange.document import Placed
    from riglog.interchange.world import World
    from riglog.records import Build, Part


def check_build(placed: Placed[Build], world: World) -> Iterator[Finding]:
    """All that is wrong with one build."""
    build = placed.noun
    frame = frame_of(build, world)
    yield from _unknown_nouns(placed, world)
    yield from _repeated_parts(placed)
    for index, part in enumerate(build.parts):
        yield from _mount(placed, index, part, frame)
        yield from _hung_by(placed, index, part, frame)
    yield from _loops(placed)
    yield from check_settings(placed, build.settings, frame)
    yield from _missing_settings(placed, frame)
    yield from check_states(placed, build.states, frame)
    yield from check_head(placed, build.head, frame)


def _unknown_nouns(placed: Placed[Build], world: World) -> Iterator[Finding]:
    build = placed.noun
    if build.rig not in world.unread and world.rig(build.rig) is None:
        message = f"there is no rig {build.rig}"
        yield placed.finding(("rig",), message, world.mend("rig", build.rig))
    for index, part in enumerate(build.parts):
        name = part.component
        if name not in world.unread and world.component(name) is None:
            message, mend = f"there is no component {name}", world.mend("component", name)
            yield placed.finding(("parts", index, "component"), message, mend)


def _repeated_parts(placed: Placed[Build]) -> Iterator[Finding]:
    counts = Counter(part.id for part in placed.noun.parts)
    for index, part in enumerate(placed.noun.parts):
        if counts[part.id] > 1:
            message = f"{counts[part.id]} parts are called {part.id}"
            yield placed.finding(
                ("parts", index), message, f"name one of them, as {{as: {part.id}-2}}"
            )
            counts[part.id] = 0


def _mount(placed: Placed[Build], index: int, part: Part, frame: Frame) -> Iterator[Finding]:
    """A part on a mount that there is not."""
    path = ("parts", index, "on")
    owner, _, mount = part.on.rpartition(".")
    if owner and owner not in frame.components:
        mend = unknown_words(owner, frame.components, "parts")
        yield placed.finding(path, f"{placed.noun.id} has no part {owner}", mend)
        return
    holder = frame.components[owner] if owner else frame.rig
    if holder is None or mount in holder.mounts:
        return
    if not owner and mount in frame.components:
        yield placed.finding(path, f"{mount} is a part", _with_mount(mount, frame))
        return
    prefix = f"{owner}." if owner else ""
    mounts = [f"{prefix}{name}" for name in holder.mounts]
    yield placed.finding(path, f"there is no mount {part.on}", _mounts_there_are(holder.id, mounts))


def _hung_by(placed: Placed[Build], index: int, part: Part, frame: Frame) -> Iterator[Finding]:
    """A part that hangs by a mount that it does not have."""
    component = frame.components[part.id]
    if part.by is None or component is None or part.by in component.mounts:
        return
    message = f"{component.id} has no mount {part.by} to hang by"
    mend = _mounts_there_are(component.id, list(component.mounts))
    yield placed.finding(("parts", index, "by"), message, mend)


def _with_mount(part: str, frame: Frame) -> str:
    component = frame.components[part]
    mounts = [f"{part}.{name}" for name in component.mounts] if component else []
    return f"write on: {listed(mounts)}" if mounts else f"write on: {part}.MOUNT"


def _mounts_there_are(owner: str, mounts: list[str]) -> str:
    return f"{owner} has {listed(mounts, 'and')}" if mounts else f"{owner} has no mounts"


def _loops(placed: Placed[Build]) -> Iterator[Finding]:
    """Parts that sit on each other in a ring and so on nothing."""
    below = {part.id: part.on.rpartition(".")[0] for part in placed.noun.parts}
    named: set[str] = set()
    for index, part in enumerate(placed.noun.parts):
        chain = [part.id]
        while (owner := below.get(chain[-1], "")) and owner not in chain:
            chain.append(owner)
        if owner == part.id and part.id not in named:
            named.update(chain)
            message = f"it sits on itself: {' on '.join([*chain, owner])}"
            yield placed.finding(("parts", index, "on"), message, "put one of them on the rig")


def _missing_settings(placed: Placed[Build], frame: Frame) -> Iterator[Finding]:
    """Adjusters that nobody set; the pivot may be left for later."""
    for name in frame.adjusters:
        if name != "pivot" and name not in placed.noun.settings:
            mend = f"add {name} with what its scale shows"
            yield placed.finding(("settings",), f"{name} has no setting", mend)
