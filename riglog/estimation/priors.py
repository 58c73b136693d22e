"""What is believed about a kit before anything was logged, and how sure that is.

Every figure can be overridden in a document. The calibration of the intervals hangs on them.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from riglog.mechanics.mass_properties import shape_inertia, tensor_of_six
from riglog.mechanics.together import Together
from riglog.mechanics.together import together as combined
from riglog.records import Component, Spread, Vector

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.estimation.kit import Weighing
    from riglog.mechanics.arrays import FloatArray


# Median [kg] and standard deviation of the logarithm: common practice, no source.
MASS_BY_KIND: Mapping[str, tuple[float, float]] = MappingProxyType({
    "camera": (3.5, 0.45), "lens": (1.6, 0.45), "matte-box": (0.55, 0.4), "filter": (0.15, 0.4),
    "battery": (1.4, 0.5), "media": (0.1, 0.5), "monitor": (1.0, 0.4), "motor": (0.2, 0.4),
    "transmitter": (0.25, 0.4), "receiver": (0.25, 0.4), "light": (0.4, 0.5), "plate": (0.4, 0.5),
    "dovetail": (0.6, 0.4), "rods": (0.3, 0.4), "bracket": (0.2, 0.5), "adapter": (0.15, 0.5),
    "post": (2.2, 0.35), "gimbal": (0.8, 0.4), "stage": (1.0, 0.4), "frame": (3.0, 0.45),
    "head": (3.0, 0.45), "trim-weight": (0.3, 0.5), "cover": (0.3, 0.5), "cable": (0.1, 0.5),
    "other": (0.4, 0.8),
})  # fmt: skip

# Fore-aft, across, tall [m], where a document gives no size: common practice, no source.
SIZE_BY_KIND: Mapping[str, Vector] = MappingProxyType({
    "camera": (0.22, 0.14, 0.15), "lens": (0.15, 0.10, 0.10), "matte-box": (0.10, 0.16, 0.13),
    "filter": (0.01, 0.13, 0.11), "battery": (0.07, 0.11, 0.17), "media": (0.08, 0.06, 0.02),
    "monitor": (0.05, 0.20, 0.15), "motor": (0.09, 0.03, 0.03), "transmitter": (0.04, 0.07, 0.12),
    "receiver": (0.03, 0.08, 0.11), "light": (0.05, 0.10, 0.10), "plate": (0.15, 0.08, 0.015),
    "dovetail": (0.25, 0.09, 0.02), "rods": (0.30, 0.08, 0.02), "bracket": (0.06, 0.06, 0.06),
    "adapter": (0.03, 0.09, 0.09), "post": (0.05, 0.05, 0.75), "gimbal": (0.10, 0.12, 0.08),
    "stage": (0.18, 0.12, 0.05), "frame": (0.35, 0.50, 0.45), "head": (0.20, 0.20, 0.25),
    "trim-weight": (0.05, 0.05, 0.05), "cover": (0.30, 0.30, 0.25), "cable": (0.05, 0.05, 0.30),
    "other": (0.08, 0.08, 0.08),
})  # fmt: skip

# Least standard deviation [kg] and share of the mass, by what it was weighed with.
_MASS_SD: Mapping[str | None, tuple[float, float]] = {
    None: (0.005, 0.002),
    "bench scale": (0.005, 0.002),
    "luggage scale": (0.05, 0.01),
    "maker's sheet": (0.02, 0.03),
    "guess": (0.05, 0.2),
}
_AHEAD_OF_DATUM = frozenset({"lens", "matte-box", "filter"})

LEAST_MASS_SD_KG = 0.0005
# Weighings that many times further apart than they should be do not agree.
DISPUTED = 3.0
CG_SD_M = 0.005
PLACE_SD_M = 0.001
RIGGING_SD_M = 0.00025
INERTIA_SD = 0.15
GIVEN_INERTIA_SD = 0.05
FRICTION_SCALE_N_M = 0.01
# Mean and standard deviation of a half-normal of scale 1: sqrt(2/pi), sqrt(1 - 2/pi).
HALF_NORMAL = (0.7978845608028654, 0.6028102749890869)
BALANCE_POINT_SD_M = 0.002
LEAN_SD_RAD = 0.017453292519943295
# No tilt that a hand holds is read better than this: a quarter of a degree (common practice, no
# source).
FINEST_SD_RAD = 0.004363323129985824
# What the lens end does in a pan, by the eye: an angle [rad] and how sure. Common practice, no
# source: flat is within a degree and a half, and what dips or rises does so by a few.
SPIN_RAD: Mapping[str, tuple[float, float]] = MappingProxyType({
    "dips": (0.070, 0.052), "rises": (-0.070, 0.052), "flat": (0.0, 0.026),
})  # fmt: skip
# A drop test is only made of a rig that was trimmed; how well, nobody said.
TRIM_AT_DROP_RAD = 0.05
# A payload that a hand balanced on its head, off the head's axis: common practice, no source.
ON_HEAD_SD_M = 0.0005
# A gimbal's tilt axis off the axis that it pans about: common practice, no source.
CENTERING_SD_M = 0.0003
WHOLE_WEIGHT_SD = (0.02, 0.002)

# What nobody listed: mass [kg] with its log sd, radius of gyration [m], share known of it, and how
# far from the marks its center of gravity may be [m].
LUMP = MappingProxyType({
    "post": (14.0, 0.4, 0.34, 0.25, 0.25),
    "ring": (8.0, 0.4, 0.20, 0.25, 0.15),
})  # fmt: skip
LUMP_SIDEWAYS_SD_M = 0.05


class Figures(NamedTuple):
    """A component in numbers: means and standard deviations.

    ``log_mass`` and ``log_inertia_sd`` are of natural logarithms. ``inertia_m2`` is the tensor
    about the center of gravity per unit of mass, shape (3, 3).
    """

    log_mass: float
    log_mass_sd: float
    cg_m: Vector
    cg_sd_m: Vector
    inertia_m2: FloatArray
    log_inertia_sd: float


def figures(component: Component, weighings: Sequence[Weighing] = ()) -> Figures:
    """Means and standard deviations of a component that stands by itself (not ``like`` another).

    Of several weighings of it all count, and not only the one that it states.
    """
    median, log_sd = _mass(component, weighings)
    size = component.size or SIZE_BY_KIND[component.kind]
    cg, cg_sd = _cg(component, size)
    tensor, inertia_sd = _inertia(component, size, median)
    return Figures(float(np.log(median)), log_sd, cg, cg_sd, tensor, inertia_sd)


def mass_sd(mass_kg: float, stated_kg: float | None, by: str | None) -> float:
    """Standard deviation of a mass [kg]: as stated, else by what it was weighed with."""
    if stated_kg is not None:
        return stated_kg
    least, share = _MASS_SD[by]
    return max(least, share * mass_kg)


def _mass(component: Component, weighings: Sequence[Weighing]) -> tuple[float, float]:
    """Median and standard deviation of the logarithm."""
    if weighings:
        mean, sd, _ = together(weighings)
        return mean, sd / mean
    if component.mass is None:
        return MASS_BY_KIND[component.kind]
    mass = component.mass
    return mass, mass_sd(mass, component.mass_sd, component.by) / mass


def together(weighings: Sequence[Weighing]) -> Together:
    """What several weighings of one component say together.

    What a scale is off by it is off by each time, so those on one scale count as one.
    """

    def source(weighing: Weighing) -> str:
        return weighing.scale or weighing.entry

    ordered = sorted(weighings, key=source)
    told = [_on_one_scale(list(group)) for _, group in groupby(ordered, key=source)]
    return combined(*zip(*told, strict=True))


def _on_one_scale(weighings: Sequence[Weighing]) -> tuple[float, float]:
    """Mass and standard deviation [kg]."""
    common = max(each.common_sd_kg for each in weighings)
    square = np.square([each.sd_kg for each in weighings]) - common**2
    # One that is said to be exact would leave the others no say.
    least = LEAST_MASS_SD_KG if weighings[0].scale is None else 1e-6
    random = np.sqrt(np.maximum(square, least**2))
    mean = combined([each.mass_kg for each in weighings], random)
    return mean.value, float(np.hypot(mean.sd, common))


def disputed(weighings: Sequence[Weighing]) -> bool:
    """Whether weighings are further apart than they can be if all are right."""
    return len(weighings) > 1 and together(weighings).birge > DISPUTED


def _cg(component: Component, size: Vector) -> tuple[Vector, Vector]:
    stated = component.cg_sd
    if component.cg is not None:
        sd = CG_SD_M if stated is None else stated
        return component.cg, (sd, sd, sd)
    sixth = (size[0] / 6, size[1] / 6, size[2] / 6)
    sds = sixth if stated is None else (stated, stated, stated)
    if component.kind in _AHEAD_OF_DATUM:
        return (size[0] / 2, 0.0, 0.0), sds
    return (0.0, 0.0, size[2] / 2), sds


def box_of(component: Component) -> tuple[FloatArray, FloatArray]:
    """Middle and size, (3,) each [m], of the box that a component fills about its datum."""
    size = np.array(component.size or SIZE_BY_KIND[component.kind])
    ahead = component.kind in _AHEAD_OF_DATUM
    return size * (np.array([0.5, 0.0, 0.0]) if ahead else np.array([0.0, 0.0, 0.5])), size


def _inertia(component: Component, size: Vector, mass: float) -> tuple[FloatArray, float]:
    if component.inertia is None:
        return shape_inertia(component.shape, np.array(size), 1.0), INERTIA_SD
    return tensor_of_six(component.inertia) / mass, GIVEN_INERTIA_SD


def inherit(component: Component, type_of: Component) -> Component:
    """A unit with the figures of its type where it states none of its own.

    Its type's mass, center of gravity and inertia are not copied: these it shares with its
    siblings, and so they are parameters of the type.
    """
    return replace(
        component,
        kind=component.kind if component.kind != "other" else type_of.kind,
        size=component.size or type_of.size,
        shape=component.shape if component.size else type_of.shape,
        mounts=component.mounts or type_of.mounts,
        adjusters=component.adjusters or type_of.adjusters,
        states=component.states or type_of.states,
    )


def from_type(own: Component, told: Figures, of_type: Figures) -> Figures:
    """The figures of a unit, ``told`` where it states them and else those of its type.

    The unit may lie from its type by its spread.
    """
    spread = spread_of(own)
    if not own.states_own("mass"):
        sd = float(np.hypot(of_type.log_mass_sd, spread.mass))
        told = told._replace(log_mass=of_type.log_mass, log_mass_sd=sd)
    if not own.states_own("cg"):
        x, y, z = np.hypot(of_type.cg_sd_m, spread.cg).tolist()
        told = told._replace(cg_m=of_type.cg_m, cg_sd_m=(x, y, z))
    if not own.states_own("inertia"):
        sd = float(np.hypot(of_type.log_inertia_sd, spread.inertia))
        told = told._replace(inertia_m2=of_type.inertia_m2, log_inertia_sd=sd)
    return told


def spread_of(component: Component) -> Spread:
    """How far this unit may lie from its type."""
    return component.spread or Spread()
