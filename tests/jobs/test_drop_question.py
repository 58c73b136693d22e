"""The words of a drop test: which build and version, since when, and what starts a rig."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from jobs.flown import entries, flown, question
from library.kit import fork

from riglog.errors import CallError, ForkError, NotFoundError, UnreachableError
from riglog.jobs.drop import drop
from riglog.jobs.drop_question import new_rig, understood
from riglog.jobs.predict import predict
from riglog.library import Library
from riglog.library.standing import reading_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.drop_answers import DropAnswer
    from riglog.records.stand import Stand


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "empty.db", "kim") as opened:
        yield opened


def stood(library: Library, answer: DropAnswer) -> Stand:
    return reading_of(library.logbook.entry(answer.recorded))[1]


def test_understanding_the_words_records_nothing(library: Library) -> None:
    before = entries(library)
    test = understood(library, question("never-seen", type="ring", mark="95"))
    assert [noun.id for noun in test.start] == ["never-seen-rig", "never-seen"]
    assert understood(library, question()).start == ()
    assert entries(library) == before


def test_a_new_name_starts_a_rig_its_build_and_the_drop_in_one(empty: Library) -> None:
    answer = drop(empty, question("mystery", mark="487", want="5"))
    assert answer.started
    assert [entry.kind for entry in empty.logbook.log()] == ["rig", "build", "reading"]
    assert stood(empty, answer).version == empty.version("mystery", "build").entry.id
    assert empty.standing("mystery").settings == {"pivot": 0.487}
    again = drop(empty, question("mystery", "2.2", mark="493"))
    assert not again.started
    assert entries(empty) == 4


def test_an_unknown_rig_is_a_post_rig_unless_told(empty: Library) -> None:
    drop(empty, question("tall"))
    drop(empty, question("small", type="ring"))
    assert empty.rig("tall-rig").type == "post"
    assert empty.rig("small-rig").type == "ring"


def test_a_rig_of_a_type_that_is_none_is_not_made() -> None:
    with pytest.raises(CallError, match='"tripod" is no type of rig'):
        new_rig("north", "tripod")


@pytest.mark.parametrize(
    ("name", "error", "says"),
    [
        ("x" * 62, CallError, "is no name for a rig"),  # the rig's own would be too long
        ("post-one", CallError, "post-one is a rig already"),
        ("north", CallError, "north-rig is a component already"),
        ("a-cam@7", NotFoundError, "7"),
    ],
)
def test_a_name_that_would_get_in_the_way_of_another_starts_nothing(
    library: Library, name: str, error: type[Exception], says: str
) -> None:
    library.record(replace(library.component("nd-9"), id="north-rig"))
    before = entries(library)
    with pytest.raises(error, match=says):
        drop(library, question(name, type="post"))
    assert entries(library) == before


def test_a_rig_that_is_there_is_not_taken_over_by_a_new_one(library: Library) -> None:
    rig = replace(library.rig("post-one"), id="north-rig")
    library.record(rig)
    with pytest.raises(CallError, match="north-rig is a rig already"):
        drop(library, question("north", type="post"))
    assert library.rig("north-rig") == rig


def test_a_drop_is_of_the_version_that_is_named(library: Library) -> None:
    library.record(replace(library.standing("a-cam").build, note="without its cable"))
    answer = drop(library, question("a-cam@1", mark="518"))
    first = library.version("a-cam@1", "build").entry.id
    assert stood(library, answer).version == first
    assert (answer.named.entry, answer.named.version) == (first, 1)


def test_on_a_forked_build_one_of_both_has_to_be_named(library: Library) -> None:
    heads = fork(library.path, "build", "a-cam", {"note": "one"}, {"note": "other"})
    with pytest.raises(ForkError):
        drop(library, question(mark="518"))
    answer = drop(library, question(f"a-cam@2.{heads[1].id[:6]}", mark="518"))
    assert stood(library, answer).version == heads[1].id


def test_a_drop_told_late_is_held_against_where_the_rig_stood_then(library: Library) -> None:
    def at(hour: int, **words: str) -> DropAnswer:
        on = f"2026-03-14T{hour:02}:00:00+01:00"
        return drop(library, question("a-cam", "2.6", on=on, **words))

    at(9, mark="520")
    at(11, mark="530")
    late = at(10)
    assert late.mark_m == stood(library, late).settings["pivot"] == 0.520
    assert "settings_assumed" in {each.code for each in late.warnings}
    assert at(12).mark_m == 0.530


def test_a_wanted_drop_of_the_build_that_no_mark_gives_keeps_no_drop_from_being_recorded(
    library: Library,
) -> None:
    library.record(replace(library.standing("a-cam").build, wanted_drop=0.3))
    answer = drop(library, question(mark="518"))
    assert answer.wanted_s is None
    assert answer.nudge is not None
    with pytest.raises(UnreachableError):
        drop(library, question(mark="518", want="0.3"))


@pytest.mark.parametrize("fps", ["1e999999999", "nan", "24000/0", "24000/1001/2", "24000/1001 "])
def test_a_frame_rate_is_a_figure_or_a_fraction(library: Library, fps: str) -> None:
    if fps.endswith(" "):
        test = understood(library, question(fps=fps, method="clip"))
        assert test.reading.fps == pytest.approx(23.976, abs=0.001)
        return
    with pytest.raises(CallError, match="is no frame rate"):
        understood(library, question(fps=fps, method="clip"))


@pytest.mark.parametrize("note", ["\x1b[31mred", "x" * 10_001, "turned \u202e around"])
def test_a_note_holds_only_what_a_document_could_hold(library: Library, note: str) -> None:
    before = entries(library)
    with pytest.raises(CallError):
        drop(library, question(note=note))
    with pytest.raises(CallError):
        drop(library, question()._replace(tags=(note,)))
    assert entries(library) == before


def test_a_note_is_kept_in_composed_form(library: Library) -> None:
    answer = drop(library, question(note="Bu\u0308hne"))
    assert reading_of(library.logbook.entry(answer.recorded))[0].note == "B\u00fchne"


def test_a_state_that_an_earlier_reading_named_is_that_of_the_drop(library: Library) -> None:
    _zoom_build(library)
    _weighed(library, "long", 14)
    answer = drop(library, question("z-cam", mark="540", on="2026-03-15T09:00Z"))
    assert stood(library, answer).states == {"zoom": "long"}
    _weighed(library, "wide", 16)
    answer = drop(library, question("z-cam", mark="540", on="2026-03-17T09:00Z"))
    assert stood(library, answer).states == {"zoom": "wide"}


def test_a_drop_at_the_long_end_tells_of_the_long_end(library: Library) -> None:
    # The long end lies 20 mm higher: 2.4 kg of 13.4 kg that tilt raise the whole by 3.6 mm. A drop
    # that was taken there says the same of the build wherever its zoom stands now.
    _zoom_build(library)
    _weighed(library, "long", 14)
    drop(library, question("z-cam", "3.0", mark="540", on="2026-03-14T09:00Z", method="sensor"))
    long = predict(library, "z-cam").depth_m.value
    _weighed(library, "wide", 15)
    wide = predict(library, "z-cam").depth_m.value
    assert long is not None
    assert wide is not None
    tilting = predict(library, "z-cam").mass_kg - 0.9
    assert wide - long == pytest.approx(0.020 * 2.4 / tilting, abs=0.0003)


def _zoom_build(library: Library) -> None:
    """The build with a zoom for its lens."""
    build, moved = library.standing("a-cam").build, {"lens-35": "zoom"}
    parts = tuple(
        replace(part, component=moved.get(part.id, part.id), on=part.on.replace("lens-35", "zoom"))
        for part in build.parts
    )
    library.record(replace(build, id="z-cam", parts=parts))


def _weighed(library: Library, state: str, day: int) -> None:
    """A weight that nobody can do much with, taken with the zoom in a state."""
    file = library.path.parent / f"{state}.yaml"
    file.write_text(
        "riglog: 1\nreadings:\n  - {build: z-cam, kind: weight, mass: 14.3 kg, sd: 3 kg,"
        f" states: {{zoom: {state}}}, on: 2026-03-{day}T08:00}}\n"
    )
    library.add([str(file)])
