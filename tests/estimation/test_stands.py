"""What two stands share: their settings' errors and the seating of the parts nobody touched."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import A_CAM, BODY, PARTS, hung, kit, swapped

from riglog.estimation.parameters import Parameters
from riglog.estimation.rows import Rows, rigging_covariance, stack
from riglog.estimation.stands import Stand, Stands
from riglog.records import Part, PivotPair

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung, Kit

LATER = "2026-03-15"
# Tilting masses of the build: tube, camera, lens, battery, screen.
MASSES = np.array([2.5, 4.21, 1.12, 2.6, 1.2])


def stands(*each: Hung, of: Kit | None = None) -> tuple[Parameters, list[Stand]]:
    parameters = Parameters(of or kit())
    made = Stands(parameters)
    return parameters, [made.stand(one) for one in each]


def shared(one: Stand, other: Stand) -> list[bool]:
    """Whether pivot, fore-aft and side slide have one setting error in both."""
    return [bool(same) for same in one.settings == other.settings]


def test_readings_at_one_stand_share_its_setting_errors() -> None:
    parameters, (one, other) = stands(hung(), hung())
    assert shared(one, other) == [True, True, True]
    sd = np.sqrt(parameters.variance)[one.settings]
    assert sd == pytest.approx([0.0005, 0.001, 0.0005])


def test_a_pivot_set_anew_has_an_error_of_its_own() -> None:
    _, (one, other) = stands(hung(), hung(pivot=0.48))
    assert shared(one, other) == [False, True, True]


def test_another_day_everything_is_set_anew() -> None:
    _, (one, other) = stands(hung(), hung(day=LATER))
    assert shared(one, other) == [False, False, False]


def test_a_swap_sets_the_pivot_anew_and_leaves_the_slides_that_read_the_same() -> None:
    _, (one, other) = stands(hung(), hung(swapped(), "v2", stage_side=0.001))
    assert shared(one, other) == [False, True, False]


def test_an_adjuster_that_nobody_set_may_stand_anywhere() -> None:
    stood = hung()._replace(settings={"pivot": 0.5})
    parameters, (one,) = stands(stood)
    assert np.sqrt(parameters.variance)[one.settings] == pytest.approx([0.0005, 0.3, 0.3])


def test_two_sides_that_were_each_read_tell_their_mean_better() -> None:
    parameters, (one, both) = stands(hung(), hung(pivot=PivotPair(left=0.504, right=0.506)))
    assert one.positions_m == pytest.approx(both.positions_m)
    sd = np.sqrt(parameters.variance)[[one.settings[0], both.settings[0]]]
    assert sd == pytest.approx([0.0005, 0.0005 / 2**0.5])


def test_where_the_adjusters_truly_stand_is_what_they_read_and_their_errors() -> None:
    parameters, (one,) = stands(hung())
    theta = parameters.mean
    theta[one.settings[1]] += 0.0007
    assert one.positions(theta) - one.positions_m == pytest.approx([0.0, 0.0007, 0.0])


def test_a_build_is_flattened_once_for_all_days_and_settings() -> None:
    _, (one, other, changed) = stands(hung(), hung(day=LATER, pivot=0.48), hung(swapped(), "v2"))
    assert one.tree is other.tree
    assert one.tree is not changed.tree


def test_a_state_and_a_modified_part_make_another_tree() -> None:
    with_state = replace(A_CAM, states={"lens-35": "long"})
    _, (one, other) = stands(hung(), hung(with_state))
    assert one.tree is not other.tree
    former = {"body-north": ((LATER, replace(BODY, mass=3.9)),)}
    before, after = stands(hung(), hung(day=LATER), of=kit()._replace(former=former))[1]
    assert before.tree is not after.tree


def row(stand: Stand) -> Rows:
    """The height of the whole's center of gravity, as far as seating goes."""
    return Rows(np.zeros((1, 1)), np.array([[0.0, 0.0, 1.0]]), (stand.seats,))


def seating(one: Stand, other: Stand) -> float:
    """What the seating adds to the covariance of both heights, in that of one."""
    return float(rigging_covariance(row(one), row(other))[0, 0]) / 0.00025**2


def test_one_stand_has_one_rigging_error_of_a_quarter_millimeter() -> None:
    _, (one, other) = stands(hung(), hung(pivot=0.48))
    assert seating(one, one) == pytest.approx(1.0)
    assert seating(one, other) == pytest.approx(1.0)


def test_parts_that_nobody_touched_keep_their_seating_in_a_swap() -> None:
    _, (one, other) = stands(hung(), hung(swapped(), "v2"))
    after = np.array([2.5, 4.21, 1.84, 2.6, 1.2])
    kept = [0, 1, 3, 4]
    expected = MASSES[kept] @ after[kept] / np.linalg.norm(MASSES) / np.linalg.norm(after)
    assert seating(one, other) == pytest.approx(expected)
    assert 0.5 < expected < 0.98


def test_what_sits_on_a_part_that_was_changed_is_seated_anew() -> None:
    spare = replace(BODY, id="body-south", mass=3.4)
    named = (
        replace(part, component="body-south", name="body-north")
        if part.id == "body-north"
        else part
        for part in PARTS
    )
    changed = hung(replace(A_CAM, parts=tuple(named)), "v2")
    _, (one, other) = stands(hung(), changed, of=kit(components={"body-south": spare}))
    # The lens went onto another body, so that only tube, battery and screen stayed.
    after = np.array([2.5, 3.4, 1.12, 2.6, 1.2])
    kept = [0, 3, 4]
    expected = MASSES[kept] @ after[kept] / np.linalg.norm(MASSES) / np.linalg.norm(after)
    assert seating(one, other) == pytest.approx(expected)


def test_put_together_again_on_another_day_nothing_keeps_its_seating() -> None:
    _, (one, other) = stands(hung(), hung(day=LATER))
    assert seating(one, other) == 0.0


def test_another_build_of_the_same_parts_is_seated_by_itself() -> None:
    _, (one, other) = stands(hung(), hung(replace(A_CAM, id="b-cam"), "v9"))
    assert seating(one, other) == 0.0


def test_what_does_not_tilt_has_no_share_in_the_rigging() -> None:
    with_handle = replace(A_CAM, parts=(*PARTS, Part(component="handle", on="handle")))
    _, (one, other) = stands(hung(), hung(with_handle, "v2"))
    assert seating(one, other) == pytest.approx(1.0)


def test_rows_of_many_stands_covary_like_each_pair_of_them() -> None:
    _, made = stands(hung(), hung(swapped(), "v2"), hung(pivot=0.48), hung(day=LATER))
    together = stack([row(each) for each in made], 1)
    expected = [[seating(one, other) for other in made] for one in made]
    found = rigging_covariance(together, together) / 0.00025**2
    assert found == pytest.approx(np.array(expected))
