"""A build with its nouns looked up, and what settings, states and heads it can have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from riglog.interchange.nodes import follow, shown
from riglog.interchange.world import by_id, unknown_words
from riglog.records import Build, Component, PivotPair, Rig
from riglog.units import convert

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.errors import Finding
    from riglog.interchange.document import Placed
    from riglog.interchange.nodes import Path
    from riglog.interchange.world import World
    from riglog.records import Adjuster, Setting


@dataclass(frozen=True, slots=True)
class Frame:
    """A build's rig and components; None where nobody knows them."""

    build: Build
    rig: Rig | None
    components: Mapping[str, Component | None]

    @property
    def adjusters(self) -> dict[str, Adjuster]:
        """Every adjuster by the name that settings give it."""
        found = by_id(self.rig.adjusters) if self.rig else {}
        for part, component in self.components.items():
            for adjuster in component.adjusters if component else ():
                found[f"{part}.{adjuster.id}"] = adjuster
        return found

    def knows(self, owner: str) -> bool:
        """Whether the rig (named by "") or a part can be looked into."""
        return (self.components.get(owner) if owner else self.rig) is not None


def frame_of(build: Build, world: World) -> Frame:
    """A build with its nouns looked up; what is unread or like something unknown is left out."""
    components: dict[str, Component | None] = {}
    for part in build.parts:
        found = None if part.component in world.unread else world.component(part.component)
        components[part.id] = None if found and world.is_open(found) else found
    rig = None if build.rig in world.unread else world.rig(build.rig)
    return Frame(build, rig, components)


def check_settings(
    placed: Placed[Any], settings: Mapping[str, Setting], frame: Frame
) -> Iterator[Finding]:
    """Settings of unknown adjusters, of the wrong form, or outside the travel."""
    adjusters = frame.adjusters
    for name, setting in settings.items():
        path = ("settings", name)
        owner = name.rpartition(".")[0]
        if name in adjusters:
            yield from _form(placed, name, setting, frame)
            yield from _travel(placed, name, setting, adjusters[name])
        elif owner and owner not in frame.components:
            mend = unknown_words(owner, frame.components, "parts")
            yield placed.finding(path, f"{frame.build.id} has no part {owner}", mend)
        elif frame.knows(owner):
            message = f"there is no adjuster {name}"
            yield placed.finding(path, message, unknown_words(name, adjusters, "adjusters"))


def _form(placed: Placed[Any], name: str, setting: Setting, frame: Frame) -> Iterator[Finding]:
    if not isinstance(setting, PivotPair):
        return
    if name != "pivot":
        message = "only the pivot of a ring has a left and a right reading"
        yield placed.finding(("settings", name), message, "write one reading")
    elif frame.rig and frame.rig.type != "ring":
        message = f"{frame.rig.id} is a {frame.rig.type} rig and has one pivot reading"
        yield placed.finding(("settings", name), message, "write one reading")


def _travel(
    placed: Placed[Any], name: str, setting: Setting, adjuster: Adjuster
) -> Iterator[Finding]:
    if adjuster.travel is None:
        return
    least, greatest = adjuster.travel
    for path, reading_m in _readings(name, setting):
        if not least <= reading_m <= greatest:
            message = f"{shown(follow(placed.node, path))} lies outside its travel"
            start, end = (
                f"{convert(end_m, adjuster.unit):.6g} {adjuster.unit}" for end_m in adjuster.travel
            )
            yield placed.finding(path, message, f"write a reading from {start} to {end}")


def _readings(name: str, setting: Setting) -> Iterator[tuple[Path, float]]:
    """Each figure of a setting, and where it stands."""
    if isinstance(setting, PivotPair):
        yield ("settings", name, "left"), setting.left
        yield ("settings", name, "right"), setting.right
    else:
        yield ("settings", name), setting


def check_states(placed: Placed[Any], states: Mapping[str, str], frame: Frame) -> Iterator[Finding]:
    """States of parts that there are not, or that their component does not have."""
    for part, state in states.items():
        path = ("states", part)
        if part not in frame.components:
            mend = unknown_words(part, frame.components, "parts")
            yield placed.finding(path, f"{frame.build.id} has no part {part}", mend)
            continue
        component = frame.components[part]
        if component is not None and state not in component.states:
            message = f"{component.id} has no state {state}"
            yield placed.finding(path, message, unknown_words(state, component.states, "states"))


def check_head(placed: Placed[Any], head: str | None, frame: Frame) -> Iterator[Finding]:
    """What a powered head does, where no mount is one."""
    owners = [frame.rig, *frame.components.values()]
    if head is None or None in owners:
        return
    if not any(mount.levels for owner in owners if owner for mount in owner.mounts.values()):
        mend = "leave head out, or write levels: true at the mount of the head"
        yield placed.finding(("head",), f"{frame.build.id} has no powered head", mend)
