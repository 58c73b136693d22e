from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Named, Value, Warned
from riglog.records import Adjuster
from riglog.wording import say, tell

if TYPE_CHECKING:
    from riglog.jobs.predict_answers import PredictAnswer

NOTHING = Value(None, None, None)


def first_line(answer: PredictAnswer) -> str:
    return say(answer).splitlines()[0]


def test_a_prediction_reads_from_the_line_called_out_to_what_would_be_known_better(
    predict: PredictAnswer,
) -> None:
    assert (
        say(predict)
        == """\
a-cam drops in 3.0 s (2.8 to 3.3), hangs 1 deg nose down, neutral with 255 g
more at the camera.

gimbal              at 487.0 mm, high mode
mass                17.20 kg, give or take 15 g
center of gravity   2.1 forward, 0.3 right, 482.5 up (mm from the rig's zero)
below the gimbal    4.5 mm (4.2 to 4.9)
radius of gyration  341.0 mm
lean, + nose down   1.0 deg (-0.2 to 2.3)

Rests on 1 drop test.
To know more, balance lens-75 on an edge, 20 seconds without a scale: 0.9 mm
either way becomes 0.7 mm."""
    )


def test_a_top_heavy_rig_is_not_to_be_let_go(predict: PredictAnswer) -> None:
    answer = predict._replace(
        drop_s=NOTHING,
        depth_m=Value(-0.002, -0.003, -0.0011),
        margin_kg=None,
        lean_rad=NOTHING,
        warnings=[Warned("top_heavy")],
    )
    assert first_line(answer) == "a-cam is top heavy where it stands: do not let go."
    assert "\nabove the gimbal    2.0 mm (1.1 to 3.0)\n" in say(answer)
    assert "nose down" not in say(answer)
    assert "Mind" not in say(answer)
    told = tell(answer)
    assert told["drop_s"] == {"value": None, "low": None, "high": None}
    assert [warning["code"] for warning in told["warnings"]] == ["top_heavy"]


def test_a_rig_that_may_be_top_heavy_is_held(predict: PredictAnswer) -> None:
    answer = predict._replace(drop_s=Value(6.1, 3.95, None), margin_kg=0.0604)
    assert first_line(answer) == (
        "a-cam drops in 6.1 s (4.0 or more), hangs 1 deg nose down, neutral with 60 g"
    )
    assert "at the camera; it may be top heavy, keep a hand on it." in " ".join(say(answer).split())


def test_a_rig_whose_pivot_was_never_set_has_a_mass(predict: PredictAnswer) -> None:
    answer = predict._replace(pivot_m=None, drop_s=NOTHING, warnings=[Warned("unset_pivot")])
    assert first_line(answer) == "a-cam weighs 17.2 kg; its gimbal has no mark yet."
    assert "gimbal              not set, high mode" in say(answer)
    assert "- Nobody has set a mark for the gimbal yet: tell it with --mark.\n" in say(answer)


@pytest.mark.parametrize(
    ("lean_rad", "words"),
    [
        (0.0085, "hangs upright"),
        (-0.0085, "hangs upright"),
        (-0.035, "hangs 2 deg nose up"),
        (0.0088, "hangs 1 deg nose down"),
    ],
)
def test_half_a_degree_counts_as_upright(
    predict: PredictAnswer, lean_rad: float, words: str
) -> None:
    assert f", {words}, " in first_line(predict._replace(lean_rad=Value(lean_rad, None, None)))


def test_a_ring_rig_with_an_inch_scale_is_told_in_its_own_words(predict: PredictAnswer) -> None:
    scale = Adjuster(id="pivot", axis="z", step=0.0254 / 8, unit="in")
    named = Named("ring-cam", 1, predict.named.entry, "ring", "low")
    text = say(predict._replace(named=named, pivot=scale, pivot_m=8.375 * 0.0254))
    assert "side pivots            at 8 3/8 in, low mode\n" in text
    assert "below the side pivots  0.18 in (0.17 to 0.19)\n" in text


def test_a_script_finds_every_figure_of_a_prediction(predict: PredictAnswer) -> None:
    assert tell(predict._replace(next_rung=None, lean_rad=NOTHING)) == {
        "build": "a-cam",
        "version": 2,
        "entry": predict.named.entry,
        "head": None,
        "pivot_mm": 487.0,
        "mass_kg": 17.2,
        "mass_sd_kg": 0.015,
        "cg_mm": [0.0021 * 1000, -0.3, 482.5],
        "gyration_mm": 341.0,
        "drop_s": {"value": 3.0, "low": 2.8, "high": 3.3},
        "lean_deg": {"value": None, "low": None, "high": None},
        "side_deg": {"value": None, "low": None, "high": None},
        "depth_mm": {"value": 4.5, "low": 4.2, "high": 0.0049 * 1000},
        "margin_g": 255.0,
        "friction": None,
        "carried_kg": None,
        "also": [],
        "loads": [{"link": "rig", "mass_kg": 17.2, "least_kg": None, "greatest_kg": 24.0}],
        "evidence": {
            "drops": 1,
            "readings": 1,
            "unweighed": [],
            "unlisted": False,
            "unset": [],
            "doubted": [],
            "kept_out": [],
            "disputed": [],
            "on_head": False,
        },
        "next": None,
        "warnings": [],
    }
