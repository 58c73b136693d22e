"""Small changes of a build: 100 g here or there, and things that come and go."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from riglog.estimation.priors import figures
from riglog.jobs.exchange import Change, above, exchange
from riglog.records import Component, Mount, Part

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from riglog.estimation.kit import Hung, Kit
    from riglog.library import Library
    from riglog.records import Build

# What is put on each place [kg].
EXTRA_KG = 0.1
_EXTRA, _HERE = "extra-weight", "extra-place"
# Things that come and go without anybody thinking of the balance.
_SMALL = ("media", "filter")
# So many other batteries and filters of the library are shown.
_MOST_OTHERS = 3


class Variant(NamedTuple):
    """A build that is a little different: what is asked of it, and how it hangs."""

    what: str
    name: str
    old: str
    hung: Hung


def places(
    build: Build, component: Callable[[str], Component]
) -> Iterator[tuple[str, tuple[str, Component]]]:
    """Places of a build by name: the mount to put a weight on, and whose it is, with that mount."""
    fitted = [(part, component(part.component)) for part in build.parts]
    lens = next(((part, each) for part, each in fitted if each.kind == "lens"), None)
    camera = next(((part, each) for part, each in fitted if each.kind == "camera"), None)
    for place, host, way in (
        ("lens-front", lens, (1.0, 0.0)),
        ("camera-top", camera, (0.0, 1.0)),
        ("camera-back", camera, (-1.0, 0.0)),
    ):
        if host is not None:
            part, own = host
            yield place, (f"{part.id}.{_HERE}-{place}", _mounted(own, place, way))
    battery = next((part for part, each in fitted if each.kind == "battery"), None)
    if battery is not None:
        yield "base", (battery.on, component(battery.component))


def _mounted(host: Component, place: str, way: tuple[float, float]) -> Component:
    """A component with a mount at the middle of its front, its top or its back."""
    known = figures(host)
    x, _, z = known.cg_m
    size = host.size or (0.0, 0.0, 0.0)
    at = (x + way[0] * size[0] / 2, known.cg_m[1], z + way[1] * size[2] / 2)
    return replace(host, mounts={**host.mounts, f"{_HERE}-{place}": Mount(at=at)})


def at(hung: Hung, place: str, on: str) -> Variant:
    """The build with a weight at a place."""
    part = Part(component=_EXTRA, on=on, name=f"{_EXTRA}-{place}")
    build = replace(hung.build, parts=(*hung.build.parts, part))
    return Variant("place", place, "", hung._replace(build=build, version=f"with {place}"))


def with_places(kit: Kit, places: dict[str, tuple[str, Component]]) -> Kit:
    """The kit with the weight, and with the mounts that it sits on."""
    components = dict(kit.components)
    components[_EXTRA] = Component(
        id=_EXTRA, kind="other", mass=EXTRA_KG, mass_sd=1e-6, size=(0.01, 0.01, 0.01),
        cg=(0.0, 0.0, 0.0), cg_sd=1e-6,
    )  # fmt: skip
    for _, host in places.values():
        known = components[host.id]
        components[host.id] = replace(known, mounts={**known.mounts, **host.mounts})
    return kit._replace(components=components)


def things(
    library: Library, hung: Hung, component: Callable[[str], Component]
) -> Iterator[Variant]:
    """Small things that come off, a filter that goes on, and other batteries of the library."""
    build = hung.build
    kinds = {part.id: component(part.component).kind for part in build.parts}
    for name, kind in kinds.items():
        if kind in _SMALL and not above(build, name):
            yield _changed(hung, "off", Change(name, None), component)
    others = _others(library, build, component)
    battery = next((name for name, kind in kinds.items() if kind == "battery"), None)
    if battery is not None and not above(build, battery):
        for other in others["battery"]:
            yield _changed(hung, "swap", Change(battery, other), component)
    front = _front(build, kinds, component)
    if front is not None:
        for other in others["filter"]:
            yield _changed(hung, "on", Change(None, other, front), component)


def _others(
    library: Library, build: Build, component: Callable[[str], Component]
) -> dict[str, list[str]]:
    """Batteries and filters of the library that the build does without, as first recorded."""
    found: dict[str, list[str]] = {"battery": [], "filter": []}
    fitted = {part.component for part in build.parts}
    log = library.logbook
    for name in log.oldest_first("component", log.subjects("component")):
        if name in fitted:
            continue
        kind = component(name).kind
        if kind in found and len(found[kind]) < _MOST_OTHERS:
            found[kind].append(name)
    return found


def _front(
    build: Build, kinds: Mapping[str, str], component: Callable[[str], Component]
) -> str | None:
    """A mount for what goes in front of a lens."""
    for kind in ("matte-box", "lens"):
        for name in (each for each, of in kinds.items() if of == kind):
            if "front" in component(build.part(name).component).mounts:
                return f"{name}.front"
    return None


def _changed(
    hung: Hung, what: str, change: Change, component: Callable[[str], Component]
) -> Variant:
    build = exchange(hung.build, [change], component).build
    settings = {
        name: at for name, at in hung.settings.items()
        if change.old is None or not name.startswith(f"{change.old}.")
    }  # fmt: skip
    old = (change.old or "") if what == "swap" else ""
    name = change.new or change.old or ""
    version = f"{what} {name} {old}"
    return Variant(what, name, old, hung._replace(build=build, version=version, settings=settings))
