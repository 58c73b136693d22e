"""Settings that the physics ignores, remembered against the mass that hung there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from jobs.flown import flown

from riglog.jobs.predict import predict
from riglog.jobs.remembered import remembered
from riglog.jobs.swap import swap

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.library import Library

# All that a-cam lists, and the same without its hood.
WHOLE_KG = 2.5 + 4.21 + 1.12 + 0.5 + 2.6 + 1.2 + 0.9
BARE_KG = WHOLE_KG - 0.5


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        was = opened.standing("a-cam").build
        opened.record(replace(was, also={"arm-lift": "6 turns", "arm-angle": "2"}))
        bare = tuple(part for part in was.parts if part.id != "hood")
        opened.record(replace(was, id="bare", parts=bare, also={"arm-lift": "5 turns"}))
        yield opened


def told(library: Library, mass_kg: float) -> dict[str, tuple[str, str]]:
    found = remembered(library, "post-one", mass_kg)
    return {each.key: (each.said, each.build) for each in found}


def test_of_each_setting_the_one_at_the_nearest_mass_is_told(library: Library) -> None:
    assert told(library, WHOLE_KG) == {
        "arm-angle": ("2", "a-cam"),
        "arm-lift": ("6 turns", "a-cam"),
    }
    assert told(library, BARE_KG)["arm-lift"] == ("5 turns", "bare")


def test_its_mass_is_that_of_all_that_the_documents_list(library: Library) -> None:
    masses = {each.said: each.mass_kg for each in remembered(library, "post-one", WHOLE_KG)}
    assert masses["6 turns"] == pytest.approx(WHOLE_KG)
    unit = replace(library.standing("a-cam").build, id="like-cam", also={"other": "x"})
    parts = tuple(
        replace(part, component="lens-75-b", name="lens-35") if part.id == "lens-35" else part
        for part in unit.parts
    )
    library.record(replace(unit, parts=parts))
    masses = {each.key: each.mass_kg for each in remembered(library, "post-one", WHOLE_KG)}
    # lens-75-b is like lens-75, which was weighed.
    assert masses["other"] == pytest.approx(WHOLE_KG - 1.12 + 1.84)


def test_of_equal_masses_the_newest_build_counts(library: Library) -> None:
    was = library.standing("a-cam").build
    library.record(replace(was, also={"arm-lift": "7 turns"}))
    assert told(library, WHOLE_KG)["arm-lift"] == ("7 turns", "a-cam")


def test_predict_and_swap_tell_what_went_with_about_their_mass(library: Library) -> None:
    said = {each.key: each.said for each in predict(library, "a-cam").remembered}
    assert said == {"arm-lift": "6 turns", "arm-angle": "2"}
    said = {each.key: each.said for each in swap(library, "a-cam", ["hood="]).remembered}
    assert said["arm-lift"] == "5 turns"


def test_another_rig_has_settings_of_its_own(library: Library) -> None:
    assert remembered(library, "ring-one", WHOLE_KG) == ()
