"""Masses from scales, centers from supports, inertia from swings."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from riglog.mechanics.arrays import floats
from riglog.mechanics.readings import sd_of_step, sd_within


class ShownMass(NamedTuple):
    """A mass [kg]; its standard deviation is the root of the two squares together.

    ``random_sd_kg`` is what other weighings on the same scale help against, ``common_sd_kg`` what
    they have in common.
    """

    mass_kg: float
    random_sd_kg: float
    common_sd_kg: float


def shown_mass(
    shown_kg: npt.ArrayLike,
    without_kg: float,
    *,
    resolution_kg: float,
    linearity_kg: float,
    check_error: float,
) -> ShownMass:
    """The mass that a scale's readings tell, and how well.

    Parameters
    ----------
    shown_kg : (n,) array
        What the scale showed, several times.
    without_kg
        What it showed without the thing; 0 where the scale was empty and set to zero.
    resolution_kg
        Step of the display: each reading is rounded to it (GUM F.2.2.1).
    linearity_kg
        Half width of the band that the scale stays within (GUM 4.3.7), apart at different loads.
    check_error
        Share by which it was off when it was last held against a reference mass, taken for the
        half width of what it may be off since.

    Raises
    ------
    ValueError
        If the thing has no mass left.
    """
    shown = floats(shown_kg)
    mass = float(np.mean(shown)) - without_kg
    if mass <= 0.0:
        raise ValueError("what is weighed must weigh more than what is taken off")
    step, count = float(sd_of_step(resolution_kg)), np.size(shown)
    scatter = float(np.std(shown, ddof=1)) if count > 1 else 0.0
    two_loads = 2**0.5 if without_kg else 1.0
    random = np.hypot(max(scatter, step) / count**0.5, step if without_kg else 0.0)
    common = np.hypot(sd_within(linearity_kg) * two_loads, sd_within(abs(check_error) * mass))
    return ShownMass(mass, float(random), float(common))


class Center(NamedTuple):
    """A center of gravity along an axis [m], and its standard deviation [m]."""

    at_m: float
    sd_m: float


def center_on_supports(
    front_kg: float, rear_kg: float, apart_m: float, *, sd_kg: float, sd_m: float
) -> Center:
    """Center of gravity ahead of the rear support, from what two supports carry.

    x = F L / (F + R) (weighing on two points, FAA-H-8083-1, chapter 3).

    Parameters
    ----------
    front_kg, rear_kg
        What the scales under the supports show; one of them may be nothing.
    apart_m
        Distance between the supports.
    sd_kg
        Standard deviation of each of the two masses.
    sd_m
        Standard deviation of each support's place.

    Raises
    ------
    ValueError
        If nothing lies on the supports, or they are at one place.
    """
    total = front_kg + rear_kg
    if total <= 0.0 or apart_m <= 0.0 or min(front_kg, rear_kg) < 0.0:
        raise ValueError("two supports apart from each other must carry something")
    share = front_kg / total
    by_mass = apart_m * sd_kg * float(np.hypot(front_kg, rear_kg)) / total**2
    by_place = sd_m * float(np.hypot(share, 1.0 - share))
    return Center(share * apart_m, float(np.hypot(by_mass, by_place)))


class SwungInertia(NamedTuple):
    """Moment of inertia about the center of gravity [kg m^2], and its standard deviation."""

    moment_kg_m2: float
    sd_kg_m2: float


def inertia_by_swinging(
    mass_kg: float,
    hung_m: float,
    period_s: float,
    *,
    gravity_m_s2: float,
    sds: tuple[float, float, float],
) -> SwungInertia:
    """Inertia about the center of gravity of a body that swings about an axis away from it.

    I = (T / 2 pi)^2 m g l - m l^2 for small swings (physical pendulum and parallel-axis theorem,
    as D. Halliday, R. Resnick, J. Walker, Fundamentals of Physics, chapter on oscillations, from
    memory).

    Parameters
    ----------
    mass_kg
    hung_m
        Distance of the axis from the center of gravity.
    period_s
        Time of one full swing.
    gravity_m_s2
    sds
        Standard deviations of mass [kg], distance [m] and period [s].

    Raises
    ------
    ValueError
        If no body of that mass swings so fast about that axis.
    """
    stiff = gravity_m_s2 * (period_s / (2 * np.pi)) ** 2
    moment = mass_kg * hung_m * (stiff - hung_m)
    if moment <= 0.0:
        raise ValueError("it swings faster than a point mass at that distance")
    slopes = (
        moment / mass_kg,
        mass_kg * (stiff - 2.0 * hung_m),
        2.0 * mass_kg * hung_m * stiff / period_s,
    )
    sd = float(np.linalg.norm([slope * sd for slope, sd in zip(slopes, sds, strict=True)]))
    return SwungInertia(float(moment), sd)
