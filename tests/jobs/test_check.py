"""`check`: what was expected when, and what stands out, on a library of documents and drops."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, question
from library.kit import fork

from riglog.errors import ForkError
from riglog.jobs.check import check
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.jobs.swap import swap
from riglog.records import BalancePoint, HangsUpright, Hold, Lean, Swing, Weight

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.check_answers import CheckAnswer
    from riglog.library import Library

ON = "2026-03-14T{}+01:00"


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def test_a_build_that_nobody_read_has_nothing_to_check(library: Library) -> None:
    answer = check(library, "a-cam")
    assert (answer.readings, answer.outstanding) == ([], [])


def entries(answer: CheckAnswer) -> list[str]:
    return [each.read.kept.entry for each in answer.readings]


def test_before_is_what_drop_itself_expected_when_it_was_recorded(library: Library) -> None:
    drop(library, question("low-cam", mark="508", on=ON.format("08:00")))
    told = [
        drop(library, question("a-cam", time, mark=mark, on=ON.format(f"09:0{number}")))
        for number, (time, mark) in enumerate((("3.1", "518"), ("2.6", "520"), ("3.6", "517")))
    ]
    # What is learned or weighed afterwards was not known then.
    library.record(replace(library.component("body-north"), mass=4.4))
    drop(library, question("low-cam", "2.0", mark="509", on=ON.format("10:00")))
    answer = check(library, "a-cam")
    assert entries(answer) == [each.recorded for each in told]
    for reading, then in zip(answer.readings, told, strict=True):
        (said,) = reading.said
        assert said.before is not None
        assert said.before.value == pytest.approx(then.predicted_s.value, abs=1e-9)
        assert said.before.low == pytest.approx(then.predicted_s.low, abs=0.005)
        assert said.figure == then.measured_s
    last = answer.readings[-1].said[0]
    assert last.now is not None
    assert last.before is not None
    assert last.now.value != pytest.approx(last.before.value, abs=1e-3)


def test_a_drop_that_was_recorded_twice_is_told_once(library: Library) -> None:
    told = [drop(library, question("a-cam", "3.1", mark="518", on=ON.format("09:00")))]
    told.append(drop(library, question("a-cam", "3.1", mark="518", on=ON.format("09:00"))))
    assert entries(check(library, "a-cam")) == [told[0].recorded]


def test_now_is_what_all_others_expect_and_so_predict_without_it(library: Library) -> None:
    for time, mark in (("3.1", "518"), ("2.6", "520")):
        drop(library, question("a-cam", time, mark=mark))
    told = predict(library, "a-cam", "517").drop_s
    drop(library, question("a-cam", "3.4", mark="517"))
    (said,) = check(library, "a-cam").readings[-1].said
    for expected in (said.now, said.before):
        assert expected is not None
        assert expected.value == pytest.approx(told.value, abs=0.05)
        assert expected.low == pytest.approx(told.low, abs=0.1)


def test_readings_stand_by_version_and_each_versions_as_they_were_taken(library: Library) -> None:
    late = drop(library, question("a-cam", mark="518", on=ON.format("11:00"))).recorded
    early = drop(library, question("a-cam", mark="520", on=ON.format("09:00"))).recorded
    swap(library, "a-cam", ["lens-35=lens-75"], save="a-cam")
    # A clock that goes wrong moves no reading to another version.
    after = drop(library, question("a-cam", mark="525", on="2025-01-01T09:00+01:00")).recorded
    answer = check(library, "a-cam")
    assert entries(answer) == [early, late, after]
    assert [each.read.kept.version for each in answer.readings] == ["1", "1", "2"]
    assert entries(check(library, "a-cam@1")) == [early, late]


def test_a_fork_is_checked_by_its_versions(library: Library) -> None:
    drop(library, question("a-cam", mark="518"))
    fork(library.path, "build", "a-cam", {"note": "left"}, {"note": "right"})
    with pytest.raises(ForkError):
        check(library, "a-cam")
    head = library.logbook.heads("build", "a-cam")[0]
    named = library.logbook.version_of(head).name
    assert len(check(library, f"a-cam@{named}").readings) == 1


@pytest.mark.parametrize(("time", "mark"), [("3.1", "430"), ("1.4", "518"), ("3.1", "530")])
def test_a_slip_is_what_stands_out_and_the_good_readings_do_not(
    library: Library, time: str, mark: str
) -> None:
    good = [
        drop(library, question("a-cam", seconds, mark=at)).recorded
        for seconds, at in (("3.1", "518"), ("2.6", "520"), ("3.3", "517.5"))
    ]
    assert not check(library, "a-cam").outstanding
    slip = drop(library, question("a-cam", time, mark=mark)).recorded
    answer = check(library, "a-cam")
    assert [each.read.kept.entry for each in answer.outstanding] == [slip]
    assert [each.stands_out for each in answer.readings] == [False] * len(good) + [True]
    assert answer.readings[-1].wild is not None


def test_a_drop_in_the_wind_is_held_against_the_others_and_stands_out_of_nothing(
    library: Library,
) -> None:
    for time, mark in (("3.1", "518"), ("2.6", "520")):
        drop(library, question("a-cam", time, mark=mark))
    drop(library, question("a-cam", "5.5", mark="518", conditions=("wind",)))
    answer = check(library, "a-cam")
    *_, gust = answer.readings
    assert gust.kept_out == ("wind",)
    assert gust.said[0].deviations is not None
    assert gust.said[0].deviations > 3
    assert answer.outstanding == []


def test_every_kind_of_reading_is_told_in_its_own_figure(library: Library) -> None:
    drop(library, question("a-cam", mark="518", on=ON.format("11:00")))
    when = {"build": "a-cam", "on": ON.format("12:00")}
    library.record_reading(Weight(**when, mass=13.1))
    library.record_reading(BalancePoint(**when, at=0.513))
    library.record_reading(HangsUpright(**when))
    library.record_reading(Lean(**when, side=0.02))
    library.record_reading(Swing(**when, swings=4, time=42.0, start=0.35, end=0.26))
    library.record_reading(Hold(**when, stays=0.05, falls=0.09))
    said = [each.said for each in check(library, "a-cam").readings]
    assert [[each.what for each in those] for those in said] == [
        ["drop"], ["mass"], ["neutral"], ["lean", "side"], ["side"],
        ["drop", "hold"], ["hold"],
    ]  # fmt: skip
    figures = [those[-1].figure for those in said[:5]]
    assert figures == pytest.approx([3.1, 13.1, 0.513, 0.0, 0.02])
    # Between where it stays and where it falls.
    assert said[-1][0].figure == pytest.approx(0.07)
    weighed, edge = said[1][0], said[2][0]
    assert weighed.now is not None
    assert weighed.now.value == pytest.approx(2.5 + 4.21 + 1.12 + 0.5 + 2.6 + 1.2 + 0.9, abs=0.05)
    assert edge.now is not None
    assert edge.now.value == pytest.approx(0.5137, abs=0.002)
