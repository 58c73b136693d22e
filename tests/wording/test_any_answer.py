"""What must hold of every page and every object, whatever a job answers."""

from __future__ import annotations

import json
import re
from functools import partial
from typing import TYPE_CHECKING, Any

from hypothesis import given, settings
from hypothesis import strategies as st
from wcwidth import wcswidth

from riglog.jobs.answers import Evidence, Load, Move, Named, NextRung, Value, Vernier, Warned
from riglog.jobs.drop_answers import DropAnswer, Nudge
from riglog.jobs.friction_answers import Friction, SwingAnswer
from riglog.jobs.lean_answers import LeanAnswer, Sides, Way
from riglog.jobs.neutral_answers import NeutralAnswer
from riglog.jobs.nose_answers import Bounds, Off, Slid
from riglog.jobs.predict_answers import PredictAnswer
from riglog.jobs.remembered_answers import Remembered
from riglog.jobs.states_answers import End
from riglog.jobs.swap_answers import FirstMark, Passage, Step, SwapAnswer
from riglog.jobs.swap_words import Conversion, SwapWords
from riglog.jobs.timing_answers import Found, Timed
from riglog.records import Adjuster, Hold, Lean, PivotPair, Swing
from riglog.wording import cautions, say, tell, warned

if TYPE_CHECKING:
    from collections.abc import Callable

INCH = 0.0254
SCALES = [(0.0005, "mm"), (0.001, "mm"), (0.001, "cm"), (INCH / 16, "in"), (INCH / 20, "in")]

# No name here can be taken for a figure or for one that is missing; some are as long as they get.
ids = st.lists(st.text("bcdgxyz", min_size=1, max_size=9), min_size=1, max_size=6).map("-".join)
words = st.text("bcdgxyz カメ\u05d0\u0301\n\x1b\u202e", max_size=40)
meters = st.floats(-1.5, 1.5) | st.sampled_from([0.0, -0.0, -1e-9])
spans = st.floats(1e-5, 0.5)
times = st.floats(0.1, 60.0)
masses = st.floats(0.01, 60.0)
angles = st.floats(-3.2, 3.2)
ways = st.sampled_from(["up", "down", "forward", "back", "left", "right", "none"])


@st.composite
def values(draw: st.DrawFn, numbers: st.SearchStrategy[float]) -> Value:
    low, best, high = sorted(draw(st.tuples(numbers, numbers, numbers)))
    shown = draw(st.tuples(st.booleans(), st.booleans(), st.booleans()))
    return Value(
        *(n if is_shown else None for n, is_shown in zip((best, low, high), shown, strict=True))
    )


@st.composite
def adjusters(draw: st.DrawFn, axis: str) -> Adjuster:
    step, unit = draw(st.sampled_from(SCALES))
    lean = draw(st.sampled_from([0.0, 0.4, -1.0])) if axis == "z" else 0.0
    return Adjuster(id=draw(ids), axis=axis, step=step, unit=unit, lean=lean)


pairs = st.none() | st.builds(PivotPair, left=meters, right=meters)


def moves(name: st.SearchStrategy[str], axis: str) -> st.SearchStrategy[Move]:
    return st.builds(
        Move, name, adjusters(axis), st.none() | meters, meters, meters, st.none() | meters,
        st.none() | meters, ways, st.booleans(), pairs,
    )  # fmt: skip


named = st.builds(
    Named, ids, st.integers(1, 999), st.just("3ab12f04" + "c" * 56),
    st.sampled_from(["post", "ring"]), st.sampled_from(["high", "low"]),
)  # fmt: skip
warnings = st.lists(
    st.builds(
        Warned, st.sampled_from(sorted(warned.SENTENCES)) | words, ids | words,
        st.none() | meters, st.none() | times,
    ),
    max_size=3,
)  # fmt: skip
steps = st.builds(
    Step,
    st.sampled_from(
        ["hold", "take-off", "fit", "set", "trim", "first-mark", "drop", "move", "trim-again",
         "turn-over", "hang", "turn"]
    ),
    ids, st.none() | meters, st.none() | meters, ways, st.none() | times, pairs, ids,
)  # fmt: skip
evidence = st.builds(
    Evidence, st.integers(0, 200), st.integers(0, 200), st.lists(ids, max_size=6), st.booleans(),
    st.lists(ids, max_size=5), st.lists(st.tuples(ids, st.floats(0, 1)), max_size=4),
    st.lists(st.tuples(ids, st.just(("tether", "wind", "rain-cover"))), max_size=4), st.booleans(),
    disputed=st.lists(ids, max_size=3),
)  # fmt: skip
tilts = st.floats(1e-3, 1.5)
frictions = st.builds(
    Friction, values(st.floats(0, 0.1)), values(tilts), st.booleans(), st.none() | times
)
verniers = st.none() | st.builds(Vernier, ids | words, masses, meters, meters, ways, angles)
rungs = st.none() | st.builds(
    NextRung, st.sampled_from(["weigh", "edge", "drop", "two-marks"]), ids, spans, spans
)
loads = st.lists(st.builds(Load, ids, masses, st.none() | masses, masses), max_size=3)
also = st.lists(st.builds(Remembered, words, words, masses, ids), max_size=3)
passages = st.builds(
    Passage, st.sampled_from(["take-off", "turn-over", "fit"]),
    st.lists(ids, min_size=1, max_size=3).map(tuple),
    angles, st.booleans(),
)  # fmt: skip
codes = st.lists(st.sampled_from(sorted(cautions.CAUTIONS)), max_size=4)
margins = st.none() | st.floats(0, 5)

# A word that is typed is never broken, however long.
brief = st.lists(st.text("bcdgxyz", min_size=1, max_size=9), min_size=1, max_size=3).map("-".join)
typed = st.lists(st.builds("{}={}".format, brief, brief), max_size=3)
times_typed = st.none() | times.map("{:.1f} s".format)
conversions = st.builds(
    Conversion, st.sampled_from([None, "high", "low"]), typed, typed, st.lists(brief, max_size=2)
)
asked = st.builds(
    SwapWords, brief, typed, times_typed, st.lists(brief, max_size=2), st.lists(brief, max_size=2),
    typed, st.sampled_from([None, "level"]), st.booleans(), conversions, typed,
)  # fmt: skip
swaps = st.builds(
    SwapAnswer, named, ids | words, st.none() | times, masses, spans,
    st.tuples(
        moves(st.just("pivot"), "z") | moves(st.just("pivot"), "x"),
        st.lists(
            st.one_of(
                moves(ids, "x"), moves(ids, "y"),
                moves(st.builds("{}.{}".format, ids, ids), "x"),
            ),
            max_size=4, unique_by=lambda move: move.name,
        ),
    ).map(lambda found: [found[0], *found[1]]),
    st.builds(
        FirstMark, st.sampled_from(["pivot", ""]), meters, values(times),
        st.sampled_from(["up", "down", ""]), st.lists(moves(ids, "x"), max_size=1),
    ),
    values(times), margins, st.lists(passages, max_size=3), st.lists(steps, max_size=12),
    verniers, rungs, loads, evidence, codes, warnings, st.none() | ids, st.none() | masses, also,
    st.lists(st.builds(End, ids, ids, angles, st.none() | times), max_size=3),
    st.none() | asked,
)  # fmt: skip
predictions = st.builds(
    PredictAnswer, named, st.none() | meters, adjusters("z"), masses, masses,
    st.tuples(meters, meters, meters), spans, values(times), values(angles), values(meters),
    margins, loads, rungs, evidence, warnings, values(angles), pairs, st.none() | frictions,
    st.none(), st.none() | masses, also,
)  # fmt: skip
slid = st.sampled_from(["up", "down", "forward", "back", "left", "right", ""])
bounds = st.builds(Bounds, meters, meters, meters)
offs = st.builds(
    Off, st.none() | times, st.none() | times, bounds,
    st.none() | st.builds(Slid, ids, adjusters("x"), bounds, slid), st.booleans(), st.booleans(),
)  # fmt: skip
drops = st.builds(
    DropAnswer, named, st.just("3ab12f04" + "c" * 56), st.booleans(),
    adjusters("z") | adjusters("x"), st.none() | meters,
    st.just("pivot") | ids, adjusters("z"), st.none() | meters, times,
    st.lists(times, min_size=1, max_size=9).map(tuple),
    st.none() | times, values(times), st.none() | st.floats(-40, 40), st.none() | times,
    st.none() | meters, st.none() | values(meters), st.none() | meters, st.none() | meters, ways,
    st.none() | values(times), st.booleans(), margins, st.none() | meters, verniers, rungs,
    evidence, codes, warnings,
    st.none() | st.builds(Nudge, spans, st.none() | times, st.none() | times),
    st.none() | st.builds(
        Timed, st.sampled_from(["counted", "stopwatch", "clip", "sensor"]), st.floats(1e-4, 0.5),
        st.none() | st.floats(1.0, 1e5), st.sampled_from(["upright", "far-side"]),
        st.lists(
            st.builds(
                Found, times, times, st.floats(1e-4, 0.5), angles, times, st.integers(0, 4),
                st.none() | st.floats(-0.1, 0.3), st.none() | st.floats(1e-5, 0.1),
            ),
            max_size=8,
        ).map(tuple),
        st.none() | st.floats(0.0, 0.3), st.none() | st.floats(1e-6, 0.1),
    ),
    st.none() | offs, pairs, st.lists(ids, max_size=3), st.lists(moves(ids, "x"), max_size=1),
)  # fmt: skip
marks = st.lists(st.tuples(meters, times), min_size=1, max_size=9)
neutrals = marks.flatmap(
    lambda found: st.builds(
        partial(NeutralAnswer, tuple(m for m, _ in found), tuple(s for _, s in found)),
        st.none() | times, values(meters), values(spans), st.none() | values(meters),
        st.none() | meters, st.none() | values(times), warnings,
        st.sampled_from(["mm", "cm", "in"]), st.sampled_from([0.0, 0.4, -1.0]),
    )
)  # fmt: skip
when = {"build": ids, "on": st.just("2026-03-14T09:10:00+01:00")}
told_frictions = st.builds(
    SwingAnswer, named, st.just("3ab12f04" + "c" * 56),
    st.builds(
        Swing, **when, swings=st.integers(1, 99), time=times, start=tilts, end=st.none() | tilts
    ) | st.builds(Hold, **when, stays=st.none() | tilts, falls=tilts),
    adjusters("z"), st.none() | meters | pairs, st.none() | times, frictions, frictions,
    values(times), values(times), evidence, warnings,
)  # fmt: skip
told_leans = st.builds(
    LeanAnswer, named, st.just("3ab12f04" + "c" * 56),
    st.builds(Lean, **when, lean=st.none() | angles, side=angles, pan=st.none() | angles),
    adjusters("z"), st.none() | meters | pairs,
    st.lists(
        st.builds(
            Way, st.sampled_from(["lean", "side"]), angles, values(meters), angles,
            st.none() | values(meters), st.none() | angles,
            st.sampled_from(["rig", "gimbal", "both", "none"]),
            st.none() | st.builds(Slid, ids, adjusters("x"), bounds, slid),
            st.none() | st.builds(
                Sides, adjusters("z"), meters, meters, st.none() | meters, st.none() | meters,
                st.none() | angles,
            ),
        ),
        min_size=1, max_size=2,
    ),
    st.booleans(), evidence, codes, warnings,
)  # fmt: skip
answers = st.one_of(swaps, predictions, drops, neutrals, told_frictions, told_leans)

Answer = SwapAnswer | PredictAnswer | DropAnswer | NeutralAnswer | SwingAnswer | LeanAnswer


@given(answers)
@settings(deadline=None, max_examples=300)
def test_a_page_is_80_columns_wide_and_every_figure_on_it_is_one(answer: Answer) -> None:
    text = say(answer)
    for line in text.split("\n"):
        assert line.isprintable()
        # A word of a command is not broken, however long the names in it are.
        assert wcswidth(line) <= 80 or re.fullmatch(r" {4}(--[a-z]+ )?\S+( \\)?", line)
        assert line == line.rstrip()
    assert not re.search(r"-0(\.0+)?(?![0-9./])", text)
    assert not re.search(r"(?i)\b(nan|inf|none|null)\b", text)
    assert "\n\n\n" not in text


@given(answers)
@settings(deadline=None, max_examples=200)
def test_an_object_is_plain_json_without_minus_zero(answer: Answer) -> None:
    told = tell(answer)
    assert json.loads(json.dumps(told, allow_nan=False)) == told
    numbers = list(leaves(told, lambda value: isinstance(value, float)))
    assert [number for number in numbers if str(number) == "-0.0"] == []


@given(answers)
@settings(deadline=None, max_examples=100)
def test_a_number_in_an_object_stands_under_a_key_that_ends_in_its_unit(answer: Answer) -> None:
    for path, _ in keyed(tell(answer), ()):
        assert any(str(key).endswith(UNITS) for key in path), path


UNITS = ("_mm", "_s", "_n_m", "_kg", "_g", "_deg", "fps", "probability", "deviations")


def keyed(told: Any, path: tuple[str, ...]) -> list[tuple[tuple[str, ...], float]]:
    """Every float below a JSON value, with the keys that lead to it."""
    if isinstance(told, dict):
        return [leaf for key, value in told.items() for leaf in keyed(value, (*path, key))]
    if isinstance(told, list):
        return [leaf for value in told for leaf in keyed(value, path)]
    return [(path, told)] if isinstance(told, float) else []


def leaves(told: Any, wanted: Callable[[Any], bool]) -> list[Any]:
    """The values below a JSON value that are wanted."""
    if isinstance(told, dict):
        told = list(told.values())
    if isinstance(told, list):
        return [leaf for value in told for leaf in leaves(value, wanted)]
    return [told] if wanted(told) else []
