from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING

import pytest

from riglog.jobs.answers import Warned
from riglog.jobs.swap_answers import Passage
from riglog.records import Adjuster
from riglog.wording import warned
from riglog.wording.terms import Terms

if TYPE_CHECKING:
    from collections.abc import Sequence


@pytest.fixture
def terms(pivot: Adjuster) -> Terms:
    stage = Adjuster(id="stage-fore-aft", axis="x")
    return Terms("post", "high", {"pivot": pivot, "stage-fore-aft": stage})


FULL = [
    (Warned("top_heavy"), "Top heavy where it stands: it tips over, so do not let go of it."),
    (
        Warned("leans", figure=0.35),
        "It would lean 20 deg, nose down: hold the camera end until it is trimmed.",
    ),
    (Warned("leans"), "It would lean far: hold the camera end until it is trimmed."),
    (Warned("turns_over"), "It would turn over: hold the camera end."),
    (
        Warned("beyond_travel", "pivot", -0.0042),
        "The gimbal would have to go 4.2 mm past the end of the travel.",
    ),
    (
        Warned("beyond_travel", "stage-fore-aft"),
        "The stage would have to go past the end of the travel.",
    ),
    (Warned("near_travel_end", "stage-fore-aft", 0.0), "Travel left on the stage: 0.0 mm."),
    (
        Warned("not_trimmed", figure=-0.1),
        "It is not trimmed (5.7 deg, nose up): trim it before its drop time is trusted.",
    ),
    (
        Warned("over_load", "arm", 25.12, 24.0),
        "The arm carries 25.1 kg and is rated for 24.0 kg at most: take something off.",
    ),
    (Warned("under_load", "arm", 8.1, 9.0), "The arm carries 8.1 kg and needs 9.0 kg at least."),
    (Warned("under_load", figure=8.1), "The rig carries less than it needs."),
    (
        Warned("unlikely_drop", figure=-4.23, other=3.0),
        (
            "Not what was expected (3.0 s; off by 4.2 standard deviations): look for a part"
            " missing, moved, exchanged or wrongly weighed, and read the mark again."
        ),
    ),
    (
        Warned("unlikely_friction", figure=4.13, other=radians(1.2)),
        (
            "Not what was known of friction (it stayed put within 1.2 deg; off by 4.1 standard"
            " deviations): read the angles again, and look for what rubs or came loose: a cable,"
            " a bearing, a clamp."
        ),
    ),
    (
        Warned("wide_scatter", figure=0.41),
        "The times scatter by 0.4 s: drop it again, and let go without a push.",
    ),
    (
        Warned("far_side_habit", "bo", 1.94),
        (
            "Drops timed by bo come out 1.9 times as long as all else expects: stop the watch at"
            " the first pass through upright, or say --timed-to far-side."
        ),
    ),
    (
        Warned("odd_time", figure=4.4),
        "4.4 s stands apart from the other times; it is kept, and counts: was it a slip?",
    ),
    (
        Warned("above_shortest"),
        "So far up, raising the gimbal further makes the drop longer again, not shorter.",
    ),
    (
        Warned("faster_than_possible", figure=1.38),
        "No mark drops faster than 1.4 s: check the times.",
    ),
    (
        Warned("wild_reading", "3ab12f04", 0.93),
        "Reading 3ab12f04 looks like a slip (93 %) and hardly counts.",
    ),
    (
        Warned("marks_too_close"),
        "The marks are too close together to tell: drop it at one more, 8 to 10 mm away.",
    ),
    (
        Warned("unset_pivot"),
        "Nobody has set a mark for the gimbal yet: tell it with --mark.",
    ),
    (
        Warned("settings_assumed", "stage-fore-aft", 0.012),
        "The stage was assumed to stand at 12 mm: look at its scale.",
    ),
    (
        Warned("settings_assumed", "stage-fore-aft"),
        "Where the stage stands was assumed: look at its scale.",
    ),
    (
        Warned("first_mark_clamped"),
        (
            "The safe first mark lies past the end of the travel, and the end is taken instead: it"
            " may be top heavy there, so hold the camera end."
        ),
    ),
    (Warned("not_marked"), "No mark was told: the move counts from where the gimbal stood."),
    (
        Warned("weighings_disagree", "lens-35", 2.276, 0.035),
        (
            "The weighings of lens-35 do not agree: weigh it again. Until then it counts as"
            " 2.28 kg, give or take 35 g; riglog check shows them."
        ),
    ),
    (
        Warned("weighings_disagree", "lens-35"),
        "The weighings of lens-35 do not agree: weigh it again.",
    ),
    (
        Warned("wind"),
        (
            "Wind pushed it: this drop is kept and shown, and counts for nothing else. A shorter"
            " drop does not cure wind; drop it again in a lull before you trust the move."
        ),
    ),
    (
        Warned("tether"),
        (
            "A tether pulled on it: this drop is kept and shown, and counts for nothing else. Drop"
            " it again without the tether before you trust the move."
        ),
    ),
    (
        Warned("rain_cover"),
        (
            "A rain cover that is no part of the build adds mass high up and drag: this drop is"
            " kept and shown, and counts for nothing else. The move is right while the cover is"
            " on; list it as a part of kind cover to have it count."
        ),
    ),
    (
        Warned("untimed_year", "1970-01-01"),
        (
            "It is dated 1970-01-01, which cannot be right: check the day that was told, and this"
            " machine's clock."
        ),
    ),
    (
        Warned("clock_ahead", "2026-03-14 23:20"),
        (
            "It is dated 2026-03-14 23:20, which is later than now: check the hour that was told,"
            " and this machine's clock."
        ),
    ),
    (
        Warned("untimed_year"),
        "Its date cannot be right: check the day that was told, and this machine's clock.",
    ),
    (
        Warned("kept_out", "wind and tether"),
        "Taken under wind and tether: it is kept and shown, and counts for nothing.",
    ),
    (
        Warned("live_head", figure=1.29),
        (
            "Switch the powered head off before anything comes off it: live, it would turn the"
            " frame with 1.29 N m."
        ),
    ),
    (
        Warned("not_rebalanced", figure=0.35, other=0.42),
        (
            "Not balanced anew on its head: the head holds 0.35 N m, and drops with the nose up and"
            " down differ by 0.4 s."
        ),
    ),
    (
        Warned("not_rebalanced", figure=1.2345),
        (
            "Not balanced anew on its head: the head holds 1.23 N m, and a drop may not come"
            " upright."
        ),
    ),
    (
        Warned("tilt_unlisted"),
        "Not all that swings is listed: trim it at rest, and let a pan tell whether it is level.",
    ),
    (
        Warned("tilt_untold"),
        (
            "Too little is known of the tilt to move weight for it: trim it at rest, then spin it"
            " and tell what the lens end did."
        ),
    ),
    (
        Warned("trim_out_of_reach", figure=0.0023),
        "The travels do not reach: 2.3 mm off trim is left, so move a part by hand.",
    ),
    (
        Warned("drop_out_of_reach"),
        "The wanted drop time has no mark within the travel: the gimbal stays.",
    ),
    (
        Warned("unset_adjuster", "plate.slide"),
        "Nobody said where plate.slide stands, so it stays: add --set plate.slide=READING.",
    ),
    (
        Warned("slow_pan", figure=0.5235987755982988, other=0.7),
        (
            "5.0 rpm is below the critical pan rate of 6.7 rpm: gravity decided more than the axis;"
            " a faster pan tells more."
        ),
    ),
    (
        Warned("cant", figure=-0.014),
        (
            "The two sides stand at different readings: the camera is canted by 0.8 deg, its left"
            " side low."
        ),
    ),
    (
        Warned("askew", "pivot"),
        (
            "The two sides stand at different readings: the axis lies askew. Set both to one"
            " reading before its drop time is trusted."
        ),
    ),
]


@pytest.mark.parametrize(("warning", "words"), FULL, ids=lambda value: str(value)[:40])
def test_a_warning_says_what_it_is_and_what_to_do(
    warning: Warned, words: str, terms: Terms
) -> None:
    assert warned.sentence(warning, terms) == words


def test_every_code_is_worded() -> None:
    assert {warning.code for warning, _ in FULL} == set(warned.SENTENCES)


@pytest.mark.parametrize("code", sorted(warned.SENTENCES))
def test_a_warning_without_its_figures_still_says_something(code: str, terms: Terms) -> None:
    text = warned.sentence(Warned(code), terms)
    assert len(text.split()) > 4
    assert "None" not in text
    assert "{" not in text


def test_a_code_that_nobody_worded_is_shown_and_harms_nothing(terms: Terms) -> None:
    assert warned.sentence(Warned("strange_\x1bthing"), terms) == "Strange \\x1bthing."


LEANING = Passage("take-off", ("lens-35",), -0.66, turns_over=False)
LIGHT = Passage("take-off", ("filter-4",), 0.17, turns_over=False)
FITTED = Passage("fit", ("lens-75", "matte-box-4"), 0.3, turns_over=False)


@pytest.mark.parametrize(
    ("passages", "found"),
    [
        (
            [LEANING],
            [
                (
                    "Hold the camera end before lens-35 comes off: let go, it would lean 38 deg,"
                    " nose up."
                )
            ],
        ),
        ([LIGHT], []),
        (
            [FITTED],
            [
                (
                    "Hold the camera end with lens-75 and matte-box-4 on, until it is trimmed: let"
                    " go, it would lean 17 deg, nose down."
                )
            ],
        ),
    ],
)
def test_a_state_in_between_is_warned_of_where_it_leans_far(
    passages: Sequence[Passage], found: list[str], terms: Terms
) -> None:
    assert [text for _, text in warned.messages([], terms, passages)] == found


def test_what_a_passage_says_is_not_said_twice(terms: Terms) -> None:
    twice = [Warned("leans", "lens-35", -0.66), Warned("top_heavy"), Warned("top_heavy")]
    codes = [code for code, _ in warned.messages(twice, terms, [LEANING])]
    assert codes == ["leans", "top_heavy"]
