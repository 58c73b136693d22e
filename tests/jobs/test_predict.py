"""`predict`: how a build hangs where it stands, held against the physics of its documents.

Trade facts that are checked here are common practice, no source: raising the pivot shortens the
drop and makes it bottom heavy, lowering it goes through neutral to top heavy.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, degrees, pi
from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import entries, flown, hangs_at, question
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError, NotFoundError
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from estimation.dense import Hangs

    from riglog.jobs.predict_answers import PredictAnswer
    from riglog.library import Library


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def codes(answer: PredictAnswer) -> set[str]:
    return {each.code for each in answer.warnings}


def listed(library: Library, build: str = "a-cam", **readings: float) -> Hangs:
    """How it hangs by its documents alone."""
    noun = library.standing(build).build
    named = {name.replace("_", "-"): at for name, at in readings.items()}
    return hangs_at(library, noun, {**noun.settings, **named})


def drop_s(height_m: float, k2: float) -> float:
    return float(ellipk(0.5)) * float(np.sqrt((k2 + height_m**2) / (9.80665 * height_m)))


def depth(hung: Hangs, pivot_m: float, up: int = 1) -> float:
    """Height above the center of gravity as a drop tells it, less what friction hides."""
    hidden = 1.1069833853 * 0.01 * (2 / pi) ** 0.5 / (9.80665 * float(hung.mass))
    return up * (pivot_m - float(hung.cg[2])) - hidden


@pytest.mark.parametrize(("build", "up", "mark"), [("a-cam", 1, "525"), ("low-cam", -1, "500")])
def test_a_listed_build_hangs_as_its_documents_have_it(
    library: Library, build: str, up: int, mark: str
) -> None:
    answer = predict(library, build, mark)
    pivot = float(mark) / 1000
    hung = listed(library, build)
    assert answer.cg_m == pytest.approx(tuple(hung.cg), abs=1e-12)
    assert answer.gyration_m**2 == pytest.approx(float(hung.k2))
    assert answer.mass_kg == pytest.approx(float(hung.weight))
    assert answer.depth_m.value == pytest.approx(depth(hung, pivot, up), abs=1e-9)
    expected = drop_s(depth(hung, pivot, up), float(hung.k2))
    assert answer.drop_s.value == pytest.approx(expected, abs=1e-6)
    lean = atan2(float(hung.cg[0]), up * (pivot - float(hung.cg[2])))
    assert answer.lean_rad.value == pytest.approx(lean, abs=1e-9)


def test_the_mass_is_as_sure_as_its_parts(library: Library) -> None:
    masses = (2.5, 4.21, 1.12, 0.5, 2.6, 1.2, 0.9)
    expected = sum(max(0.005, 0.002 * each) ** 2 for each in masses) ** 0.5
    assert predict(library, "a-cam").mass_sd_kg == pytest.approx(expected, rel=1e-4)


def test_it_predicts_where_the_rig_was_left(library: Library) -> None:
    drop(library, question(mark="525"))
    assert predict(library, "a-cam").pivot_m == 0.525
    assert predict(library, "a-cam", "530mm").pivot_m == 0.530
    assert predict(library, "a-cam").pivot_m == 0.525


def test_raising_the_pivot_shortens_the_drop_and_lowering_it_turns_the_rig_over(
    library: Library,
) -> None:
    drop(library, question(mark="518"))
    times = [predict(library, "a-cam", mark).drop_s.value for mark in ("530", "524", "518")]
    assert None not in times
    assert times == sorted(times, key=lambda time: time or 0)
    low = predict(library, "a-cam", "505")
    assert low.drop_s == (None, None, None)
    assert low.lean_rad.value is None
    assert low.margin_kg is None
    assert codes(low) == {"top_heavy"}


def test_an_interval_is_lopsided_and_open_above_near_neutral(library: Library) -> None:
    for time in ("3.09", "3.10", "3.11"):
        drop(library, question("a-cam", time, mark="518", method="sensor"))
    sure = predict(library, "a-cam").drop_s
    assert sure.value is not None
    assert sure.low is not None
    assert sure.high is not None
    assert sure.high - sure.value > sure.value - sure.low
    unsure = predict(library, "a-cam", "514.5").drop_s
    assert unsure.value is not None
    assert unsure.high is None


def test_a_lean_has_no_bound_where_the_rig_might_not_hang_at_all(library: Library) -> None:
    unsure = predict(library, "a-cam").lean_rad
    assert unsure.value == pytest.approx(0.0155, abs=0.001)
    assert (unsure.low, unsure.high) == (None, None)
    sure = predict(library, "a-cam", "590").lean_rad
    assert sure.low is not None
    assert sure.high is not None
    assert -pi / 2 < sure.low < 0 < sure.high < pi / 2


def test_a_lean_read_off_the_rig_is_known_to_that(library: Library) -> None:
    drop(library, question(mark="518", on="2026-03-14T09:10"))
    _record(library, "{build: a-cam, kind: lean, lean: 4 deg, sd: 1 deg, on: 2026-03-14T09:20}")
    lean = predict(library, "a-cam").lean_rad
    assert lean.value is not None
    assert lean.low is not None
    assert lean.high is not None
    # Against the 2.9 degrees within which a rig is taken to be trimmed when it is dropped.
    assert degrees(lean.value) == pytest.approx(4 / (1 + (1 / 2.9) ** 2), abs=0.3)
    assert degrees(lean.high - lean.low) == pytest.approx(2 * 1.96, rel=0.25)


@pytest.mark.parametrize(
    ("reading", "better"),
    [
        ("kind: weight, mass: 13.1 kg, sd: 2 g", "mass"),
        ("kind: balance-point, at: 512 mm, sd: 1 mm", "depth"),
        ("kind: hangs-upright, within: 1 deg", "lean"),
        ("kind: drop, times: [3.0 s, 3.1 s]", "depth"),
    ],
)
def test_each_kind_of_reading_narrows_what_it_tells_of(
    library: Library, reading: str, better: str
) -> None:
    before = predict(library, "a-cam", "560")
    _record(library, f"{{build: a-cam, {reading}, on: 2026-03-14T09:20}}")
    now = predict(library, "a-cam", "560")
    widths = {"mass": (before.mass_sd_kg, now.mass_sd_kg)}
    widths["depth"] = _width(before.depth_m), _width(now.depth_m)
    widths["lean"] = _width(before.lean_rad), _width(now.lean_rad)
    assert widths[better][1] < 0.7 * widths[better][0]
    assert all(after < 1.02 * was for was, after in widths.values())


def _width(value: tuple[float | None, float | None, float | None]) -> float:
    _, low, high = value
    assert low is not None
    assert high is not None
    return high - low


def test_a_balance_point_moves_neutral_towards_where_it_balanced(library: Library) -> None:
    before = predict(library, "a-cam").cg_m[2]
    _record(
        library, "{build: a-cam, kind: balance-point, at: 520 mm, sd: 1 mm, on: 2026-03-14T09:20}"
    )
    now = predict(library, "a-cam").cg_m[2]
    assert before < 0.514
    assert 0.518 < now < 0.520


def test_a_weight_moves_the_mass_of_what_is_least_known(library: Library) -> None:
    swapped = library.standing("a-cam").build
    parts = tuple(
        replace(each, component="lens-new")
        if each.id == "lens-35"
        else replace(each, on=each.on.replace("lens-35", "lens-new"))
        for each in swapped.parts
    )
    library.record(replace(swapped, id="n-cam", parts=parts))
    assert predict(library, "n-cam").evidence.unweighed == ["lens-new"]
    _record(library, "{build: n-cam, kind: weight, mass: 13.41 kg, sd: 5 g, on: 2026-03-14T09:20}")
    # 11.91 kg of it are weighed: the lens is left with 1.5 kg.
    assert predict(library, "n-cam").mass_kg == pytest.approx(13.41, abs=0.005)


def test_what_somebody_learned_of_a_lens_on_one_build_is_known_of_the_other(
    library: Library,
) -> None:
    unit = library.standing("a-cam").build
    for name, lens in (("one", "lens-75"), ("other", "lens-75-b")):
        parts = tuple(
            replace(each, component=lens)
            if each.id == "lens-35"
            else replace(each, on=each.on.replace("lens-35", lens))
            for each in unit.parts
        )
        library.record(replace(unit, id=f"{name}-cam", parts=parts))
    before = predict(library, "other-cam", "560").depth_m
    drop(library, question("one-cam", "2.0", mark="545", method="sensor"))
    now = predict(library, "other-cam", "560").depth_m
    assert _width(now) < 0.5 * _width(before)


def test_margin_is_told_in_mass_at_the_camera(library: Library) -> None:
    answer = predict(library, "a-cam", "525")
    hung = listed(library)
    up = float(hung.places[1][2]) - 0.525
    assert answer.margin_kg == pytest.approx(depth(hung, 0.525) * float(hung.mass) / up, rel=1e-3)


def test_nothing_is_said_of_a_height_that_nobody_set(library: Library) -> None:
    answer = predict(library, "b-cam")
    nothing = (None, None, None)
    assert answer.drop_s == answer.depth_m == answer.lean_rad == nothing
    assert answer.pivot_m is answer.margin_kg is None
    assert codes(answer) == {"unset_pivot"}
    assert answer.evidence.unset == ["pivot"]


def test_far_above_its_center_a_rig_drops_slower_again_and_is_told_so(library: Library) -> None:
    rig = library.rig("post-one")
    tall = replace(rig.adjusters[0], travel=(0.3, 1.5))
    library.record(replace(rig, adjusters=(tall, *rig.adjusters[1:])))
    high, higher = (predict(library, "a-cam", mark).drop_s for mark in ("1000", "1400"))
    assert high.value is not None
    assert higher.value is not None
    assert higher.value > high.value
    assert higher.low is not None
    assert higher.high is not None
    assert higher.low < higher.value < higher.high
    assert "above_shortest" in codes(predict(library, "a-cam", "1400"))
    assert "above_shortest" not in codes(predict(library, "a-cam", "560"))


def test_a_far_lean_is_to_be_trimmed_first(library: Library) -> None:
    before = library.standing("a-cam").build
    library.record(replace(before, settings={**before.settings, "stage-fore-aft": 0.0}))
    (told,) = [each for each in predict(library, "a-cam").warnings if each.code == "not_trimmed"]
    hung = listed(library, pivot=0.518)
    lean = atan2(float(hung.cg[0]), 0.518 - float(hung.cg[2]))
    assert told.figure == pytest.approx(lean, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "error"),
    [
        (("a-cam", "700"), CallError),
        (("a-cam", "five"), CallError),
        (("z-cam", None), NotFoundError),
        ((None, None), CallError),
    ],
)
def test_words_that_name_nothing_are_refused(
    library: Library, words: tuple[str | None, str | None], error: type[Exception]
) -> None:
    with pytest.raises(error):
        predict(library, *words)


def test_a_prediction_records_nothing(library: Library) -> None:
    before = entries(library)
    predict(library, "a-cam")
    assert entries(library) == before


def _record(library: Library, reading: str) -> None:
    file = library.path.parent / "reading.yaml"
    file.write_text(f"riglog: 1\nreadings:\n  - {reading}\n")
    library.add([str(file)])
