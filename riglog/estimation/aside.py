"""What pulls a rig out of upright although it does not lie off the frame's own center.

A payload that a powered head keeps level is a point on the head's axis. Where it hangs off that
axis the head's servo holds it, and turns the frame with a torque that does not change as the frame
tilts. While the rig hangs upright it counts as if the payload lay where it is; over M g it is

    aside = sum over the payload of m_i (a_i - b) / M

with a_i linear in parameters and positions. b is none for a payload that is balanced. One that is
not hangs where it was balanced with other parts on it: b is where those had their center.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from riglog.mechanics.arrays import FloatArray


class Former(NamedTuple):
    """A payload of m parts that was balanced on its head.

    Attributes
    ----------
    on : (n,) array
        1 for the parts that hang now where these were balanced.
    log_mass : (m, q) array
    base : (m, 2) array [m], shifts : (m, 2, q) array
        Places off the head's axis, forward and to the left.
    """

    on: FloatArray
    log_mass: FloatArray
    base: FloatArray
    shifts: FloatArray


class Aside(NamedTuple):
    """The a_i as arrays: n parts, a adjusters, q columns of the parameters.

    Attributes
    ----------
    base : (n, 2) array [m], slides : (n, a, 2) array, shifts : (n, 2, q) array
        Forward and to the left.
    """

    base: FloatArray
    slides: FloatArray
    shifts: FloatArray
    former: Former | None


class Asides(NamedTuple):
    """The same evaluated at k positions; leading axes of the parameters come first.

    Attributes
    ----------
    part_m : (..., k, n, 2) array [m]
        a_i - b.
    whole_m : (..., k, 2) array [m]
    former_share : (..., m) array, former_apart_m : (..., m, 2) array [m]
        Shares of the former payload's mass, and its parts' places from b; m is 0 without one.
    """

    part_m: FloatArray
    whole_m: FloatArray
    former_share: FloatArray
    former_apart_m: FloatArray


def asides(aside: Aside, local: FloatArray, share: FloatArray, positions_m: FloatArray) -> Asides:
    """Evaluate at parameters ``local`` (..., q) and positions (k, a) [m].

    ``share`` (..., n) is that of each part in the mass that tilts.
    """
    fixed = aside.base + np.einsum("...q,niq->...ni", local, aside.shifts)
    part = fixed[..., None, :, :] + np.einsum("ka,nai->kni", positions_m, aside.slides)
    former_share, apart = np.zeros((0,)), np.zeros((0, 2))
    if aside.former is not None:
        former_share, apart, center = _balanced(aside.former, local)
        part = part - (aside.former.on[:, None] * center[..., None, :])[..., None, :, :]
    return Asides(part, np.einsum("...n,...kni->...ki", share, part), former_share, apart)


def _balanced(former: Former, local: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Shares (..., m) of the former payload, places (..., m, 2) about its center b, and b."""
    mass = np.exp(local @ former.log_mass.T)
    share = mass / mass.sum(axis=-1, keepdims=True)
    places = former.base + np.einsum("...q,miq->...mi", local, former.shifts)
    center = np.einsum("...m,...mi->...i", share, places)
    return share, places - center[..., None, :], center


def aside_gradient(
    aside: Aside, at: Asides, share: FloatArray, weights: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Gradient of k sums of it, weighed (k, 2): to logarithms of masses, columns and positions.

    Shapes (k, n), (k, q) and (k, a); ``at`` has no leading axes.
    """
    to_part = share[:, None] * weights[:, None, :]
    to_mass = share * np.einsum("kni,ki->kn", at.part_m - at.whole_m[:, None, :], weights)
    to_columns = np.einsum("kni,niq->kq", to_part, aside.shifts)
    if aside.former is not None:
        to_center = -np.einsum("kni,n->ki", to_part, aside.former.on)
        pulled = at.former_share[:, None] * at.former_apart_m
        to_columns += (to_center @ pulled.T) @ aside.former.log_mass
        to_columns += np.einsum("ki,m,miq->kq", to_center, at.former_share, aside.former.shifts)
    return to_mass, to_columns, np.einsum("kni,nai->ka", to_part, aside.slides)
