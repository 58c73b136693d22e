"""Several weighings of one thing."""

from __future__ import annotations

import pytest

from riglog.estimation.kit import Weighing
from riglog.estimation.priors import disputed, figures, mass_sd, together
from riglog.records import Component

AT = "2026-03-14T09:00:00Z"


def weighing(mass_kg: float, sd_kg: float) -> Weighing:
    return Weighing(mass_kg, sd_kg, "kim", AT, None, None, f"{mass_kg}")


def test_weighings_that_agree_are_averaged_by_their_precision() -> None:
    mean, sd, scale = together([weighing(1.0, 0.01), weighing(1.02, 0.02)])
    assert mean == pytest.approx((1.0 / 1e-4 + 1.02 / 4e-4) / (1 / 1e-4 + 1 / 4e-4))
    assert sd == pytest.approx((1 / (1 / 1e-4 + 1 / 4e-4)) ** 0.5)
    assert scale == pytest.approx(0.02 / (0.01**2 + 0.02**2) ** 0.5)


def test_three_that_lie_far_apart_are_known_as_badly_as_they_scatter() -> None:
    three = [weighing(mass, 0.001) for mass in (1.0, 1.1, 1.2)]
    mean, sd, _ = together(three)
    assert mean == pytest.approx(1.1)
    # The standard error of a mean of three with a sample standard deviation of 0.1.
    assert sd == pytest.approx(0.1 / 3**0.5)
    assert disputed(three)
    assert not disputed(three[:1])


def test_a_weighing_that_is_said_to_be_exact_leaves_others_a_say() -> None:
    mean, sd, _ = together([weighing(1.0, 0.0), weighing(1.001, 0.0005)])
    assert mean == pytest.approx(1.0005)
    assert sd > 0


def test_a_scale_beside_a_sheet_leaves_the_sheet_little_say() -> None:
    sheet, scale = (weighing(m, mass_sd(m, None, by)) for m, by in
                    ((1.88, "maker's sheet"), (1.84, "bench scale")))  # fmt: skip
    lens = Component(id="lens-35", kind="lens", mass=1.84)
    both, alone = figures(lens, [sheet, scale]), figures(lens)
    assert both.log_mass == pytest.approx(alone.log_mass, abs=5e-4)
    assert both.log_mass_sd == pytest.approx(alone.log_mass_sd, rel=0.01)
