"""Whether scales and measurements in documents can be, and fit what they name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.units import KILOGRAM, exact

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.errors import Finding
    from riglog.interchange.document import Placed
    from riglog.interchange.world import World
    from riglog.records.measurements import Measurement, Weighing
    from riglog.records.weighing_scale import WeighingScale


def check_scale(placed: Placed[WeighingScale]) -> Iterator[Finding]:
    """A check against a reference mass is known in full or not at all."""
    scale = placed.noun
    if (scale.reference is None) != (scale.showed is None):
        lacking = "reference" if scale.reference is None else "showed"
        yield placed.finding(
            (), f"a check needs both masses, and {lacking} is missing", f"add {lacking}"
        )


def check_measurement(placed: Placed[Measurement], world: World) -> Iterator[Finding]:
    """The component and the scale must be known, and something must be left to weigh."""
    measurement = placed.noun
    name = measurement.component
    if name not in world.unread and world.bare_component(name) is None:
        message = f"there is no component {name}"
        yield placed.finding(("component",), message, world.mend("component", name))
    if measurement.kind == "weighing":
        yield from _weighing(placed, measurement, world)


def _weighing(placed: Placed[Measurement], weighing: Weighing, world: World) -> Iterator[Finding]:
    scale = weighing.scale
    if scale is not None and scale not in world.unread and world.scale(scale) is None:
        message = f"there is no scale {scale}"
        yield placed.finding(("scale",), message, world.mend("scale", scale))
    if min(weighing.shown) <= weighing.without:
        message = f"it weighs no more than the {exact(weighing.without, KILOGRAM)} without it"
        yield placed.finding(("without",), message, "write what the scale shows without it")
