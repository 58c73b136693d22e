"""Readings and builds are found through what they use, as far back as asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logbook.kit import build, reading, record

if TYPE_CHECKING:
    from riglog.logbook import Logbook


def test_a_corrected_reading_takes_the_place_of_the_one_it_supersedes(log: Logbook) -> None:
    (version,) = record(log, build("a-cam", uses=("lens-35",)))
    wrong, other = record(log, reading(version, times=(31.0,)), reading(version, times=(3.0,)))
    (right,) = record(log, reading(version, wrong.id, times=(3.1,)))
    assert log.readings_of("a-cam") == [right, other]
    assert log.readings_using("lens-35") == [right, other]
    assert log.entry(wrong.id) == wrong
    assert log.children(wrong.id) == [right]


def test_readings_are_found_through_what_their_version_of_the_build_used(log: Logbook) -> None:
    (first,) = record(log, build("a-cam", uses=("lens-35",)))
    (on_first,) = record(log, reading(first))
    (second,) = record(log, build("a-cam", first.id, uses=("lens-75",)))
    on_second = record(log, *(reading(second, times=(t,)) for t in (3.0, 3.1, 3.2)))
    assert log.readings_using("lens-35") == [on_first]
    assert log.readings_using("lens-75") == on_second[::-1]
    assert log.readings_using("post-one") == [*on_second[::-1], on_first]
    assert log.readings_using("lens-99") == []
    assert log.builds_using("lens-75") == [second]
    assert log.builds_using("lens-35") == []  # superseded


def test_many_readings_come_page_by_page(log: Logbook) -> None:
    (version,) = record(log, build("a-cam", uses=("lens-35",)))
    readings = record(log, *(reading(version, times=(3 + n / 100,)) for n in range(10)))[::-1]
    for question, name in ((log.readings_of, "a-cam"), (log.readings_using, "lens-35")):
        assert question(name, limit=3) == readings[:3]
        assert question(name, limit=3, before=readings[2].seq) == readings[3:6]
        assert question(name, limit=0) == []
