"""One vector for all that is uncertain, with independent priors.

A figure of a thing is the *sum* of one or more parameters: a unit that is ``like`` a type has its
type's figure plus its own small deviation, so that what is learned from one unit is known of the
next. No gauge is fixed; the priors do that.
"""

from __future__ import annotations

from math import exp, log
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from riglog.estimation.priors import (
    CENTERING_SD_M,
    FRICTION_SCALE_N_M,
    HALF_NORMAL,
    PLACE_SD_M,
    Figures,
    figures,
    from_type,
    inherit,
    spread_of,
)

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    from riglog.estimation.kit import Kit
    from riglog.mechanics.arrays import FloatArray
    from riglog.records import Component
    from riglog.records.component import Figure

Columns = tuple[int, ...]
_LOGARITHMS = frozenset({"mass", "inertia"})


class Parameters:
    """Means and standard deviations, each block under the key of what it describes.

    Asking for a block that is there already gives its columns again: two builds with one lens
    share the lens's parameters.
    """

    def __init__(self, kit: Kit) -> None:
        self.kit = kit
        self._mean: list[float] = []
        self._sd: list[float] = []
        self._logarithm: list[bool] = []
        self._columns: dict[Hashable, Columns] = {}
        self._figures: dict[str, Figures] = {}

    def __len__(self) -> int:
        return len(self._mean)

    @property
    def mean(self) -> FloatArray:
        """Prior means, shape (p,)."""
        return np.array(self._mean)

    @property
    def variance(self) -> FloatArray:
        """Prior variances, shape (p,)."""
        return np.square(self._sd)

    @property
    def logarithm(self) -> npt.NDArray[np.bool_]:
        """Which parameters are logarithms, shape (p,): those of masses and inertias."""
        return np.array(self._logarithm, dtype=bool)

    def carried(self, told: Parameters, theta: FloatArray) -> FloatArray:
        """A guess ``theta`` at the parameters ``told``, carried over to these, shape (p,).

        Of figures of things stays what it found beyond their priors, of a mass in kg, and all else
        as found. What it knows nothing of is as its prior has it.
        """
        carried = self.mean
        for key, columns in self._columns.items():
            carry = _CARRY.get(key[0], _as_found) if isinstance(key, tuple) else _as_found
            for here, there in zip(columns, told._columns.get(key, ()), strict=False):
                carried[here] = carry(self._mean[here], told._mean[there], float(theta[there]))
        return carried

    def block(self, key: Hashable, mean: Sequence[float], sd: Sequence[float]) -> Columns:
        """Columns of the block under ``key``, made with this prior if it is new."""
        if key not in self._columns:
            start = len(self._mean)
            self._mean += mean
            self._sd += sd
            self._logarithm += [isinstance(key, tuple) and key[0] in _LOGARITHMS] * len(mean)
            self._columns[key] = tuple(range(start, len(self._mean)))
        return self._columns[key]

    def figures(self, name: str, day: str) -> Figures:
        """Prior figures of a component, by its document, its type, and what was measured on it."""
        key, own = self.kit.component_on(name, day)
        if key not in self._figures:
            self._figures[key] = self._informed(key, self._stated(name, day), own)
        return self._figures[key]

    def _stated(self, name: str, day: str) -> Figures:
        (key, own), unit = self.kit.component_on(name, day), self.resolved(name, day)[1]
        told = figures(unit, self.kit.weighings.get(key, ()))
        return told if own.like is None else from_type(own, told, self.figures(own.like, day))

    def _informed(self, key: str, stated: Figures, component: Component) -> Figures:
        if key not in self.kit.measured:
            return stated
        from riglog.estimation.measured import informed  # few components are measured

        return informed(component, stated, self.kit.measured[key])

    def _takes_over(self, key: str, own: Component, figure: Figure) -> bool:
        """Whether a unit has a figure of its type, and not one of its own."""
        measured = self.kit.measured.get(key)
        return own.like is not None and not (
            own.states_own(figure) or (measured is not None and measured.tells(figure))
        )

    def resolved(self, name: str, day: str) -> tuple[str, Component]:
        """Key and noun of what went by this name on that day, its type's shape taken over."""
        key, component = self.kit.component_on(name, day)
        if component.like is not None:
            return key, inherit(component, self.resolved(component.like, day)[1])
        return key, component

    def log_mass(self, name: str, day: str) -> list[Columns]:
        """Columns that add up to the logarithm of the mass."""
        key, own = self.kit.component_on(name, day)
        if own.like is not None and self._takes_over(key, own, "mass"):
            deviation = self.block(("mass", key), [0.0], [spread_of(own).mass])
            return [*self.log_mass(own.like, day), deviation]
        prior = self.figures(name, day)
        return [self.block(("mass", key), [prior.log_mass], [prior.log_mass_sd])]

    def cg(self, name: str, day: str) -> list[Columns]:
        """Columns, three each, that add up to the center of gravity in the component's frame."""
        key, own = self.kit.component_on(name, day)
        if own.like is not None and self._takes_over(key, own, "cg"):
            sd = spread_of(own).cg
            return [*self.cg(own.like, day), self.block(("cg", key), [0.0] * 3, [sd] * 3)]
        prior = self.figures(name, day)
        return [self.block(("cg", key), prior.cg_m, prior.cg_sd_m)]

    def log_inertia(self, name: str, day: str) -> list[Columns]:
        """Columns that add up to the logarithm of the scale on the component's inertia."""
        key, own = self.kit.component_on(name, day)
        if own.like is not None and self._takes_over(key, own, "inertia"):
            deviation = self.block(("inertia", key), [0.0], [spread_of(own).inertia])
            return [*self.log_inertia(own.like, day), deviation]
        prior = self.figures(name, day)
        return [self.block(("inertia", key), [0.0], [prior.log_inertia_sd])]

    def inertia_m2(self, name: str, day: str) -> FloatArray:
        """Nominal inertia tensor per unit of mass, (3, 3) [m^2], in the component's frame."""
        key, own = self.kit.component_on(name, day)
        if own.like is not None and self._takes_over(key, own, "inertia"):
            return self.inertia_m2(own.like, day)
        return self.figures(name, day).inertia_m2

    def usual_cg(self, name: str, day: str) -> FloatArray:
        """Prior center of gravity, (3,) [m], in the component's frame and its usual state."""
        blocks = [[self._mean[column] for column in block] for block in self.cg(name, day)]
        return np.asarray(np.array(blocks).sum(axis=0))

    def place(self, key: Hashable, sd: float | None) -> Columns:
        """Columns of the error of a mount's or an offset's position, zero on average."""
        known = PLACE_SD_M if sd is None else sd
        return self.block(("place", key), [0.0] * 3, [known] * 3)

    def setting(self, key: Hashable, step: float) -> Columns:
        """Column of the error of one adjuster set to one reading on one day."""
        return self.block(("setting", key), [0.0], [step])

    def centering(self, rig: str) -> Columns:
        """Columns of how far a gimbal's tilt axis lies off the axis that it pans about, x and y.

        There are none where no lean of the rig says how it was panned: nothing could tell them.
        """
        panned = any(
            logged.hung.build.rig == rig
            and logged.reading.kind == "lean"
            and logged.reading.pan is not None
            for logged in self.kit.readings
        )
        if not panned:
            return ()
        return self.block(("centering", rig), [0.0] * 2, [CENTERING_SD_M] * 2)

    def frictions(self) -> list[int]:
        """Columns of the friction torques of all rigs."""
        return [
            columns[0] for key, columns in self._columns.items()
            if isinstance(key, tuple) and key[0] == "friction"
        ]  # fmt: skip

    def replace_prior(self, column: int, mean: float, variance: float) -> None:
        """Believe something else of a parameter beforehand."""
        self._mean[column], self._sd[column] = mean, variance**0.5

    def friction(self, rig: str) -> Columns:
        """Column of the friction torque at a rig's pivot [N m]."""
        mean, sd = (FRICTION_SCALE_N_M * factor for factor in HALF_NORMAL)
        return self.block(("friction", rig), [mean], [sd])


def _as_found(_mean: float, _told: float, found: float) -> float:
    return found


def _beyond(mean: float, told: float, found: float) -> float:
    return mean + (found - told)


def _beyond_mass(mean: float, told: float, found: float) -> float:
    """The same of logarithms of masses, so that a change of 50 g stays one of 50 g."""
    if mean == told:
        return found
    mass = exp(mean) + exp(found) - exp(told)
    return log(max(mass, exp(mean) / 2))  # readings may have halved what was a guess


_CARRY = {"mass": _beyond_mass, "cg": _beyond, "inertia": _beyond}
