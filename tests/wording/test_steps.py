from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Value
from riglog.jobs.swap_answers import Step
from riglog.records import Adjuster
from riglog.wording import steps
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from typing import Literal


def job(pivot: Adjuster, rig: Literal["post", "ring"] = "post") -> steps.Job:
    scales = {
        "pivot": pivot,
        "stage-side": Adjuster(id="stage-side", axis="y", step=0.0005),
        "stage-fore-aft": Adjuster(id="stage-fore-aft", axis="x"),
    }
    return steps.Job(Terms(rig, "high", scales), Value(2.4, 2.0, None))


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (Step("hold"), "One person holds the camera end from here on, until it is trimmed."),
        (Step("take-off", "lens-35"), "Take off lens-35."),
        (Step("fit", "lens-75"), "Fit lens-75."),
        (
            Step("set", "stage-side", -0.0015, -0.0005, "right"),
            "Move the stage to the right by 0.5, to -1.5 mm.",
        ),
        (Step("set", "stage-fore-aft", 0.009), "Set the stage to 9 mm."),
        (Step("set", "stage-fore-aft", toward="back"), "Move the stage back."),
        (
            Step("trim"),
            "Trim it side to side first, then fore and aft, until it hangs upright.",
        ),
        (
            Step("trim", "stage-side"),
            "Trim it side to side with the stage, until it hangs upright.",
        ),
        (
            Step("trim", "stage-fore-aft"),
            "Trim it fore and aft with the stage, until it hangs upright.",
        ),
        (
            Step("first-mark", "pivot", 0.491, 0.004, "up"),
            (
                "With the rig supported, raise the gimbal on the post, towards the camera, to the"
                " first mark: 491.0 mm."
            ),
        ),
        (
            Step("first-mark", "pivot", 0.491),
            "With the rig supported, set the gimbal to the first mark: 491.0 mm.",
        ),
        (
            Step("drop"),
            "Drop it once from horizontal and time it to upright: about 2.4 s (2.0 or more).",
        ),
        (
            Step("drop", figure=2.2),
            "Drop it once from horizontal and time it to upright: about 2.2 s.",
        ),
        (
            Step("move", "pivot", 0.489, -0.002, "down"),
            "Move the gimbal as the answer to that drop says: about down 2.0, to 489.0 mm.",
        ),
        (Step("move"), "Move the gimbal as the answer to that drop says."),
        (
            Step("turn-over", "low"),
            "Turn the rig over to low mode, the camera end down, a hand at each end.",
        ),
        (Step("hang", "body-north", by="top"), "Hang body-north by its top."),
        (
            Step("turn", "screen", figure=3.141592653589793),
            "Turn screen by 180 deg about its fore-aft axis.",
        ),
        (Step("trim-again"), "Trim it again, and mark where the gimbal now stands."),
    ],
)
def test_a_step_is_said_to_whoever_does_it(step: Step, words: str, pivot: Adjuster) -> None:
    assert steps.sentence(step, job(pivot)) == words


def test_on_a_ring_the_frame_is_held_and_both_sides_move(pivot: Adjuster) -> None:
    ring = job(pivot, "ring")
    assert steps.sentence(Step("hold"), ring).startswith("One person holds the frame ")
    assert steps.sentence(Step("first-mark", "pivot", 0.212, 0.004, "up"), ring) == (
        "With the frame supported, raise the side pivots, both to the same reading, to the first"
        " mark: 212.0 mm."
    )
    assert steps.sentence(Step("trim-again"), ring).endswith("where the side pivots now stand.")
