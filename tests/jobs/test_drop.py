"""`drop`: recorded first, then answered with a move that the pendulum bears out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from jobs.flown import entries, flown, hangs_at, question
from scipy.optimize import brentq  # type: ignore[import-untyped]  # scipy ships no types
from scipy.special import ellipk  # type: ignore[import-untyped]  # scipy ships no types

from riglog.errors import CallError, NotFoundError, RiglogError, UnreachableError
from riglog.estimation.tree import reading_m
from riglog.jobs import drop as job
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.jobs.questions import DropQuestion
from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.drop_answers import DropAnswer

STANDARD_GRAVITY = 9.80665
RING = """\
components:
  - {id: hoop, kind: frame, mass: 3 kg, size: [60 mm, 400 mm, 360 mm]}
rigs:
  - id: ring-one
    type: ring
    mounts: {hoop: [0 mm, 0 mm, -20 mm], tray: [0 mm, 0 mm, 0 mm]}
    adjusters:
      - {id: pivot, axis: z, travel: [50 mm, 250 mm], step: 0.1 mm}
builds:
  - id: ring-cam
    rig: ring-one
    parts:
      - {component: hoop, on: hoop}
      - {component: body-north, on: tray}
    settings: {pivot: 130 mm}
"""
DOWN = """\
rigs:
  - id: post-two
    type: post
    mounts: {post: [0 mm, 0 mm, 0 mm], stage: [0 mm, 0 mm, 760 mm], base: [0 mm, 0 mm, 20 mm]}
    adjusters:
      - id: pivot
        axis: z
        scale: {zero: 760 mm, reads: down}
        travel: [240 mm, 400 mm]
        step: 0.5 mm
builds:
  - id: down-cam
    rig: post-two
    parts:
      - {component: post-tube, on: post}
      - {component: body-north, on: stage}
      - {component: block-battery, on: base}
    settings: {pivot: 244 mm}
"""


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path, RING, DOWN) as opened:
        yield opened


def codes(answer: DropAnswer) -> set[str]:
    return {each.code for each in answer.warnings}


def drop_s(height_m: float, k2: float, release_rad: float = np.pi / 2) -> float:
    """Quarter of a period from a release angle, by scipy."""
    quarter = float(ellipk(np.sin(release_rad / 2) ** 2))
    return float(quarter * np.sqrt((k2 + height_m**2) / (STANDARD_GRAVITY * height_m)))


def height_m(time_s: float, k2: float, release_rad: float = np.pi / 2) -> float:
    """Its inverse, on the side where it hangs near neutral."""
    return float(
        brentq(lambda each: drop_s(each, k2, release_rad) - time_s, 1e-6, k2**0.5, xtol=1e-12)
    )


def listed_k2(library: Library, build: str) -> float:
    """k^2 by the documents alone."""
    noun = library.standing(build).build
    readings = {name: reading_m(at) for name, at in noun.settings.items()}
    return float(hangs_at(library, noun, readings).k2)


# Recorded first.


def test_a_drop_is_on_record_before_it_is_answered(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = entries(library)

    def breaks(*_: object) -> None:
        raise RuntimeError

    monkeypatch.setattr(job, "_answer", breaks)
    with pytest.raises(RuntimeError):
        drop(library, question(mark="518"))
    assert entries(library) == before + 1


def test_what_was_said_of_a_drop_is_what_is_on_record(library: Library) -> None:
    answer = drop(
        library,
        question(
            "a-cam", "3.12", mark="518.5", method="clip", fps="24000/1001", nose="down",
            note="rain cover on", on="2026-03-14T09:10:00+01:00",
        ),
    )  # fmt: skip
    entry = library.logbook.entry(answer.recorded)
    assert (entry.author, entry.kind) == ("kim", "reading")
    assert entry.body["times"] == [3.12]
    assert entry.body["settings"] == {"pivot": 0.5185}
    assert entry.body["method"] == "clip"
    assert entry.body["fps"] == pytest.approx(23.976, abs=1e-3)
    assert entry.body["note"] == "rain cover on"


def test_after_a_drop_the_build_stands_at_its_mark(library: Library) -> None:
    drop(library, question(mark="521"))
    assert library.standing("a-cam").settings["pivot"] == 0.521


@pytest.mark.parametrize("times", [("9.5",), ("0.2",), ("0.7", "8.0"), ("60",)])
def test_however_implausible_a_drop_is_recorded_with_a_warning(
    library: Library, times: tuple[str, ...]
) -> None:
    drop(library, question("a-cam", "3.2", mark="518", method="sensor"))
    before = entries(library)
    answer = drop(library, question("a-cam", *times, mark="519", want="3s"))
    assert entries(library) == before + 1
    assert codes(answer) & {"unlikely_drop", "faster_than_possible", "wide_scatter"}


def test_the_shortest_drop_of_a_rig_with_nothing_listed_is_a_usual_ones(tmp_path: Path) -> None:
    with Library.create(tmp_path / "kit.db", "ada") as library:
        answer = drop(library, question("north", "0.3", mark="487"))
    (told,) = (each for each in answer.warnings if each.code == "faster_than_possible")
    assert told.figure == pytest.approx(drop_s(0.34, 0.34**2), rel=0.001)


def test_of_a_time_that_no_rig_has_no_move_follows(library: Library) -> None:
    answer = drop(library, question("a-cam", "0.2", mark="518", want="3s"))
    told = {each.code: each for each in answer.warnings}
    shortest = drop_s(listed_k2(library, "a-cam") ** 0.5, listed_k2(library, "a-cam"))
    # By the documents, and not by what the impossible time makes of them.
    assert told["faster_than_possible"].figure == pytest.approx(shortest, rel=0.001)
    assert (answer.move_m, answer.set_m, answer.margin_kg) == (None, None, None)


@pytest.mark.parametrize(
    "words",
    [
        {"mark": "700mm"},
        {"mark": "soon"},
        {"want": "0s"},
        {"want": "61s"},
        {"want": "3mm"},
        {"method": "eye"},
        {"nose": "left"},
        {"fps": "0"},
        {"fps": "24/0"},
        {"fps": "nan"},
        {"release": "190 deg"},
        {"release": "3s"},
        {"on": "someday"},
        {"type": "wheel"},
    ],
)
def test_a_wrong_word_records_nothing_and_starts_no_rig(
    library: Library, words: dict[str, str]
) -> None:
    before = entries(library)
    # A post that was never heard of has no travel, so a mark beyond it is none there.
    builds = ["zulu-nine"] if "type" in words else ["a-cam", "zulu-nine"]
    builds = ["a-cam"] if words.get("mark") == "700mm" else builds
    for build in builds:
        with pytest.raises(RiglogError) as refused:
            drop(library, question(build, "3.1", **({"mark": "500"} | words)))
        assert refused.value.status == 2
    assert entries(library) == before
    assert "zulu-nine" not in library.logbook.subjects("build")
    assert "zulu-nine-rig" not in library.logbook.subjects("rig")


@pytest.mark.parametrize("times", [(), ("abc",), ("-3",), ("0",), ("nan",), ("61",), ("3.1", "x")])
def test_times_that_are_none_record_nothing(library: Library, times: tuple[str, ...]) -> None:
    before = entries(library)
    with pytest.raises(RiglogError) as refused:
        drop(library, DropQuestion(build="a-cam", times=times, mark="518"))
    assert refused.value.status == 2
    assert entries(library) == before


@pytest.mark.parametrize("build", ["a-cam", "zulu-nine"])
def test_a_wanted_drop_that_no_mark_gives_records_nothing(library: Library, build: str) -> None:
    before = entries(library)
    with pytest.raises(UnreachableError, match=r"no mark drops in 0.20 s"):
        drop(library, question(build, "3.1", mark="500", want="0.2s"))
    assert entries(library) == before


# Names that are not known.


def test_a_name_that_is_nearly_a_known_one_is_taken_for_a_slip(library: Library) -> None:
    before = entries(library)
    with pytest.raises(NotFoundError, match='there is no build "a-cma"') as refused:
        drop(library, question("a-cma", mark="518"))
    assert "did you mean a-cam?" in refused.value.hint
    assert "--type post" in refused.value.hint
    assert entries(library) == before
    answer = drop(library, question("a-cma", mark="518", type="post"))
    assert answer.started
    assert answer.named.build == "a-cma"


def test_a_name_of_something_else_starts_no_rig(library: Library) -> None:
    before = entries(library)
    for name in ("lens-75", "post-one"):
        with pytest.raises(CallError, match=f"{name} is a .* already"):
            drop(library, question(name, mark="518", type="post"))
    assert entries(library) == before


@pytest.mark.parametrize("name", ["Zulu Nine", "x" * 62, "b_cam!", "--"])
def test_a_name_that_is_no_id_starts_no_rig(library: Library, name: str) -> None:
    before = entries(library)
    with pytest.raises(RiglogError):
        drop(library, question(name, mark="518", type="post"))
    assert entries(library) == before


def test_a_rig_that_is_started_has_nothing_listed_on_it(tmp_path: Path) -> None:
    with Library.create(tmp_path / "empty.db", "kim") as library:
        answer = drop(library, question("found", "3.1", mark="487", want="4s"))
        assert answer.started
        assert answer.evidence.unlisted
        assert (answer.surprise, answer.predicted_s.value) == (None, None)
        assert library.standing("found").build.parts == ()
        again = drop(library, question("found", "3.4", mark="486", want="4s"))
        assert not again.started
        assert again.predicted_s.value is not None


# The move.


@pytest.mark.parametrize(
    ("build", "mark", "sign"),
    [
        ("a-cam", "518", 1),
        ("low-cam", "509", -1),
        ("ring-cam", "130", 1),
        ("down-cam", "244", -1),
    ],
)
@pytest.mark.parametrize(("time", "want"), [(2.6, 2.0), (1.6, 2.0), (3.1, 3.6)])
def test_the_move_is_the_difference_of_two_heights_of_the_pendulum(
    library: Library, build: str, mark: str, sign: int, time: float, want: float
) -> None:
    answer = drop(library, question(build, f"{time}", mark=mark, want=f"{want}s", method="sensor"))
    k2 = listed_k2(library, build)
    rise = height_m(want, k2) - height_m(time, k2)
    assert answer.move is not None
    # A time that was not expected tells something of k as well.
    assert answer.move.value == pytest.approx(sign * rise, rel=0.15)
    assert answer.move.low is not None
    assert answer.move.high is not None
    assert answer.move.low < sign * rise < answer.move.high
    # As the world has it: in low mode up is away from the camera.
    assert answer.toward == ("up" if rise > 0 else "down")
    assert answer.move.value is not None
    assert answer.move_m == answer.move.value
    assert answer.to_m == pytest.approx(float(mark) / 1e3 + answer.move.value)


def test_a_drop_from_30_degrees_counts_as_one_from_there(library: Library) -> None:
    k2 = listed_k2(library, "a-cam")
    time = drop_s(0.005, k2, np.pi / 6)
    words = {"mark": "518", "want": "3s", "method": "sensor"}
    answer = drop(library, question("a-cam", f"{time:.4f}", release="30 deg", **words))
    assert answer.move is not None
    assert answer.move.value == pytest.approx(height_m(3.0, k2) - 0.005, abs=2e-5)
    assert answer.surprise is not None
    assert abs(answer.surprise) < 1


def test_where_to_go_is_a_step_of_the_scale_and_says_what_drops_there(library: Library) -> None:
    answer = drop(library, question("a-cam", "2.5", mark="520", want="3s", method="sensor"))
    assert answer.set_m is not None
    assert answer.to_m is not None
    assert 2e3 * answer.set_m == pytest.approx(round(2e3 * answer.set_m))
    assert abs(answer.set_m - answer.to_m) <= 0.00025 + 1e-9
    k2 = listed_k2(library, "a-cam")
    expected = drop_s(height_m(2.5, k2) + answer.set_m - 0.520, k2)
    assert answer.at_target_s is not None
    assert answer.at_target_s.value == pytest.approx(expected, abs=0.03)


@pytest.mark.parametrize("k_m", [0.18, 0.25, 0.34, 0.45, 0.6])
@pytest.mark.parametrize(("time", "want"), [(3.0, 5.0), (2.0, 6.0), (4.0, 9.0), (6.0, 8.0)])
def test_towards_neutral_it_goes_only_as_far_as_it_surely_stays_bottom_heavy(
    tmp_path: Path, k_m: float, time: float, want: float
) -> None:
    with Library.create(tmp_path / "empty.db", "kim") as library:
        words = {"mark": "487", "want": f"{want}s", "method": "sensor"}
        answer = drop(library, question("found", f"{time}", **words))
    assert answer.set_m is not None
    # Whatever k the rig truly has, within what a rig may have.
    left = height_m(time, k_m**2) + answer.set_m - 0.487
    assert left > 0


def test_where_it_goes_part_of_the_way_it_says_so(tmp_path: Path) -> None:
    with Library.create(tmp_path / "empty.db", "kim") as library:
        answer = drop(library, question("found", mark="487", want="5s"))
        assert answer.careful
        assert answer.set_m is not None
        assert answer.to_m is not None
        assert answer.to_m < answer.set_m < 0.487
        assert answer.at_target_s is not None
        assert answer.at_target_s.value is not None
        assert 3.1 < answer.at_target_s.value < 5
        assert answer.at_target_s.high is not None
        away = drop(library, question("found", mark="487", want="2s"))
        assert not away.careful


def test_a_second_mark_tells_the_move_of_a_rig_that_is_not_a_usual_one(tmp_path: Path) -> None:
    k2, neutral_m = 0.25**2, 0.4825
    with Library.create(tmp_path / "empty.db", "kim") as library:
        moves = []
        for mark in (0.4945, 0.4855):
            time = drop_s(mark - neutral_m, k2)
            words = {"mark": f"{1e3 * mark:.2f}mm", "want": "4s", "method": "sensor"}
            answer = drop(library, question("found", f"{time:.4f}", **words))
            assert answer.move is not None
            assert answer.move.value is not None
            assert answer.move.low is not None
            assert answer.move.high is not None
            true = neutral_m + height_m(4.0, k2) - mark
            assert answer.move.low < true < answer.move.high
            moves.append((abs(answer.move.value - true), answer.move.high - answer.move.low))
        alone = height_m(4.0, 0.34**2) - height_m(drop_s(0.003, k2), 0.34**2)
        both, width = moves[-1]
        assert both < abs(alone - (height_m(4.0, k2) - 0.003))
        assert width < moves[0][1]


def test_a_move_beyond_the_travel_goes_to_its_end_and_says_so(library: Library) -> None:
    answer = drop(library, question("down-cam", "2.8", mark="241", want="1.5s", method="sensor"))
    assert answer.set_m == pytest.approx(0.240)
    told = {each.code: each for each in answer.warnings}
    k2 = listed_k2(library, "down-cam")
    whole = height_m(1.5, k2) - height_m(2.8, k2)
    assert told["beyond_travel"].figure == pytest.approx(whole - 0.001, abs=0.0006)
    # The drop that is told is that at the end of the travel.
    expected = drop_s(height_m(2.8, k2) + 0.001, k2)
    assert answer.at_target_s is not None
    assert answer.at_target_s.value == pytest.approx(expected, abs=0.03)


def test_an_unmarked_pivot_is_told_how_far_to_move_and_no_mark(library: Library) -> None:
    answer = drop(library, question("b-cam", "3.1", want="4s", method="sensor"))
    assert "not_marked" in codes(answer)
    assert (answer.mark_m, answer.to_m, answer.set_m) == (None, None, None)
    k2 = listed_k2(library, "a-cam")
    rise = height_m(4.0, k2) - height_m(3.1, k2)
    assert answer.move is not None
    assert answer.move.value == pytest.approx(rise, abs=2e-5)
    # What is said aloud is whole steps of the scale.
    assert answer.move_m == pytest.approx(-0.002)
    assert answer.surprise is None


def test_a_drop_without_a_mark_is_taken_to_be_where_the_pivot_was_left(library: Library) -> None:
    answer = drop(library, question("a-cam", "3.1", want="3s"))
    assert answer.mark_m == 0.518
    assert "settings_assumed" in codes(answer)
    assert "settings_assumed" not in codes(drop(library, question(mark="518")))


def test_the_wanted_drop_is_the_builds_own_where_nobody_says(library: Library) -> None:
    assert drop(library, question(mark="518")).wanted_s == 3.0
    answer = drop(library, question("down-cam", "2.5", mark="300"))
    assert (answer.wanted_s, answer.move) == (None, None)
    k2 = listed_k2(library, "down-cam")
    assert answer.nudge is not None
    here = height_m(2.5, k2)
    assert answer.nudge.up_s == pytest.approx(drop_s(here + 0.001, k2), abs=0.02)
    assert answer.nudge.down_s == pytest.approx(drop_s(here - 0.001, k2), abs=0.03)


# How well it is timed, and when.


def test_the_move_is_as_sure_as_the_one_who_timed_it_times(tmp_path: Path) -> None:
    with flown(tmp_path) as kims:
        for _ in range(8):
            drop(kims, question("a-cam", "3.10", "3.11", "3.09", mark="518"))
    with Library.open(tmp_path / "kit.db", "lee", write=True) as lees:
        for _ in range(8):
            drop(lees, question("a-cam", "2.7", "3.1", "3.5", mark="518"))
    widths = {}
    # Whoever timed last, the other's drop is no better or worse for it.
    for who in ("kim", "lee"):
        with Library.open(tmp_path / "kit.db", who, write=True) as library:
            answer = drop(library, question("a-cam", "3.1", mark="518", want="3.6s"))
            assert answer.move is not None
            assert answer.move.low is not None
            assert answer.move.high is not None
            widths[who] = answer.move.high - answer.move.low
    assert widths["lee"] > 1.1 * widths["kim"]


def test_repeats_that_scatter_widely_ask_for_another_drop(library: Library) -> None:
    answer = drop(library, question("a-cam", "2.6", "3.1", "3.6", mark="518"))
    told = {each.code: each for each in answer.warnings}
    assert told["wide_scatter"].figure == pytest.approx(0.5)
    assert answer.scatter_s == pytest.approx(0.5)
    steady = drop(library, question("a-cam", "3.0", "3.1", "3.2", mark="518"))
    assert "wide_scatter" not in codes(steady)
    # A sensor times so well that a tenth of a second is a wide scatter.
    sensed = drop(library, question("a-cam", "3.0", "3.1", "3.2", mark="518", method="sensor"))
    assert "wide_scatter" in codes(sensed)


@pytest.mark.parametrize("on", ["2199-01-01T00:00:00Z", "1970-01-02T00:00:00Z"])
def test_a_clock_that_was_never_set_is_told_and_the_drop_recorded(
    library: Library, on: str
) -> None:
    before = entries(library)
    answer = drop(library, question("zulu-nine", "3.1", mark="487", on=on))
    assert "untimed_year" in codes(answer)
    # The rig, its build, and the drop.
    assert entries(library) == before + 3


@pytest.mark.parametrize(
    "on", ["1903-05-01T09:00:00Z", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00Z"]
)
def test_a_drop_of_any_year_is_recorded_and_its_date_told(library: Library, on: str) -> None:
    answer = drop(library, question("a-cam", "3.1", mark="518", on=on))
    odd = next(each for each in answer.warnings if each.code == "untimed_year")
    assert odd.what == on[:10]
    assert library.logbook.entry(answer.recorded).body["on"][:19] == on[:19]


def test_a_drop_of_now_raises_no_doubt(library: Library) -> None:
    assert codes(drop(library, question(mark="518"))) == set()


# Cautions.


def test_near_neutral_and_heavy_rigs_are_not_let_go_lightly(library: Library) -> None:
    cautions = drop(library, question(mark="518", want="5s")).cautions
    assert {"near-neutral", "drop-test", "heavy-drop-test", "clamp-under-load"} <= set(cautions)
    ring = drop(library, question("ring-cam", "1.2", mark="130", want="0.9s")).cautions
    assert {"ring-sides", "drop-test"} <= set(ring)
    assert not {"near-neutral", "heavy-drop-test", "clamp-under-load"} & set(ring)


def test_a_drop_that_comes_true_leaves_the_prediction_where_it_was(library: Library) -> None:
    told = predict(library, "a-cam").drop_s.value
    assert told is not None
    answer = drop(library, question("a-cam", f"{told:.3f}", mark="518", method="sensor"))
    assert answer.predicted_s.value == pytest.approx(told, abs=1e-3)
    assert answer.surprise == pytest.approx(0, abs=0.02)
    assert predict(library, "a-cam").drop_s.value == pytest.approx(told, abs=0.02)


@pytest.mark.parametrize(("time", "mark"), [("3.1", "418"), ("3.1", "581"), ("0.2", "518")])
def test_a_slip_of_a_digit_is_recorded_doubted_and_moves_no_later_answer(
    library: Library, time: str, mark: str
) -> None:
    for good in ("3.1", "3.0"):
        drop(library, question("a-cam", good, mark="518"))
    before = predict(library, "a-cam", "518").drop_s
    slip = drop(library, question("a-cam", time, mark=mark))
    now = predict(library, "a-cam", "518")
    assert now.drop_s.value == pytest.approx(before.value, abs=0.01)
    assert now.drop_s.low == pytest.approx(before.low, abs=0.02)
    assert now.drop_s.high == pytest.approx(before.high, abs=0.03)
    assert [entry for entry, _ in now.evidence.doubted] == [slip.recorded]
    assert "wild_reading" in codes(slip)


def test_a_drop_in_the_wind_is_recorded_said_to_be_and_moves_no_later_answer(
    library: Library,
) -> None:
    drop(library, question("a-cam", "3.1", "3.0", mark="518"))
    before = predict(library, "a-cam", "518")
    gust = drop(library, question("a-cam", "4.4", mark="518", conditions=("wind",)))
    assert "wind" in codes(gust)
    assert "unlikely_drop" not in codes(gust)
    assert gust.surprise is not None
    assert gust.surprise < -3
    assert gust.evidence.kept_out == [(gust.recorded, ("wind",))]
    after = predict(library, "a-cam", "518")
    assert after.drop_s == before.drop_s
    assert after.evidence.kept_out == [(gust.recorded, ("wind",))]
    # The fine move is for the rig as it hung just now.
    assert gust.move_m is not None
    assert gust.move_m > 0.0015


def test_a_drop_under_a_cover_tells_the_move_of_the_rig_with_its_cover(tmp_path: Path) -> None:
    with Library.create(tmp_path / "kit.db", "ada") as library:
        for mark, time in (("487", "3.0"), ("495", "1.9")):
            drop(library, question("north", time, mark=mark, want="4s"))
        wet = drop(
            library,
            question("north", "2.4", mark="495", want="3s", conditions=("rain-cover",)),
        )
    assert "rain_cover" in codes(wet)
    assert wet.move is not None
    assert wet.move.value is not None
    # 2.4 s to 3.0 s with k of about 0.4 m; from 1.9 s it would be 4 mm further.
    assert -0.006 < wet.move.value < -0.002


def test_a_condition_that_is_none_records_nothing(library: Library) -> None:
    before = entries(library)
    with pytest.raises(CallError) as raised:
        drop(library, question(conditions=("windy",)))
    assert raised.value.message == '"windy" is no condition of a reading'
    assert raised.value.hint == "did you mean wind?"
    assert entries(library) == before
