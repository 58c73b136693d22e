from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.errors import CallError
from riglog.library.adjusters import adjusters_of, named_adjuster, settings_given

if TYPE_CHECKING:
    from riglog.library import Library

NAMES = ("pivot", "stage-side", "stage-fore-aft", "slide-2.run")


def test_a_builds_adjusters_are_the_rigs_and_those_of_its_parts(library: Library) -> None:
    found = adjusters_of(library, library.standing("a-cam").build)
    assert list(found) == ["pivot", "stage-side", "slide-2.run"]
    assert found["slide-2.run"].unit == "in"  # slide-2 is like slide, which states it


def test_an_adjuster_is_meant_by_its_name_or_a_part_that_fits_no_other() -> None:
    assert named_adjuster("pivot", NAMES) == "pivot"
    assert named_adjuster("Side", NAMES) == "stage-side"
    assert named_adjuster("run", NAMES) == "slide-2.run"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("stage", "it could mean stage-side or stage-fore-aft"),
        ("pivto", "did you mean pivot"),
        ("", "write pivot"),
    ],
)
def test_words_that_mean_no_adjuster_or_several_are_answered_with_what_there_is(
    words: str, told: str
) -> None:
    with pytest.raises(CallError, match=told):
        named_adjuster(words, NAMES)


def test_a_setting_is_read_on_the_scale_of_its_adjuster(library: Library) -> None:
    known = adjusters_of(library, library.standing("a-cam").build)
    given = settings_given(known, ["pivot=490", "run=-1/2", "side=0.5 mm"], "post")
    assert given == {"pivot": 0.490, "slide-2.run": -0.0127, "stage-side": 0.0005}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["pivot"], "write ADJUSTER=READING"),
        (["pivot=487", "pivot=488"], "pivot is set twice"),
        (["pivot=3s"], "a time"),
        (["pivot=4870"], "its travel is 380.0 mm to 600.0 mm"),
    ],
)
def test_a_setting_that_no_hand_could_make_is_refused(
    library: Library, words: list[str], told: str
) -> None:
    known = adjusters_of(library, library.standing("a-cam").build)
    with pytest.raises(CallError, match=told):
        settings_given(known, words, "post")
