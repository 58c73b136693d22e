"""Explanations of readings, against Gaussian algebra written out for each of them."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from estimation.scenes import AT, drop, hung, kit, logged, swapped
from scipy.stats import multivariate_normal  # type: ignore[import-untyped]  # ships no types

from riglog.estimation import wild
from riglog.estimation.hanging import Hanging
from riglog.estimation.heights import FROM_HORIZONTAL
from riglog.estimation.inference import Inference
from riglog.estimation.wild import WILD_SD_M, WILD_SHARE, mixture
from riglog.mechanics.pendulum import drop_time
from riglog.records import BalancePoint, HangsUpright, Weight

if TYPE_CHECKING:
    from riglog.estimation.kit import Hung, Logged

FREE = ("stage-fore-aft", "stage-side", "pivot")


def trimmed() -> Hung:
    """The build where it hangs upright and drops in 3 s by its documents, as its scales show it."""
    hanging = Inference(kit(), [hung()]).stands[0]
    tree = hanging.tree
    settled = hanging.settle([tree.adjusters.index(name) for name in FREE], 3.0)
    settings = zip(tree.adjusters, settled.positions_m, strict=True)
    return hung()._replace(settings={name: round(float(at), 4) for name, at in settings})


def readings(slip_m: float = 0.0) -> list[Logged]:
    """Five drops of a rig that is as its documents say, the third's mark read wrongly."""
    found = []
    there = trimmed()
    for number, higher in enumerate((-0.001, 0.0, 0.001, 0.0015, 0.002)):
        at = there.settings["pivot"] + higher
        stood = there._replace(settings={**there.settings, "pivot": at})
        hangs = Inference(kit(), [stood]).stands[0].hangs
        time = float(drop_time(at - hangs.cg_m[0, 2], hangs.gyration_m2[0]))
        read = round(at + slip_m * (number == 2), 4)
        found.append(logged(drop(time), stood._replace(settings={**stood.settings, "pivot": read})))
    return found


def mark(hanging: Hanging) -> float:
    """Best mark of a drop of 3 s."""
    settled = hanging.settle([hanging.tree.adjusters.index(name) for name in FREE], 3.0)
    return hanging.settings(settled, 3.0)[2].value


def test_explanations_have_the_odds_and_say_what_explicit_gaussians_say() -> None:
    taken = [
        *readings(0.009),
        logged(HangsUpright(build="a-cam", on=AT), trimmed()),
        logged(BalancePoint(build="a-cam", on=AT, at=0.4995), trimmed()),
        logged(Weight(build="a-cam", on=AT, mass=12.2), trimmed()),
    ]
    asked = trimmed()._replace(build=swapped(), version="asked")
    inference = Inference(kit(*taken), [asked])
    hanging = inference.stands[0]
    posterior, why = inference.posterior, inference.why
    rows = hanging.setting_rows(hanging.settle([1, 2, 0], 3.0), 3.0)
    total = np.linalg.inv(posterior.precision)
    cross = posterior.cross(rows)
    beyond = posterior.innovation
    may = [
        i for i, claim in enumerate(posterior.observations.claims)
        if claim.kind in {"drop", "height"}
    ]  # fmt: skip
    assert len(may) == 6
    sets = [(), *((i,) for i in may), *combinations(may, 2)]
    odds, totals = {}, {}
    for each in sets:
        totals[each] = total + np.diag([WILD_SD_M**2 * (i in each) for i in range(len(total))])
        density = multivariate_normal(cov=totals[each]).logpdf(beyond)
        odds[each] = density + len(each) * np.log(WILD_SHARE / (1 - WILD_SHARE))
    share = {each: float(np.exp(odd - max(odds.values()))) for each, odd in odds.items()}
    all_of_them = sum(share.values())

    mixed = mixture(posterior, why, rows)
    kept = [tuple(int(i) for i in each if i >= 0) for each in why.wild]
    assert len(set(kept)) == len(kept)
    assert sum(share[each] for each in kept) >= 0.999 * all_of_them
    told = sum(share[each] for each in kept)
    assert why.probability == pytest.approx([share[each] / told for each in kept], rel=1e-6)
    prior_of_asked = posterior.covariance(rows) + cross @ posterior.precision @ cross.T
    at_best = rows.jacobian @ (posterior.theta - posterior.prior_mean)
    for number, each in enumerate(kept):
        gain = np.linalg.solve(totals[each], cross.T).T
        assert mixed.change[number] == pytest.approx(gain @ beyond - at_best, abs=1e-10)
        expected = prior_of_asked - gain @ cross.T
        assert mixed.covariance[number] == pytest.approx(expected, rel=1e-6, abs=1e-13)


@pytest.mark.parametrize("slip_m", [0.012, -0.012])
def test_one_drop_that_is_12_mm_off_among_five_hardly_moves_the_answer(slip_m: float) -> None:
    asked = trimmed()._replace(version="asked")
    good = Inference(kit(*readings()), [asked]).stands[0]
    bad = Inference(kit(*readings(slip_m)), [asked]).stands[0]
    assert abs(mark(bad) - mark(good)) < 0.001


def test_believed_like_the_rest_a_mark_read_too_low_moves_the_answer_by_millimeters(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Read too high it would be a fast drop, which tells a height less well, and so weighs less.
    asked = trimmed()._replace(version="asked")
    good = Inference(kit(*readings()), [asked]).stands[0]
    monkeypatch.setattr(wild, "WILD_SHARE", 1e-300)
    bad = Inference(kit(*readings(-0.012)), [asked]).stands[0]
    assert mark(bad) - mark(good) < -0.0015


def test_the_best_guess_at_the_parameters_is_that_of_all_explanations_together() -> None:
    # Where the adjusters go by it is where the mixture of the explanations has its mean.
    asked = trimmed()._replace(build=swapped(), version="asked")
    hanging = Inference(kit(*readings(-0.012)), [asked]).stands[0]
    inference, tree = hanging.inference, hanging.tree
    settled = hanging.settle([tree.adjusters.index(name) for name in FREE], 3.0)
    found = [each.value for each in hanging.settings(settled, 3.0)]
    # Rigging is no parameter: a tenth of a millimeter is what it is worth.
    assert found == pytest.approx(settled.positions_m[settled.moved], abs=1e-4)
    believed = Hanging(inference, asked, hanging.stand)
    believed.theta = inference.posterior.theta
    wrong = believed.settle([tree.adjusters.index(name) for name in FREE], 3.0)
    assert abs(wrong.positions_m[tree.pivot] - found[2]) > 0.0005


@pytest.mark.parametrize("slip_m", [0.012, -0.012])
def test_a_drop_that_is_far_off_is_the_one_taken_for_wild(slip_m: float) -> None:
    inference = Inference(kit(*readings(slip_m)), [trimmed()._replace(version="asked")])
    claims = inference.posterior.observations.claims
    share = sum(
        float(p)
        for p, each in zip(inference.why.probability, inference.why.wild, strict=True)
        if any(i >= 0 and claims[i].reading == 2 for i in each)
    )
    assert share > 0.95


def test_good_drops_are_mostly_believed() -> None:
    why = Inference(kit(*readings()), [trimmed()._replace(version="asked")]).why
    assert why.wild[0].tolist() == [-1, -1]
    assert why.probability[0] > 0.7


def test_trim_and_weight_are_never_wild() -> None:
    taken = [
        logged(HangsUpright(build="a-cam", on=AT), trimmed()),
        logged(Weight(build="a-cam", on=AT, mass=15.0), trimmed()),
    ]
    why = Inference(kit(*taken), [trimmed()]).why
    assert why.wild.tolist() == [[-1, -1]]
    assert why.probability == pytest.approx([1.0])


def test_the_factor_of_a_drop_from_horizontal_is_that_of_its_integral() -> None:
    from scipy.special import ellipk  # type: ignore[import-untyped]  # ships no types

    assert pytest.approx(float(ellipk(0.5)), rel=1e-300) == FROM_HORIZONTAL
