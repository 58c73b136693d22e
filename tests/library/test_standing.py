from __future__ import annotations

from typing import Any

from riglog.library import where
from riglog.library.standing import reading_of
from riglog.logbook import Entry, Version
from riglog.records import Drop, PivotPair

BUILD = {
    "id": "a-cam",
    "rig": "post-one",
    "settings": {"pivot": 0.487, "stage": 0.012},
    "states": {"lens-35": "wide"},
    "head": "level",
}


def version() -> Version:
    entry = Entry(1, "v1", "build", "a-cam", "2026-03-14T09:00:00Z", "kim", (), BUILD)
    return Version(entry, 1, "1", is_head=True)


def drop(seq: int, on: str, pivot: Any = 0.490, of: str = "v1", **more: Any) -> Entry:
    stand = {"version": of, "settings": {"pivot": pivot, "stage": 0.012}}
    body = {"build": "a-cam", "on": on, "kind": "drop", "times": [3.1], "stand": stand, **more}
    return Entry(seq, f"r{seq}", "reading", "a-cam", on, "kim", (), body)


def test_a_build_without_readings_stands_as_its_version_says() -> None:
    stands = where(version(), [])
    assert stands.settings == {"pivot": 0.487, "stage": 0.012}
    assert (stands.states, stands.head) == ({"lens-35": "wide"}, "level")
    assert (stands.entry, stands.number, stands.since) == ("v1", 1, "2026-03-14T09:00:00Z")


def test_a_reading_of_a_version_is_later_than_the_version_whatever_its_clock_said() -> None:
    stands = where(version(), [drop(2, "2020-01-01T00:00:00Z")])
    assert stands.settings["pivot"] == 0.490
    assert stands.since == "2020-01-01T00:00:00Z"


def test_the_newest_reading_counts_and_not_the_one_recorded_last() -> None:
    evening = drop(2, "2026-03-14T18:00:00Z", pivot=0.495)
    noon = drop(3, "2026-03-14T12:00:00Z", pivot=0.491)
    assert where(version(), [evening, noon]).settings["pivot"] == 0.495


def test_times_compare_across_offsets() -> None:
    earlier = drop(2, "2026-03-14T18:30:00+02:00", pivot=0.491)
    later = drop(3, "2026-03-14T17:00:00Z", pivot=0.495)
    assert where(version(), [later, earlier]).settings["pivot"] == 0.495


def test_of_two_readings_of_one_moment_the_later_recorded_counts() -> None:
    on = "2026-03-14T18:00:00Z"
    first, second = drop(2, on, pivot=0.491), drop(3, on, pivot=0.495)
    assert where(version(), [second, first]).settings["pivot"] == 0.495


def test_readings_of_another_version_say_nothing() -> None:
    other = drop(2, "2026-03-14T18:00:00Z", pivot=0.495, of="v0")
    assert where(version(), [other]).settings["pivot"] == 0.487


def test_where_it_stood_once_leaves_out_what_came_later() -> None:
    noon, evening = drop(2, "2026-03-14T12:00:00Z", 0.491), drop(3, "2026-03-14T18:00:00Z", 0.495)
    stood = where(version(), [noon, evening], until="2026-03-14T15:00:00Z")
    assert stood.settings["pivot"] == 0.491
    assert where(version(), [noon], until="2026-03-14T12:00:00Z").settings["pivot"] == 0.491


def test_head_and_states_hold_until_another_reading_says_something_else() -> None:
    said = drop(2, "2026-03-14T12:00:00Z", head="locked", states={"lens-75": "long"})
    silent = drop(3, "2026-03-14T13:00:00Z")
    stands = where(version(), [said, silent])
    assert stands.head == "locked"
    assert stands.states == {"lens-35": "wide", "lens-75": "long"}


def test_a_build_hangs_as_it_stands() -> None:
    said = drop(2, "2026-03-14T12:00:00Z", head="locked")
    hung = where(version(), [said]).hung("2026-03-15")
    assert (hung.build.id, hung.build.head, hung.version) == ("a-cam", "locked", "v1")
    assert (hung.settings["pivot"], hung.day) == (0.490, "2026-03-15")


def test_the_two_sides_of_a_ring_come_back_as_they_were_read() -> None:
    pair = {"left": 0.212, "right": 0.213}
    entry = drop(2, "2026-03-14T12:00:00Z", pivot=pair)
    assert where(version(), [entry]).settings["pivot"] == PivotPair(left=0.212, right=0.213)


def test_an_entry_holds_the_reading_and_where_the_rig_stood() -> None:
    reading, stand = reading_of(drop(2, "2026-03-14T12:00:00Z"))
    assert reading == Drop(build="a-cam", on="2026-03-14T12:00:00Z", times=(3.1,))
    assert (stand.version, stand.settings["pivot"]) == ("v1", 0.490)
