"""Rings whose guides lean or lie, through documents: every move against the dense model.

The drop time is T = K(1/2) sqrt((k^2 + d^2) / (g d)), with d less what friction hides.
"""

from __future__ import annotations

from math import atan, cos, pi, radians, sin
from typing import TYPE_CHECKING

import pytest
from jobs.flown import entries, flown, hangs_at, question
from jobs.slanted import SLANTED
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError, UnreachableError
from riglog.jobs.drop import drop
from riglog.jobs.find import find
from riglog.jobs.lens_table import lens_table
from riglog.jobs.predict import predict
from riglog.jobs.sensitivity import sensitivity
from riglog.jobs.shot import shot
from riglog.jobs.shot_question import ShotQuestion
from riglog.jobs.swap import swap
from riglog.jobs.trim import trim_build

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from riglog.jobs.answers import Move, Value
    from riglog.library import Library
    from riglog.records import Build

GRAVITY = 9.80665
# A bearing's friction: half-normal of 0.01 N m on average; the shift of neutral that it acts as.
FRICTION_N_M, SHIFT = 0.01 * (2 / pi) ** 0.5, 1.1069833853
LEAN = radians(25)


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, SLANTED) as opened:
        yield opened


def value(known: float | None) -> float:
    assert known is not None
    return known


def best(known: Value | None) -> float:
    assert known is not None
    return value(known.value)


def named(moves: Sequence[Move]) -> dict[str, Move]:
    return {move.name: move for move in moves}


def off(library: Library, build: Build, at: Mapping[str, float]) -> tuple[float, float]:
    """Center of gravity forward of the axis by the documents [m], and the drop time there [s]."""
    hangs = hangs_at(library, build, at)
    lean = library.rig(build.rig).adjuster("pivot").axis == "z"
    x, z = (at["pivot"] * sin(LEAN), at["pivot"] * cos(LEAN)) if lean else (at["pivot"], 0.0)
    below = z - float(hangs.cg[2]) - SHIFT * FRICTION_N_M / (GRAVITY * float(hangs.mass))
    k2 = float(hangs.k2)
    time = float(ellipk(0.5)) * ((k2 + below**2) / (GRAVITY * below)) ** 0.5
    return float(hangs.cg[0]) - x, time


def swapped(library: Library, name: str) -> Build:
    """The build with the longer lens on."""
    return library.standing(name).build


@pytest.mark.parametrize("name", ["slant", "flat"])
def test_a_swap_trims_and_sets_the_drop_wherever_the_guides_go(library: Library, name: str) -> None:
    answer = swap(library, name, ["slant-lens=slant-long"], wanted="2.2", save="long")
    moves = named(answer.moves)
    forward, time = off(library, swapped(library, "long"), {n: m.to_m for n, m in moves.items()})
    assert forward == pytest.approx(0.0, abs=1e-6)
    assert time == pytest.approx(2.2, abs=1e-4)


def test_the_first_mark_on_guides_that_lean_has_the_slide_that_keeps_it_in_trim(
    library: Library,
) -> None:
    answer = swap(library, "slant", ["slant-lens=slant-long"], save="long")
    pivot, cradle = named(answer.moves)["pivot"], answer.first.also[0]
    assert answer.first.name == "pivot"
    assert answer.first.set_m > pivot.to_m + 0.002
    at = {"pivot": answer.first.set_m, "cradle-fore-aft": cradle.to_m}
    build = swapped(library, "long")
    forward, time = off(library, build, at)
    assert forward == pytest.approx(0.0, abs=1e-6)
    # The answer leaves out that k^2 goes with the slide too.
    assert time == pytest.approx(value(answer.first.drop_s.value), abs=5e-3)
    # That is where it is saved, and where the step of the work puts it.
    assert build.settings == {"pivot": answer.first.set_m, "cradle-fore-aft": cradle.set_m}
    (step,) = (each for each in answer.steps if each.do == "set")
    assert step.to_m == cradle.set_m != named(answer.moves)["cradle-fore-aft"].set_m


def test_on_guides_that_lie_the_pivot_trims_and_the_cradle_sets_the_drop(library: Library) -> None:
    answer = swap(library, "flat", ["slant-lens=slant-long"])
    moves = named(answer.moves)
    assert moves["pivot"].toward == "forward"
    assert moves["pivot"].sides is not None
    assert answer.first.name == "cradle-height"
    # Lower is bottom heavier.
    assert answer.first.toward == "down"
    assert answer.first.set_m < moves["cradle-height"].to_m
    assert not answer.first.also
    steps = [(each.do, each.what) for each in answer.steps if each.what in moves]
    assert steps == [("set", "pivot"), ("first-mark", "cradle-height"), ("move", "cradle-height")]


def test_a_part_that_slides_with_the_pivot_goes_along_its_guides(tmp_path: Path) -> None:
    bearing = "{id: bearing, kind: other, mass: 600 g, size: [50 mm, 300 mm, 50 mm]}"
    hoop, lens = "      hoop: [0 mm, 0 mm, 0 mm]\n", "on: slant-body.lens}\n"
    sides = "      sides: {at: [0 mm, 0 mm, 0 mm], moved_by: [pivot]}\n"
    carried = SLANTED.replace("rigs:\n", f"  - {bearing}\nrigs:\n", 1)
    carried = carried.replace(hoop, hoop + sides)
    carried = carried.replace(lens, f"{lens}      - {{component: bearing, on: sides}}\n", 1)
    with flown(tmp_path, carried) as library:
        answer = swap(library, "slant", ["slant-lens=slant-long"], wanted="2.2", save="long")
        at = {name: move.to_m for name, move in named(answer.moves).items()}
        forward, time = off(library, swapped(library, "long"), at)
    assert forward == pytest.approx(0.0, abs=1e-6)
    assert time == pytest.approx(2.2, abs=1e-4)


@pytest.mark.parametrize(
    ("name", "mark", "slides"), [("slant", "247mm", True), ("flat", "-12mm", False)]
)
def test_the_fine_move_goes_along_the_guides_and_keeps_the_trim(
    library: Library, name: str, mark: str, slides: bool
) -> None:
    build = library.standing(name).build
    answer = drop(library, question(name, "1.8", "1.9", mark=mark, want="2.6"))
    assert answer.sets == ("pivot" if slides else "cradle-height")
    assert bool(answer.taken_back) is slides
    assert answer.toward == ("down" if slides else "up")
    stood = {**build.settings, "pivot": value(answer.mark_m)}
    goes = {**stood, answer.sets: value(answer.set_m)}
    goes |= {move.name: move.to_m for move in answer.taken_back}
    before, after = (off(library, build, at)[0] for at in (stood, goes))
    assert after == pytest.approx(before, abs=1e-5)
    # By the drop itself: the height that it tells, less that of the wanted time, along the guides.
    hangs = hangs_at(library, build, stood)
    far = value(answer.move_m) * (cos(LEAN) if slides else -_share(library, build))
    told, wanted = (_height(each, float(hangs.k2)) for each in (1.85, 2.6))
    assert far == pytest.approx(wanted - told, rel=0.05)


def _height(time_s: float, k2: float) -> float:
    middle = GRAVITY * (time_s / float(ellipk(0.5))) ** 2 / 2
    return float(k2 / (middle + (middle**2 - k2) ** 0.5))


def _share(library: Library, build: Build) -> float:
    """Share of the mass that the cradle raises."""
    low, high = (
        float(hangs_at(library, build, {"pivot": 0.0, "cradle-height": at}).cg[2])
        for at in (0.0, 1.0)
    )
    return high - low


@pytest.mark.parametrize("name", ["slant", "flat", "bare"])
def test_trim_brings_it_upright_wherever_the_guides_go(library: Library, name: str) -> None:
    build = library.standing(name).build
    answer = trim_build(library, name, set_=["pivot=15mm"] if name != "slant" else ["pivot=260mm"])
    forward, time = off(library, build, {move.name: move.to_m for move in answer.moves})
    assert forward == pytest.approx(0.0, abs=1e-4)
    if name == "bare":
        assert (answer.sets, answer.wanted_s, answer.first) == ("", None, None)
    else:
        assert time == pytest.approx(2.0, abs=0.01)
        assert answer.first is not None
        assert value(answer.first.drop_s.value) < 2.0
    assert value(answer.then.lean_rad) == pytest.approx(0.0, abs=0.02)


def test_trim_on_guides_that_lean_is_as_uncertain_as_the_mark_makes_it(library: Library) -> None:
    # A swap solves for both at once, by another way.
    asked = named(swap(library, "slant", ["slant-lens=slant-long"], save="long").moves)
    told = named(trim_build(library, "long", wanted="2").moves)
    for name in ("pivot", "cradle-fore-aft"):
        assert told[name].to_m == pytest.approx(asked[name].to_m, abs=2e-5)
        widths = [value(each[name].high_m) - value(each[name].low_m) for each in (told, asked)]
        assert widths[0] == pytest.approx(widths[1], rel=0.01)


@pytest.mark.parametrize("name", ["slant", "flat"])
def test_a_table_a_shot_and_a_find_put_it_where_a_swap_does(library: Library, name: str) -> None:
    asked = swap(library, name, ["slant-lens=slant-long"], wanted="2")
    row = lens_table(library, name, "slant-lens", ["slant-long"], wanted=["2"]).rows[0]
    sets = asked.first.name
    mark = row.marks[0]
    assert mark is not None
    assert mark.to_m == pytest.approx(named(asked.moves)[sets].to_m, abs=1e-8)
    assert mark.first_m == asked.first.set_m
    (slide,) = row.slides
    assert slide.to_m == pytest.approx(named(asked.moves)[slide.name].to_m, abs=1e-8)
    swap(library, name, ["slant-lens=slant-long"], wanted="2", save="long")
    seen = shot(library, "long", ShotQuestion(drops=("2",), lean="5deg"))
    assert (seen.sets, seen.lean_name) == (sets, slide.name)
    assert seen.rows[0].mark.to_m == pytest.approx(named(asked.moves)[sets].to_m, abs=1e-8)
    mark_s = "247mm" if name == "slant" else "-12mm"
    drop(library, question(name, "2.0", "2.0", mark=mark_s, want=None))
    (found,) = find(library, [name], build=name).found
    assert found.now is not None
    assert found.now.marked.name == sets


def test_a_lean_wanted_of_a_shot_is_that_of_the_slide_there(library: Library) -> None:
    for name, low, slide in (("slant", 247, "cradle-fore-aft"), ("flat", -12, "pivot")):
        seen = shot(library, name, ShotQuestion(drops=("2",), lean="5deg"))
        at = {seen.sets: seen.rows[0].mark.to_m, slide: best(seen.rows[0].lean_to_m)}
        build = library.standing(name).build
        hangs = hangs_at(library, build, at)
        forward, _ = off(library, build, at)
        height = at["pivot"] * cos(LEAN) if name == "slant" else 0.0
        assert forward / (height - float(hangs.cg[2])) == pytest.approx(0.0875, abs=1e-3)
        assert low


@pytest.mark.parametrize("name", ["slant", "flat"])
def test_what_100_g_do_is_undone_by_what_moves(library: Library, name: str) -> None:
    answer = sensitivity(library, name, "2")
    front = next(each for each in answer.shifts if each.name == "lens-front")
    assert answer.slide_name == ("cradle-fore-aft" if name == "slant" else "pivot")
    # 100 g about a quarter of a meter ahead is taken back by the slide, and by the pivot ahead.
    assert (best(front.slide_m) < 0) is (name == "slant")
    assert abs(best(front.lift_m)) > 1e-5


def test_where_nothing_sets_the_drop_a_swap_trims_and_tells_what_results(library: Library) -> None:
    answer = swap(library, "bare", ["slant-lens=slant-long"], save="long")
    assert [move.name for move in answer.moves if move.free] == ["pivot"]
    at = {"pivot": answer.moves[0].to_m}
    forward, time = off(library, swapped(library, "long"), at)
    assert forward == pytest.approx(0.0, abs=1e-6)
    assert value(answer.wanted_s) == pytest.approx(time, abs=1e-4)
    assert answer.first.name == ""
    assert not [each for each in answer.steps if each.do in {"first-mark", "move"}]
    assert swapped(library, "long").settings["pivot"] == answer.moves[0].set_m


def test_where_nothing_sets_the_drop_none_can_be_wanted(library: Library) -> None:
    before = entries(library)
    for asks in (
        lambda: swap(library, "bare", ["slant-lens=slant-long"], wanted="2"),
        lambda: drop(library, question("bare", "0.9", want="2")),
        lambda: trim_build(library, "bare", wanted="2"),
        lambda: shot(library, "bare", ShotQuestion(drops=("2",))),
        lambda: lens_table(library, "bare", "slant-lens", ["slant-long"], wanted=["2"]),
        lambda: sensitivity(library, "bare", "2"),
    ):
        with pytest.raises(UnreachableError, match="nothing on bare sets its drop time"):
            asks()
    assert entries(library) == before
    # The drop time that its document wants is passed over.
    answer = drop(library, question("bare", "0.54", want=None))
    assert (answer.wanted_s, answer.move_m, answer.nudge) == (None, None, None)
    assert value(predict(library, "bare").drop_s.value) == pytest.approx(0.54, abs=0.02)


def test_a_drop_tells_where_other_adjusters_stand(library: Library) -> None:
    told = question("flat", "1.6", mark="-12mm")._replace(set_=("height=-22mm",))
    assert drop(library, told).stands_m == pytest.approx(-0.022)
    stands = library.standing("flat").settings
    assert (stands["pivot"], stands["cradle-height"]) == (pytest.approx(-0.012), -0.022)
    with pytest.raises(CallError, match="pivot is set twice"):
        drop(library, told._replace(set_=("pivot=-10mm",)))


def test_sides_apart_cant_it_by_as_much_as_they_differ_in_height(library: Library) -> None:
    slant = predict(library, "slant", "246mm,249mm")
    assert value(slant.side_rad.value) == pytest.approx(atan(0.003 * cos(LEAN) / 0.52))
    assert [each.code for each in slant.warnings if each.code in {"cant", "askew"}] == ["cant"]
    flat = predict(library, "flat", "-13mm,-10mm")
    assert flat.side_rad.value == 0.0
    assert [each.code for each in flat.warnings if each.code in {"cant", "askew"}] == ["askew"]
