"""Where people stop the watch, on a rig that several of them time."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from jobs.flown import entries, flown, question

from riglog.errors import CallError
from riglog.jobs.drop import drop
from riglog.library.habits import said
from riglog.library.standing import reading_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.drop_answers import DropAnswer
    from riglog.library import Library
    from riglog.records import Drop

MARKS = ("517", "518", "518.5", "519")


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def recorded(library: Library, answer: DropAnswer) -> Drop:
    reading = reading_of(library.logbook.entry(answer.recorded))[0]
    assert reading.kind == "drop"
    return reading


def test_half_the_time_to_the_far_side_is_the_drop_time(tmp_path: Path) -> None:
    answers = []
    for number, (time, timed_to) in enumerate((("3.1", "upright"), ("6.2", "far-side"))):
        folder = tmp_path / str(number)
        folder.mkdir()
        with flown(folder) as library:
            answers.append(drop(library, question("a-cam", time, timed_to=timed_to, mark="518")))
    near, far = answers
    assert far.measured_s == near.measured_s
    assert far.times_s == (6.2,)
    assert far.depth_m == pytest.approx(near.depth_m, rel=0.02)
    # The hand errs as much over twice the time.
    assert far.move is not None
    assert near.move is not None
    width = [each.high - each.low for each in (near.move, far.move)]  # type: ignore[operator]  # both are bounded
    assert width[1] < width[0]


def test_it_is_asked_once_for_each_way_of_timing_and_kept(library: Library) -> None:
    asked = []

    def ask() -> str:
        asked.append(1)
        return "far-side"

    for _ in range(2):
        answer = drop(library, question("a-cam", "6.0"), ask)
        assert recorded(library, answer).timed_to == "far-side"
    assert len(asked) == 1
    drop(library, question("a-cam", "6.0", method="counted"), ask)
    assert len(asked) == 2
    assert said(library.logbook, "kim", "stopwatch") == "far-side"
    assert said(library.logbook, "bo", "stopwatch") is None


def test_what_the_call_says_comes_first_and_replaces_what_was_kept(library: Library) -> None:
    drop(library, question("a-cam", "6.0", timed_to="far-side"))
    before = entries(library)
    answer = drop(library, question("a-cam", "3.0", timed_to="upright"))
    assert recorded(library, answer).timed_to == "upright"
    assert said(library.logbook, "kim", "stopwatch") == "upright"
    assert entries(library) == before + 2
    drop(library, question("a-cam", "3.0", timed_to="upright"))
    assert entries(library) == before + 3


def test_who_is_not_asked_is_taken_to_stop_at_upright(library: Library) -> None:
    before = entries(library)
    answer = drop(library, question("a-cam", "3.0"))
    assert recorded(library, answer).timed_to == "upright"
    assert entries(library) == before + 1


def test_clips_and_the_live_timer_end_at_upright_whatever_the_habit(library: Library) -> None:
    drop(library, question("a-cam", "6.0", timed_to="far-side"))
    clip = question("a-cam")._replace(times=(), frames=("75",), fps="25")
    for each in (clip, question("a-cam", "3.0")._replace(live=True)):
        assert recorded(library, drop(library, each)).timed_to == "upright"
        with pytest.raises(CallError, match="time to upright"):
            drop(library, each._replace(timed_to="far-side"))


def test_a_word_that_is_nowhere_to_stop_is_refused(library: Library) -> None:
    before = entries(library)
    with pytest.raises(CallError, match="did you mean far-side"):
        drop(library, question("a-cam", "6.0", timed_to="farside"))
    assert entries(library) == before


def drop_s(mark: str) -> float:
    """What the rig takes: 3 s at 518, by 1.854 sqrt((k^2 + d^2) / (g d)) with k of 0.34 m."""
    depth = 0.00453 + (float(mark) - 518.0) / 1000.0
    return 1.854075 * float(((0.34**2 + depth**2) / (9.80665 * depth)) ** 0.5)


def habit_noticed(library: Library, factor: float) -> float | None:
    """Kim times at four marks, and so does Bo, who takes so many times as long."""
    for mark in MARKS:
        drop(library, question("a-cam", f"{drop_s(mark):.2f}", mark=mark))
    library.author = "bo"
    for mark in MARKS:
        answer = drop(library, question("a-cam", f"{factor * drop_s(mark):.2f}", mark=mark))
    return next((each.figure for each in answer.warnings if each.code == "far_side_habit"), None)


def test_a_far_side_habit_is_noticed_against_what_others_timed(library: Library) -> None:
    ratio = habit_noticed(library, 2.0)
    assert ratio is not None
    assert 1.6 < ratio < 2.4


@pytest.mark.parametrize("factor", [1.0, 1.15])
def test_a_slow_thumb_is_no_far_side_habit(library: Library, factor: float) -> None:
    assert habit_noticed(library, factor) is None


def test_one_person_alone_is_told_nothing(library: Library) -> None:
    for mark in MARKS:
        answer = drop(library, question("a-cam", "6.0", mark=mark))
        assert all(each.code != "far_side_habit" for each in answer.warnings)
