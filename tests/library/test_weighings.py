"""Which weighings of a component count, and what the estimate makes of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import fork

from riglog.jobs.check import check
from riglog.jobs.predict import predict
from riglog.library import Library, undoing
from riglog.library.earlier import Past
from riglog.library.evidence import kit_for
from riglog.library.weighings import weighings

if TYPE_CHECKING:
    from riglog.estimation.kit import Kit


def found(library: Library, name: str = "lens-35") -> list[float]:
    """The masses that count [kg], in the order of the log."""
    versions = library.logbook.versions("component", name)
    return [each.mass_kg for each in weighings(library.logbook, versions)]


def weighed(library: Library, author: str, **fields: Any) -> None:
    """A new version of the lens by somebody; kim weighed it at 1.12 kg."""
    other = Library(library.logbook, library.path, author, write=True)
    other.record(replace(library.component("lens-35"), **fields))


def kit(library: Library) -> Kit:
    standing = library.standing("a-cam")
    return kit_for(library.logbook, [standing.hung("2026-03-14")], [])


def test_what_two_people_weigh_are_two_weighings(library: Library) -> None:
    weighed(library, "ada", mass=1.126)
    assert found(library) == [1.12, 1.126]


def test_a_sheet_and_a_scale_are_two_weighings_of_one_person(library: Library) -> None:
    weighed(library, "kim", mass=1.126, by="maker's sheet")
    assert found(library) == [1.12, 1.126]


def test_the_same_persons_new_figure_by_the_same_means_corrects_the_former(
    library: Library,
) -> None:
    weighed(library, "ada", mass=1.21)
    weighed(library, "ada", mass=1.12)
    weighed(library, "ada", mass=1.123)
    assert found(library) == [1.12, 1.123]


def test_a_version_that_keeps_the_mass_is_no_weighing(library: Library) -> None:
    weighed(library, "ada", note="scratched")
    assert found(library) == [1.12]
    weighed(library, "ada", by="bench scale")
    assert found(library) == [1.12]
    (only,) = weighings(library.logbook, library.logbook.versions("component", "lens-35"))
    assert (only.author, only.by) == ("kim", "bench scale")


def test_both_sides_of_a_fork_count(library: Library) -> None:
    fork(library.path, "component", "lens-35", {"mass": 1.124}, {"mass": 1.128})
    assert found(library) == [1.12, 1.124, 1.128]


def test_a_weighing_that_was_undone_does_not_count(library: Library) -> None:
    weighed(library, "ada", mass=1.4)
    head = library.logbook.heads("component", "lens-35")[0]
    with library.logbook.writing() as log:
        undoing.record(log, undoing.plan(log, head), "ada")
    assert library.component("lens-35").mass == 1.12
    assert found(library) == [1.12]


def test_what_was_weighed_before_it_was_modified_is_another_thing(library: Library) -> None:
    weighed(library, "ada", mass=1.3, modified="2026-03-15")
    assert found(library) == [1.3]


def test_of_a_component_that_nobody_weighs_any_more_nothing_counts(library: Library) -> None:
    weighed(library, "ada", mass=None)
    assert found(library) == []


def test_a_mass_that_only_one_side_of_a_fork_states_is_known(library: Library) -> None:
    library.record(replace(library.component("lens-75"), mass=None))
    fork(library.path, "component", "lens-75", {"mass": 1.5}, {"note": "new cap"})
    build = library.standing("a-cam").build
    parts = tuple(
        replace(part, component="lens-75") if part.id == "lens-35" else part for part in build.parts
    )
    library.record(replace(build, parts=parts))
    assert kit(library).components["lens-75"].mass == 1.5


def test_before_an_entry_only_what_was_weighed_by_then_is_known(library: Library) -> None:
    weighed(library, "ada", mass=1.126)
    weighed(library, "bob", mass=1.13)
    last = library.logbook.heads("component", "lens-35")[0]
    past = Past(library.logbook).before(last)
    assert len(weighings(past, past.versions("component", "lens-35"))) == 2


def test_two_weighings_that_agree_weigh_more_than_one(library: Library) -> None:
    before = predict(library, "a-cam")
    weighed(library, "ada", mass=1.126)
    after = predict(library, "a-cam")
    assert after.mass_kg == pytest.approx(before.mass_kg + 0.003, abs=1e-4)
    assert after.mass_sd_kg < before.mass_sd_kg
    assert after.evidence.disputed == []


def test_two_weighings_that_disagree_are_taken_in_the_middle_and_said_to(library: Library) -> None:
    weighed(library, "ada", mass=1.22)
    after = predict(library, "a-cam")
    assert after.evidence.disputed == ["lens-35"]
    told = {each.code: each for each in after.warnings}["weighings_disagree"]
    # Two equally good ones are off from their middle by half of what lies between them.
    assert (told.what, told.figure) == ("lens-35", pytest.approx(1.17))
    assert told.other == pytest.approx(0.05)
    (disputed,) = check(library, "a-cam").disputed
    assert [each.author for each in disputed.weighings] == ["kim", "ada"]
    assert disputed.deviations == pytest.approx(0.1 / (0.005 * 2**0.5))
