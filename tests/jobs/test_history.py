from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from library.kit import fork

from riglog.jobs.history import Change, history
from riglog.records import Build, Drop

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.jobs.listing import Read
    from riglog.library import Library


def told(event: Change | Read) -> tuple[object, ...]:
    if isinstance(event, Change):
        return (event.kept.version, event.after, event.changed)
    assert isinstance(event.noun, Drop)
    return event.noun.times


def test_versions_stand_below_the_readings_that_were_taken_of_them(logged: Library) -> None:
    build = logged.standing("a-cam").build
    logged.record(replace(build, wanted_drop=5.0, note="slower"))
    # Its clock says that it was taken before all others, and yet it is of the newer version.
    logged.record_reading(Drop(build="a-cam", on="2020-01-01T00:00:00Z", times=(4.4,)))
    answer = history(logged, "cam")
    assert (answer.kind, answer.id) == ("build", "a-cam")
    assert [told(each) for each in answer.events] == [
        (4.4,),
        ("2", ("1",), ("note", "wanted_drop")),
        (2.6,),
        (3.1, 3.0),
        ("1", (), ()),
    ]


def test_a_component_has_versions_alone(logged: Library) -> None:
    logged.record(replace(logged.component("lens-35"), mass=1.15, by="bench scale"))
    assert [told(each) for each in history(logged, "lens-35").events] == [
        ("2", ("1",), ("by", "mass")),
        ("1", (), ()),
    ]


def test_both_heads_of_a_fork_are_told_with_what_they_came_from(
    logged: Library, path: Path
) -> None:
    heads = fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    changes = [each for each in history(logged, "a-cam").events if isinstance(each, Change)]
    names = [f"2.{head.id[:4]}" for head in heads]
    assert [(each.kept.version, each.after, each.kept.forked) for each in changes] == [
        (names[1], ("1",), True),
        (names[0], ("1",), True),
        ("1", (), False),
    ]


def test_a_field_that_was_taken_out_is_a_change(logged: Library) -> None:
    build = logged.standing("a-cam").build
    logged.record(Build(id="a-cam", rig="post-one", parts=build.parts, settings=build.settings))
    assert told(history(logged, "a-cam").events[0]) == ("2", ("1",), ("wanted_drop",))


def test_of_a_build_the_parts_that_came_and_went_are_told(logged: Library, path: Path) -> None:
    (head,) = logged.logbook.heads("build", "a-cam")
    parts = [{**each, "component": "lens-75"} if each["component"] == "lens-35" else each
             for each in head.body["parts"]]  # fmt: skip
    fork(path, "build", "a-cam", {"parts": parts})
    change = next(each for each in history(logged, "a-cam").events if isinstance(each, Change))
    assert (change.came, change.gone) == (("lens-75",), ("lens-35",))
