from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Evidence, Load, Move, Named, Value, Warned
from riglog.jobs.states_answers import End
from riglog.jobs.swap_answers import FirstMark, Passage
from riglog.records import Adjuster
from riglog.wording import say, tell

if TYPE_CHECKING:
    from riglog.jobs.swap_answers import SwapAnswer


def first_line(answer: SwapAnswer) -> str:
    return say(answer).splitlines()[0]


def moved(answer: SwapAnswer, index: int, **changes: object) -> SwapAnswer:
    """The answer with one of its moves changed."""
    moves = list(answer.moves)
    moves[index] = moves[index]._replace(**changes)
    return answer._replace(moves=moves)


def test_a_swap_reads_from_the_line_called_out_to_what_would_be_known_better(
    swap: SwapAnswer,
) -> None:
    assert (
        say(swap)
        == """\
Gimbal up 2.0, stage back 3, start at 491.

a-cam with lens-75 for lens-35, to drop in 3.0 s; 17.2 kg in all.

in mm            from     to  move    between (95 %)
gimbal          487.0  489.0  up 2.0  487.1 to 490.9
stage fore-aft     12      9  back 3  8.2 to 9.9
stage side       -1.0   -1.0  stays   -1.3 to -0.5
base                0      0  kept

Start the gimbal at 491.0 mm, 2.0 mm nearer the camera than the final mark, so
that the rig is surely bottom heavy. Expected there: 2.4 s (2.0 to 3.0). Save
the swap once it is made, drop it once, then move:
  riglog swap a-cam lens-35=lens-75 --save a-cam
  riglog drop a-cam --mark 491mm SECONDS... --want 3s

Before you start (the maker's instructions, ratings and local rules come first):
- Hold the camera end before lens-35 comes off: let go, it would lean 38 deg,
  nose up.
- Travel left on the stage fore-aft: 2.0 mm.
- Drop test: plate lock and safety stop closed, stand rated for it and weighted,
  swing circle clear, a second person's hand under the falling end. Never while
  it is worn.
- Never open the gimbal clamp under load: take the weight off it first.

Steps:
1. One person holds the camera end from here on, until it is trimmed.
2. Take off lens-35.
3. Fit lens-75.
4. Move the stage back by 3, to 9 mm.
5. Trim it side to side first, then fore and aft, until it hangs upright.
6. With the rig supported, raise the gimbal on the post, towards the camera, to
   the first mark: 491.0 mm.
7. Drop it once from horizontal and time it to upright: about 2.4 s (2.0 to
   3.0).
8. Move the gimbal as the answer to that drop says: about down 2.0, to 489.0 mm.
9. Trim it again, and mark where the gimbal now stands.

Set to 489.0 mm without a drop test: 3.0 s (2.5 to 4.3).
At 3.0 s, 255 g more at the camera would make it neutral.
Finer than one step: lower monitor-one (1.2 kg) by 4.0 mm, as much as 0.3 mm of
gimbal (0.1 s longer).
Load: arm 19.4 of 9.0 to 20.0 kg, near its rating.
Rests on 3 drop tests and 2 other readings. Taken for granted: the usual weight
of lens-75, never weighed.
To know more, weigh lens-75: 1.9 mm either way becomes 0.9 mm."""
    )


def test_a_script_finds_every_figure_of_a_swap(swap: SwapAnswer) -> None:
    told = tell(swap._replace(moves=swap.moves[:1], steps=swap.steps[3:4], saved="b-cam"))
    assert told == {
        "build": "a-cam",
        "version": 2,
        "entry": swap.named.entry,
        "head": None,
        "after": "lens-75 for lens-35",
        "drop_s": 3.0,
        "mass_kg": 17.2,
        "gyration_mm": 340.0,
        "settings": [
            {
                "adjuster": "pivot",
                "from_mm": 487.0,
                "to_mm": 0.48893 * 1000,
                "move_mm": (0.48893 - 0.487) * 1000,
                "low_mm": 0.4871 * 1000,
                "high_mm": 490.9,
                "set_mm": 489.0,
                "toward": "up",
                "free": True,
            }
        ],
        "first": {
            "pivot_mm": 491.0,
            "settings": [],
            "drop_s": 2.4,
            "drop_low_s": 2.0,
            "drop_high_s": 3.0,
        },
        "at_mark": {"drop_s": {"value": 3.0, "low": 2.5, "high": 4.3}},
        "margin_g": 255.0,
        "steps": [
            {
                "do": "set",
                "what": "stage-fore-aft",
                "to_mm": 9.0,
                "say": "Move the stage-fore-aft back by 3.0, to 9.0 mm.",
            }
        ],
        "passages": [
            {
                "after": "take-off",
                "parts": ["lens-35"],
                "lean_deg": -37.81521447863433,
                "turns_over": False,
            },
            {
                "after": "fit",
                "parts": ["lens-75"],
                "lean_deg": 6.875493541569878,
                "turns_over": False,
            },
        ],
        "vernier": {
            "part": "monitor-one",
            "mass_kg": 1.2,
            "toward": "down",
            "part_mm": 4.0,
            "pivot_mm": 0.3,
            "drop_change_s": 0.1,
        },
        "ends": [],
        "carried_kg": None,
        "also": [],
        "loads": [
            {"link": "rig", "mass_kg": 17.2, "least_kg": None, "greatest_kg": 24.0},
            {"link": "arm", "mass_kg": 19.4, "least_kg": 9.0, "greatest_kg": 20.0},
        ],
        "cautions": ["drop-test", "clamp-under-load"],
        "evidence": {
            "drops": 3,
            "readings": 5,
            "unweighed": ["lens-75"],
            "unlisted": False,
            "unset": [],
            "doubted": [],
            "kept_out": [],
            "disputed": [],
            "on_head": False,
        },
        "next": {"do": "weigh", "what": "lens-75", "now_mm": 1.9, "then_mm": 0.9},
        "saved": "b-cam",
        "warnings": [
            {
                "code": "leans",
                "message": "Hold the camera end before lens-35 comes off: let go, it would lean"
                " 38 deg, nose up.",
            },
            {
                "code": "near_travel_end",
                "message": "Travel left on the stage-fore-aft: 2.0 mm.",
            },
        ],
    }


def test_a_bound_that_does_not_exist_is_null_and_said_in_words(swap: SwapAnswer) -> None:
    answer = moved(swap, 0, low_m=None)
    assert tell(answer)["settings"][0]["low_mm"] is None
    assert "up 2.0  490.9 or less" in say(answer)


def test_a_gimbal_that_moves_less_than_half_a_step_stays(swap: SwapAnswer) -> None:
    answer = moved(swap, 0, to_m=0.4872, set_m=0.487, toward="none")
    assert first_line(answer) == "Gimbal stays, stage back 3, start at 491."


def test_a_gimbal_that_was_never_set_is_told_where_to_go(swap: SwapAnswer) -> None:
    answer = moved(swap, 0, from_m=None, toward="none")
    assert first_line(answer) == "Gimbal to 489, stage back 3, start at 491."
    assert "gimbal             -  489.0  set     487.1 to 490.9" in say(answer)
    assert tell(answer)["settings"][0]["from_mm"] is None
    assert tell(answer)["settings"][0]["move_mm"] is None


def test_an_adjuster_that_is_kept_is_listed_and_never_called_out(swap: SwapAnswer) -> None:
    answer = moved(swap, 1, free=False, to_m=0.012, set_m=0.012)
    assert first_line(answer) == "Gimbal up 2.0, start at 491."
    assert "\nstage fore-aft     12     12  kept\n" in say(answer)


def test_in_low_mode_up_leads_away_from_the_camera(swap: SwapAnswer) -> None:
    answer = swap._replace(
        named=swap.named._replace(mode="low"),
        first=swap.first._replace(toward="up"),
    )
    text = " ".join(say(answer).split())
    assert "raise the gimbal on the post, away from the camera" in text
    assert "2.0 mm further from the camera than the final mark" in text
    assert "a-cam in low mode with lens-75 for lens-35" in text
    assert "255 g less at the camera would make it neutral" in text


def test_a_ring_rig_moves_both_its_side_pivots(swap: SwapAnswer) -> None:
    answer = swap._replace(
        named=Named("ring-cam", 1, swap.named.entry, "ring", "high"),
        cautions=("ring-sides",),
    )
    text = " ".join(say(answer).split())
    assert first_line(answer) == "Side pivots up 2.0, stage back 3, start at 491."
    assert "Hold the frame before lens-35 comes off" in text
    assert (
        "With the frame supported, raise the side pivots, both to the same reading, to the first"
        " mark: 491.0 mm." in text
    )
    assert "Move the two sides one at a time, with the frame supported." in text
    assert "Start the side pivots at 491.0 mm, 2.0 mm higher than the final mark" in text
    assert "camera end" not in text
    assert "gimbal" not in text.split("Finer")[0].split("Start the side")[0]


def test_an_inch_scale_is_read_in_its_own_fractions(swap: SwapAnswer) -> None:
    inch = 0.0254
    scale = Adjuster(id="pivot", axis="z", step=inch / 16, unit="in")
    pivot = Move(
        "pivot", scale, 19 * inch, 19.13 * inch, 19.125 * inch, 19.05 * inch, 19.2 * inch,
        "up", free=True,
    )  # fmt: skip
    first = FirstMark("pivot", 19.3125 * inch, swap.first.drop_s, toward="up")
    text = say(swap._replace(moves=[pivot, *swap.moves[1:]], first=first))
    assert text.splitlines()[0] == "Gimbal up 1/8, stage back 3, start at 19 5/16."
    assert "gimbal (in)            19  19 1/8  up 1/8  19.05 to 19.20" in text
    assert "stage fore-aft (mm)    12       9  back 3  8.2 to 9.9" in text
    assert "riglog drop a-cam --mark 19.3125in SECONDS... --want 3s" in text


def test_a_state_that_turns_over_is_warned_of_before_the_steps(swap: SwapAnswer) -> None:
    answer = swap._replace(
        passages=[Passage("take-off", ("block-battery", "monitor-one"), 0.0, turns_over=True)]
    )
    text = say(answer)
    warning = (
        "- Hold the camera end before block-battery and monitor-one come off: let go, it\n"
        "  would turn over.\n"
    )
    assert text.index(warning) < text.index("Steps:")
    assert tell(answer)["warnings"][0]["code"] == "turns_over"


def test_a_first_mark_at_the_end_of_the_travel_is_not_called_safe(swap: SwapAnswer) -> None:
    text = " ".join(say(swap._replace(warnings=[Warned("first_mark_clamped")])).split())
    assert "Start the gimbal at 491.0 mm, the end of the travel. Expected there" in text
    assert "surely bottom heavy" not in text
    assert "it may be top heavy there, so hold the camera end." in text


def test_a_final_mark_that_may_turn_over_says_so(swap: SwapAnswer) -> None:
    text = say(swap._replace(drop_at_mark_s=Value(5.0, 3.4, None)))
    assert "Set to 489.0 mm without a drop test: 5.0 s (3.4 or more), or it turns over.\n" in text


def test_nothing_is_said_of_what_an_answer_lacks(swap: SwapAnswer) -> None:
    answer = swap._replace(
        margin_kg=None, vernier=None, next_rung=None, loads=(), cautions=(), warnings=(),
        passages=(), steps=(), evidence=Evidence(0, 0),
    )  # fmt: skip
    assert say(answer).split("--want 3s\n\n")[1] == (
        "Set to 489.0 mm without a drop test: 3.0 s (2.5 to 4.3).\nRests on no reading at all."
    )
    assert tell(answer)["margin_g"] is None
    assert tell(answer)["next"] is None


def test_the_rating_of_the_whole_rig_is_shown_once_it_is_near(swap: SwapAnswer) -> None:
    far, near, past = (swap._replace(loads=[Load("rig", kg, None, 24.0)]) for kg in (21, 22, 25))
    assert "Load:" not in say(far)
    assert "Load: rig 22.0 of 24.0 kg, near its rating.\n" in say(near)
    assert "Load: rig 25.0 of 24.0 kg, more than it is rated for.\n" in say(past)


def test_a_saved_result_names_its_build(swap: SwapAnswer) -> None:
    assert say(swap._replace(saved="a-cam-75")).endswith("\nSaved as a-cam-75.")


def test_a_long_id_gives_way_in_the_table_and_keeps_its_command_whole(swap: SwapAnswer) -> None:
    long = "-".join(["very"] * 12 + ["last"])
    name = f"{long}.slide"
    stage = swap.moves[1]._replace(name=name)
    answer = swap._replace(
        moves=[swap.moves[0], stage], named=swap.named._replace(build=long), steps=()
    )
    text = say(answer)
    assert max(map(len, text.splitlines())) <= 80
    command = text[text.index("  riglog drop") :].split("\n\n")[0]
    assert command.replace(" \\\n   ", "") == (
        f"  riglog drop {long} --mark 491mm SECONDS... --want 3s"
    )
    assert "very-ve" in text
    assert "y-last" in text


def test_the_lean_left_at_the_ends_of_a_range_is_told(swap: SwapAnswer) -> None:
    ends = [End("zoom", "wide", -0.054, 2.9), End("zoom", "long", 0.051, None)]
    text = " ".join(say(swap._replace(ends=ends)).split())
    assert (
        "With zoom left so, it leans at wide 3.1 deg, nose up; at long 2.9 deg, nose down, and"
        " turns over."
    ) in text
    assert tell(swap._replace(ends=ends))["ends"][1]["drop_s"] is None
