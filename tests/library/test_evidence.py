"""What bears on a question: readings by rounds, nouns as they are needed, things before a day."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown, question

from riglog.estimation.inference import Inference
from riglog.jobs.drop import drop
from riglog.jobs.predict import predict
from riglog.library import evidence
from riglog.library.evidence import kit_for
from riglog.records import Drop

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from riglog.estimation.kit import Kit
    from riglog.library import Library
    from riglog.records import Build


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def asked(library: Library, build: str = "a-cam", parts: Sequence[str] = ()) -> Kit:
    standing = library.standing(build)
    return kit_for(library.logbook, [standing.hung(standing.since[:10])], parts)


def entries(kit: Kit) -> list[str]:
    return [logged.entry for logged in kit.readings]


def with_lens(library: Library, name: str, lens: str) -> Build:
    """The build with another lens, recorded under a name."""
    build = library.standing("a-cam").build
    parts = tuple(
        replace(
            each,
            component=lens if each.id == "lens-35" else each.component,
            on=each.on.replace("lens-35", lens),
        )
        for each in build.parts
    )
    made = replace(build, id=name, parts=parts)
    library.record(made)
    return made


def test_a_kit_holds_what_the_build_is_made_of_and_no_more(library: Library) -> None:
    kit = asked(library)
    assert set(kit.rigs) == {"post-one"}
    assert set(kit.components) == {
        "post-tube", "body-north", "lens-35", "hood", "block-battery", "screen", "handle"
    }  # fmt: skip
    assert kit.readings == ()


def test_the_type_of_a_unit_comes_along(library: Library) -> None:
    with_lens(library, "b-unit", "lens-75-b")
    assert {"lens-75", "lens-75-b"} <= set(asked(library, "b-unit").components)


def test_readings_come_in_the_order_of_the_log_and_each_once(library: Library) -> None:
    made = [drop(library, question(mark=mark)).recorded for mark in ("520", "518", "525")]
    assert entries(asked(library, parts=["lens-35", "hood"])) == made


def test_readings_of_other_builds_with_the_rig_or_a_part_count_too(library: Library) -> None:
    other = drop(library, question("low-cam", mark="508")).recorded
    library.record(replace(library.rig("post-one"), id="post-two"))
    alone = replace(with_lens(library, "far-cam", "lens-75"), rig="post-two")
    library.record(alone)
    far = drop(library, question("far-cam", mark="540")).recorded
    assert entries(asked(library)) == [other, far]
    # A build of which no part and no rig is the same says nothing.
    drop(library, question("stranger", type="ring", mark="95"))
    assert entries(asked(library)) == [other, far]


def test_of_one_build_the_newest_are_taken_and_no_more_than_so_many(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(evidence, "OF_BUILD", 3)
    made = [drop(library, question(mark="518", on=f"2026-03-{day}T09:00Z")).recorded
            for day in range(10, 16)]  # fmt: skip
    assert entries(asked(library)) == made[-3:]


def test_a_windy_day_on_another_build_hides_none_of_its_calm_readings(library: Library) -> None:
    calm = drop(library, question("low-cam", mark="508")).recorded
    for time in ("2.1", "2.2", "2.3"):
        drop(library, question("low-cam", time, mark="508", conditions=("wind",)))
    assert entries(asked(library)) == [calm]


def test_a_reading_is_of_the_version_and_the_settings_of_its_day(library: Library) -> None:
    drop(library, question(mark="520", on="2026-03-14T09:10:00+01:00"))
    before = library.standing("a-cam")
    library.record(replace(before.build, note="screen forward", settings={"pivot": 0.53}))
    (logged,) = asked(library).readings
    assert logged.hung.version == before.entry
    assert logged.hung.settings == before.settings
    assert logged.hung.day == "2026-03-14"
    assert (logged.author, logged.reading.kind) == ("kim", "drop")


def test_a_reading_keeps_the_states_of_its_day(library: Library) -> None:
    with_lens(library, "z-cam", "zoom")
    _read(library, "{build: z-cam, kind: weight, mass: 14.3 kg, states: {zoom: long}, ON}", 14)
    _read(library, "{build: z-cam, kind: weight, mass: 14.2 kg, ON}", 15)
    _read(library, "{build: z-cam, kind: weight, mass: 14.4 kg, states: {zoom: wide}, ON}", 16)
    states = [logged.hung.build.states for logged in asked(library, "z-cam").readings]
    assert states == [{"zoom": "long"}, {"zoom": "long"}, {"zoom": "wide"}]


def _read(library: Library, reading: str, day: int) -> None:
    file = library.path.parent / f"reading-{day}.yaml"
    said = reading.replace("ON", f"on: 2026-03-{day}T09:00")
    file.write_text(f"riglog: 1\nreadings:\n  - {said}\n")
    library.add([str(file)])


def modified(library: Library, name: str, day: str, **changes: object) -> None:
    noun = replace(library.component(name), modified=day, **changes)  # type: ignore[arg-type]
    library.record(noun)


def test_readings_before_a_part_was_modified_tell_nothing_of_what_it_is_now(
    library: Library,
) -> None:
    # The hood of before was timed on its own rig; of that rig and the rest it still tells.
    lens = ("body-north", "lens-35", "hood", "block-battery", "screen", "post-tube")
    for mark, time in (("518", "3.1"), ("524", "2.2")):
        drop(library, question("a-cam", time, mark=mark, on="2026-03-14T09:00Z", method="sensor"))
    known = _width(library, "2026-03-20T09:00Z")
    for part in lens:
        modified(library, part, "2026-03-16")
    assert _width(library, "2026-03-20T09:00Z") > 3 * known
    kit = asked(library)
    assert set(kit.former) == set(lens)
    assert kit.component_on("hood", "2026-03-15")[0] != kit.component_on("hood", "2026-03-16")[0]


def _width(library: Library, on: str) -> float:
    """How well the height is known on a day after, by a prediction from a reading of that day."""
    build = library.standing("a-cam").build
    hung = library.standing("a-cam").hung(on[:10])._replace(settings={**build.settings})
    depth = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0].depth()
    low, high = depth.interval()
    return high - low


def test_better_knowledge_of_the_same_thing_is_no_other_thing(library: Library) -> None:
    drop(library, question(mark="518"))
    before = predict(library, "a-cam").depth_m
    library.record(replace(library.component("hood"), note="weighed again"))
    assert predict(library, "a-cam").depth_m == before
    modified(library, "hood", "2026-03-16")
    library.record(replace(library.component("hood"), note="and again"))
    assert len(asked(library).former["hood"]) == 1


def test_a_thing_that_was_modified_twice_was_two_others_before(library: Library) -> None:
    modified(library, "hood", "2026-03-10", mass=0.55)
    modified(library, "hood", "2026-03-16", mass=0.60)
    kit = asked(library)
    masses = [
        kit.component_on("hood", day)[1].mass for day in ("2026-03-09", "2026-03-10", "2026-03-16")
    ]
    assert masses == [0.5, 0.55, 0.6]


def test_what_was_like_a_type_before_it_was_modified_still_finds_it(library: Library) -> None:
    with_lens(library, "u-cam", "lens-75-b")
    drop(library, question("u-cam", mark="540", on="2026-03-14T09:00Z"))
    modified(library, "lens-75-b", "2026-03-16", like=None, mass=1.9, size=(0.16, 0.105, 0.105),
             mounts=library.component("lens-75").mounts)  # fmt: skip
    assert predict(library, "u-cam").mass_kg > 0
    assert "lens-75" in asked(library, "u-cam").components


def test_a_type_that_was_modified_changes_its_units(library: Library) -> None:
    with_lens(library, "u-cam", "lens-75-b")
    drop(library, question("u-cam", "3.0", mark="540", on="2026-03-14T09:00Z", method="sensor"))
    known = predict(library, "u-cam", "560").depth_m
    modified(library, "lens-75", "2026-03-16", mass=2.8)
    standing = library.standing("u-cam")
    hung = standing.hung("2026-03-20")
    heavier = Inference(kit_for(library.logbook, [hung], []), [hung]).stands[0]
    assert known.value is not None
    assert heavier.weight().value == pytest.approx(
        predict(library, "u-cam").mass_kg + 0.96, abs=0.05
    )


def test_drops_alone_are_counted_as_drops(library: Library) -> None:
    drop(library, question(mark="518"))
    _read(library, "{build: a-cam, kind: weight, mass: 13 kg, ON}", 15)
    answer = predict(library, "a-cam").evidence
    assert (answer.drops, answer.readings) == (1, 2)
    assert [isinstance(each.reading, Drop) for each in asked(library).readings] == [True, False]
