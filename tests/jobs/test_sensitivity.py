"""`sensitivity`: against the balance of the documents with a weight put there by hand."""

from __future__ import annotations

from math import atan2, radians
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, hangs_at, question
from scipy.optimize import brentq

from riglog.errors import CallError
from riglog.jobs.drop import drop
from riglog.jobs.sensitivity import sensitivity
from riglog.jobs.swap import swap
from riglog.records import Build, Part

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.answers import Value
    from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
    from riglog.library import Library

# Weights of 100 g, without any size, as somebody might tape them on.
MORE = """\
components:
  - id: tape
    kind: other
    mass: 100 g
    mass_sd: 0.01 g
    size: [10 mm, 10 mm, 10 mm]
    cg: [0 mm, 0 mm, 0 mm]
  - {id: nd-6, kind: filter, mass: 180 g, size: [10 mm, 130 mm, 110 mm]}
  - {id: brick, kind: battery, mass: 3.1 kg, size: [100 mm, 110 mm, 190 mm]}
  - {id: card, kind: media, mass: 80 g, size: [40 mm, 60 mm, 80 mm]}
"""
# Where the places are on their hosts: middles of front, top and back by the documents' sizes.
SPOTS = {
    "lens-front": ("lens-35.front", (0.002, 0.0, 0.0)),
    "camera-top": ("body-north.top", (0.012, 0.0, 0.0)),
    "camera-back": ("body-north.top", (0.012 - 0.14, 0.0, -0.085)),
    "base": ("base", (0.0, 0.0, 0.0)),
}


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, MORE) as opened:
        yield opened


def shifts(answer: SensitivityAnswer) -> dict[str, Shift]:
    return {each.name: each for each in answer.shifts}


def best(known: Value | None) -> float:
    assert known is not None
    assert known.value is not None
    return known.value


def width(known: Value | None) -> float:
    """Of its 95 %."""
    assert known is not None
    assert known.low is not None
    assert known.high is not None
    return known.high - known.low


def taped(library: Library, place: str) -> Build:
    """The build with the weight taped on."""
    build = library.standing("a-cam").build
    on, offset = SPOTS[place]
    # The camera's middle is 85 mm up, half its height.
    part = Part(component="tape", on=on, offset=offset)
    return Build(id="taped", rig=build.rig, parts=(*build.parts, part), settings=build.settings)


def balanced(library: Library, build: Build) -> tuple[float, float]:
    """Stage and pivot [m] at which it hangs upright with a height as of a 3 s drop, by search."""

    def off(stage: float) -> float:
        at = {**build.settings, "stage-fore-aft": stage}
        return float(hangs_at(library, build, at).cg[0])  # type: ignore[arg-type]  # figures

    stage = float(brentq(off, -0.2, 0.2))

    def slow(pivot: float) -> float:
        hangs = hangs_at(
            library, build, {**build.settings, "stage-fore-aft": stage, "pivot": pivot}
        )  # type: ignore[arg-type]
        d = pivot - float(hangs.cg[2]) - 1.107 * 0.01 * 0.798 / (9.80665 * float(hangs.mass))
        return 1.8540747**2 * (float(hangs.k2) + d * d) - 9.0 * 9.80665 * d

    low = float(hangs_at(library, build, {**build.settings, "stage-fore-aft": stage}).cg[2])  # type: ignore[arg-type]
    return stage, float(brentq(slow, low + 1e-4, low + 0.05))


@pytest.mark.parametrize("place", list(SPOTS))
def test_100_g_move_pivot_and_stage_as_much_as_a_weight_that_is_taped_on(
    library: Library, place: str
) -> None:
    told = shifts(sensitivity(library, "a-cam"))[place]
    before = balanced(library, library.standing("a-cam").build)
    after = balanced(library, taped(library, place))
    assert best(told.slide_m) == pytest.approx(after[0] - before[0], abs=2e-5)
    assert best(told.lift_m) == pytest.approx(after[1] - before[1], abs=2e-5)
    assert told.mass_kg == pytest.approx(0.1)


@pytest.mark.parametrize("place", list(SPOTS))
def test_untrimmed_it_leans_as_the_taped_one_does(library: Library, place: str) -> None:
    told = shifts(sensitivity(library, "a-cam"))[place]
    build = taped(library, place)
    hangs = hangs_at(library, build, build.settings)  # type: ignore[arg-type]  # all are figures
    below = 0.518 - float(hangs.cg[2])
    assert told.turns_over == (below <= 0)
    assert best(told.lean_rad) == pytest.approx(atan2(float(hangs.cg[0]), abs(below)), abs=0.01)


def test_a_weight_in_front_is_a_trim_job_and_one_on_the_base_a_longer_pendulum(
    library: Library,
) -> None:
    told = shifts(sensitivity(library, "a-cam"))
    now = sensitivity(library, "a-cam").lean_now_rad
    assert best(told["lens-front"].lean_rad) - now > 0.2
    assert best(told["camera-back"].lean_rad) - now < -0.2
    assert best(told["lens-front"].lift_m) > 0 > best(told["base"].lift_m)
    assert best(told["lens-front"].slide_m) < 0 < best(told["camera-back"].slide_m)


def test_small_things_of_the_library_are_told_as_a_swap_tells_them(library: Library) -> None:
    told = shifts(sensitivity(library, "a-cam"))
    assert (told["brick"].what, told["brick"].old) == ("swap", "block-battery")
    assert told["nd-6"].what == told["nd-9"].what == "on"
    assert told["brick"].mass_kg == pytest.approx(0.5, abs=0.01)
    swapped = swap(library, "a-cam", ["block-battery=brick"], wanted="3s").moves
    stays = swap(library, "a-cam", ["nd-9=", "=nd-9@lens-35.front"][1:], wanted="3s").moves
    moves = {move.name: move.to_m for move in swapped}
    filtered = {move.name: move.to_m for move in stays}
    apart = best(told["brick"].lift_m) - best(told["nd-9"].lift_m)
    assert moves["pivot"] - filtered["pivot"] == pytest.approx(apart, abs=3e-4)


def test_what_100_g_do_is_known_far_better_than_where_the_pivot_goes(library: Library) -> None:
    (pivot,) = (m for m in swap(library, "a-cam", [], wanted="3.5s").moves if m.name == "pivot")
    assert pivot.high_m is not None
    assert pivot.low_m is not None
    for place in SPOTS:
        told = shifts(sensitivity(library, "a-cam"))[place]
        assert width(told.lift_m) < 0.1 * (pivot.high_m - pivot.low_m)
        assert told.lift_m.low is not None
        assert told.lift_m.low < best(told.lift_m) < told.lift_m.low + width(told.lift_m)


def test_a_part_of_which_only_the_size_is_known_moves_it_between_wide_bounds(
    library: Library,
) -> None:
    told = shifts(sensitivity(library, "a-cam"))
    assert width(told["brick"].lift_m) > 20 * width(told["base"].lift_m)
    assert width(told["brick"].slide_m) > 20 * width(told["base"].slide_m)


def test_a_drop_tells_how_it_would_lean_since_nobody_touched_the_pivot(library: Library) -> None:
    before = shifts(sensitivity(library, "a-cam"))["camera-back"].lean_rad
    for times in (("3.1", "3.0", "3.2"), ("3.0", "3.1", "3.1")):
        drop(library, question("a-cam", *times, mark="518mm", method="clip"))
    after = shifts(sensitivity(library, "a-cam"))["camera-back"].lean_rad
    assert (before.low, before.high) == (None, None)
    assert width(after) < radians(20)


def test_on_the_side_on_which_it_may_turn_over_a_lean_has_no_bound(library: Library) -> None:
    told = shifts(sensitivity(library, "a-cam"))
    assert any(each.lean_rad.high is None for each in told.values() if best(each.lean_rad) > 0.5)


def test_media_that_is_on_comes_off(library: Library) -> None:
    build = library.standing("a-cam").build
    parts = (*build.parts, Part(component="card", on="body-north.top"))
    library.record(Build(id="carded", rig=build.rig, parts=parts, settings=build.settings))
    told = shifts(sensitivity(library, "carded", "3s"))["card"]
    assert (told.what, round(told.mass_kg, 3)) == ("off", -0.08)
    assert best(told.lift_m) < 0


def test_a_build_without_a_mark_is_to_be_dropped_first(library: Library) -> None:
    with pytest.raises(CallError, match="nobody said where the pivot of b-cam stands"):
        sensitivity(library, "b-cam")
