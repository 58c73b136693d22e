from __future__ import annotations

import pytest

from riglog.records import Adjuster
from riglog.wording.terms import Terms


def terms(*adjusters: tuple[str, str], rig: str = "post") -> Terms:
    scales = {name: Adjuster(id=name.split(".")[-1], axis=axis) for name, axis in adjusters}
    return Terms(rig, "high", {"pivot": Adjuster(id="pivot", axis="z", unit="in"), **scales})


@pytest.mark.parametrize(
    ("name", "axis", "word"),
    [
        ("stage-fore-aft", "x", "stage"),
        ("stage-side", "y", "stage"),
        ("base-x", "x", "base"),
        ("long-plate.slide", "x", "long-plate"),
        ("outside", "y", "outside"),
        ("side", "y", "side"),
        ("monitor-height", "z", "monitor"),
    ],
)
def test_an_adjuster_is_called_by_its_id_without_the_axis(name: str, axis: str, word: str) -> None:
    assert terms((name, axis)).called(name) == word


@pytest.mark.parametrize(
    ("rig", "word"), [("post", "gimbal"), ("ring", "side pivots"), ("", "pivot")]
)
def test_the_pivot_is_called_what_it_is_on_that_rig(rig: str, word: str) -> None:
    assert terms(rig=rig).called("pivot") == word


def test_two_that_share_a_word_are_told_apart_by_direction_or_by_axis() -> None:
    stages = terms(("stage-fore-aft", "x"), ("stage-side", "y"))
    assert stages.called("stage-side") == "stage"
    assert stages.labeled("stage-side") == "stage side"
    assert stages.labeled("stage-fore-aft") == "stage fore-aft"


def test_two_that_move_the_same_way_keep_their_full_names() -> None:
    plates = terms(("plate.slide", "x"), ("plate.fine", "x"), ("base-x", "x"))
    assert plates.called("plate.fine") == "plate.fine"
    assert plates.labeled("plate.slide") == "plate.slide"
    assert plates.called("base-x") == "base"


def test_one_that_the_answer_lacks_keeps_its_full_name_and_borrows_a_scale() -> None:
    assert terms().called("stage-side") == "stage-side"
    assert terms().scale("stage-side").unit == "in"
