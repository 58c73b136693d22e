"""Jotted lines against a small build: what they mean, and that they mean one thing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.jobs.exchange import Change, parse_change
from riglog.jobs.jot_scene import Scene
from riglog.jobs.jots import Doubt, Jot, words_of
from riglog.jobs.jotting import read_line
from riglog.records import Adjuster, PivotPair

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

INCH = 0.0254
PARTS = {"lens-35": "body.lens", "hood-five": "lens-35.front"}
COMPONENTS = {"lens-35", "lens-75", "nd-9", "hood-five", "strap-long", "scope"}
POST = Adjuster(id="pivot", axis="z", travel=(0.38, 0.62), step=0.0005)
LOW = Adjuster(id="pivot", axis="z", travel=(-0.02, 0.04), step=0.0005)
INCHES = Adjuster(id="pivot", axis="z", travel=(15 * INCH, 24 * INCH), step=INCH / 8, unit="in")
LONG_INCHES = Adjuster(id="pivot", axis="z", travel=(0, 16 * INCH), step=INCH / 8, unit="in")
SIDES = Adjuster(id="pivot", axis="z", travel=(0.15, 0.28), step=0.0005)
STAGE = (
    Adjuster(id="stage-fore-aft", axis="x", travel=(-0.09, 0.09)),
    Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=0.0005),
    Adjuster(id="base", axis="x", travel=(-0.06, 0.06)),
)


def component(word: str) -> str | None:
    small = word.casefold()
    plain = {name.replace("-", ""): name for name in COMPONENTS}
    return plain.get(small.replace("-", "")) if any(c.isalpha() for c in small) else None


def fit(names: Sequence[str], changes: Sequence[Change]) -> Sequence[Change]:
    """A lens takes the place of the lens, all else goes in front."""
    new = [n for n in dict.fromkeys(names) if n not in {*PARTS, *(each.new for each in changes)}]
    return [
        *changes,
        *(Change("lens-35", n) if "lens" in n else Change(None, n, "front") for n in new),
    ]


def scene(
    pivot: Adjuster = POST,
    stood: float | None = 0.487,
    ask: Callable[[Doubt], bool] | None = None,
    type_: str = "post",
) -> Scene:
    return Scene(
        type=type_,
        stood=stood,
        adjusters={each.id: each for each in (pivot, *STAGE)},
        component=component,
        like=lambda word: [each for each in COMPONENTS - {*PARTS} if word in each.split("-")],
        part=lambda word: next((p for p in PARTS if word and word in {p, *p.split("-")}), None),
        change=parse_change,
        fit=fit,
        ask=ask,
    )


def read(text: str, against: Scene | None = None) -> Jot:
    return read_line(text, against or scene())


LENS = (Change("lens-35", "lens-75"),)


@pytest.mark.parametrize(
    ("text", "jot"),
    [
        (
            "14:20 lens-75 nd9 489 3.0 3.1 windy",
            Jot(
                time="14:20", changes=(*LENS, Change(None, "nd-9", "front")), mark=0.489,
                times_s=(3.0, 3.1), conditions=("wind",),
            ),
        ),
        ("489 3.0", Jot(mark=0.489, times_s=(3.0,))),
        ("3.0 3.1 489", Jot(mark=0.489, times_s=(3.0, 3.1))),
        ("3.0, 3.1, 2.9", Jot(times_s=(3.0, 3.1, 2.9))),
        ("490.5 3.0/3.1/2.9", Jot(mark=0.4905, times_s=(3.0, 3.1, 2.9))),
        ("@ 489 3", Jot(mark=0.489, times_s=(3.0,))),
        ("gimbal 489 mm: 3.0 s 3.1 sec", Jot(mark=0.489, times_s=(3.0, 3.1))),
        ("48.9cm 3s", Jot(mark=0.489, times_s=(3.0,))),
        ("2:20pm 489 3.0", Jot(time="14:20", mark=0.489, times_s=(3.0,))),
        ("12:05 am 3.0", Jot(time="00:05", times_s=(3.0,))),
        ("14h20 3.0", Jot(time="14:20", times_s=(3.0,))),
        ("2026-03-14", Jot(day="2026-03-14")),
        ("2026-03-14T9:05 3.0", Jot(day="2026-03-14", time="09:05", times_s=(3.0,))),
        ("- [x] 14:20 Lens 75 on 489 3.0", Jot(
            time="14:20", changes=LENS, mark=0.489, times_s=(3.0,))),
        ("lens35 488 3.0", Jot(mark=0.488, times_s=(3.0,))),
        ("no hood 488 3.0", Jot(changes=(Change("hood-five", None),), mark=0.488, times_s=(3.0,))),
        ("hood off 488", Jot(changes=(Change("hood-five", None),), mark=0.488)),
        ("-hood-five 488", Jot(changes=(Change("hood-five", None),), mark=0.488)),
        ("=nd-9@lens-35.front 488", Jot(changes=(Change(None, "nd-9", "lens-35.front"),),
                                        mark=0.488)),
        ("stage-side -1.5 base=12mm 489 3.0", Jot(
            mark=0.489, settings={"stage-side": -0.0015, "base": 0.012}, times_s=(3.0,))),
        ("489 3.0 no wind today", Jot(mark=0.489, times_s=(3.0,), note="no wind today")),
        ("489 3.0 tethered, rain cover", Jot(
            mark=0.489, times_s=(3.0,), conditions=("tether", "rain-cover"))),
        ("489 3.0 felt heavy note: see page 12, take 3", Jot(
            mark=0.489, times_s=(3.0,), note="felt heavy see page 12, take 3")),
        ("lunch", Jot(note="lunch")),
        ("hangs nose down 3 deg", Jot(note="hangs nose down 3 deg")),
        ("489 3.0 leans 2.5deg", Jot(mark=0.489, times_s=(3.0,), note="leans 2.5deg")),
        ("489 3.0 hood 3 mm out", Jot(mark=0.489, times_s=(3.0,), note="hood 3mm out")),
        ("489 3.0 wind 5 m/s", Jot(
            mark=0.489, times_s=(3.0,), conditions=("wind",), note="5 m/s")),
        ("489 3.0 3.1 take 4", Jot(mark=0.489, times_s=(3.0, 3.1), note="take 4")),
        ("take 4: 489 3.0 3.1", Jot(mark=0.489, times_s=(3.0, 3.1), note="take 4")),
        ("14:20 3.0 3.1 with 2 people", Jot(
            time="14:20", times_s=(3.0, 3.1), note="with 2 people")),
        ("2 batteries 490.5 3.0", Jot(mark=0.4905, times_s=(3.0,), note="2 batteries")),
        ("3 drops 3.0 3.1 3.2", Jot(times_s=(3.0, 3.1, 3.2))),
        ("489 drops: 3.0 3.1", Jot(mark=0.489, times_s=(3.0, 3.1))),
        ("489 3, felt heavy", Jot(mark=0.489, times_s=(3.0,), note="felt heavy")),
        ("489 3 3.1", Jot(mark=0.489, times_s=(3.0, 3.1))),
        ("heavy mark 489 3.0", Jot(mark=0.489, times_s=(3.0,), note="heavy")),
        ("~489.5 3.0", Jot(mark=0.4895, times_s=(3.0,), note="~489.5")),
        ("about 489.5mm 3.0", Jot(mark=0.4895, times_s=(3.0,), note="about 489.5mm")),
        ("489 - 3.0 - 3.1", Jot(mark=0.489, times_s=(3.0, 3.1))),
        ("at 14:20 489 3.0, level at 5 rpm", Jot(
            time="14:20", mark=0.489, times_s=(3.0,), note="level at 5 rpm")),
        ("@489.5 3.0", Jot(mark=0.4895, times_s=(3.0,))),
        ("489 3.0 and 3.1", Jot(mark=0.489, times_s=(3.0, 3.1), note="and")),
    ],
)  # fmt: skip
def test_a_line_says(text: str, jot: Jot) -> None:
    assert read(text) == jot


def test_a_scale_in_inches_is_read_in_its_fractions() -> None:
    inches = scene(INCHES, 18 * INCH)
    for text in ("18 3/8 3.0", "18 3/8in 3.0", "18 3/8 in 3.0s", "18.375in 3.0"):
        assert read(text, inches) == Jot(mark=18.375 * INCH, times_s=(3.0,)), text


def test_a_ring_has_two_sides() -> None:
    ring = scene(SIDES, None, type_="ring")
    for text in ("212/213 3.0", "212mm,213mm 3.0"):
        assert read(text, ring) == Jot(mark=PivotPair(left=0.212, right=0.213), times_s=(3.0,))
    assert read("212 3.0/3.1", ring) == Jot(mark=0.212, times_s=(3.0, 3.1))
    assert read("3.0, 3.1, 212 mm", ring) == Jot(mark=0.212, times_s=(3.0, 3.1))


def test_a_ring_in_inches_has_two_sides_in_its_fractions() -> None:
    ring = scene(LONG_INCHES, None, type_="ring")
    jot = Jot(mark=PivotPair(left=0.0762, right=0.079375), times_s=(2.0,))
    for text in (
        "3/3 1/8 in 2.0", "3in,3 1/8in 2.0", "3 in, 3 1/8 in, 2.0", "mark 3/3 1/8 2.0s",
        "3 in/3 1/8 in 2.0", "pivots 3,3.125 2.0",
    ):  # fmt: skip
        assert read(text, ring) == jot, text
    assert read("7/8 in 2.0 2.1", ring) == Jot(mark=0.022225, times_s=(2.0, 2.1))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("3/3 2.0", "could be both sides or two drop times; write 3in,3in or 3s 3s"),
        ("3/3.1", "could be both sides or two drop times; write 3in,3.1in or 3s 3.1s"),
        ("mark 7/8 2.0", "could be one reading or both sides; write 7/8 in, or 7in,8in"),
    ],
)
def test_a_stroke_that_may_be_a_fraction_sides_or_times_is_refused(text: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        read(text, scene(LONG_INCHES, None, type_="ring"))


DOUBTS = [
    ("18.5 3.0", INCHES, 18 * INCH, Doubt("mark", "18.5"), "18.5in"),
    ("12 3.0", LOW, 0.01, Doubt("mark", "12"), "12mm"),
    ("589 3.0", POST, 0.487, Doubt("far", "589", "487.0 mm"), "589mm"),
    ("489 31", POST, 0.487, Doubt("time", "31"), "31s"),
    ("489 3,1", POST, 0.487, Doubt("comma", "3,1", "3.1"), "3.1"),
    ("strap 489 3.0", POST, 0.487, Doubt("part", "strap", "strap-long"), "strap-long"),
    ("489 12 3.0", POST, 0.487, Doubt("time", "12"), "12s"),
    ("489 31 3.0", POST, 0.487, Doubt("time", "31"), "31s"),
    ("489 3.0 3.1 12", POST, 0.487, Doubt("time", "12"), "12s"),
    ("489 3.0 3.1 2 people", POST, 0.487, Doubt("time", "2"), "2s"),
    ("489 3 people", POST, 0.487, Doubt("time", "3"), "3s"),
    ("489 heavy 3.0", POST, 0.487, Doubt("time", "3.0"), "3.0s"),
    ("489 2.9 up 1 3.0", POST, 0.487, Doubt("time", "3.0"), "3.0s"),
    ("489 drops 3 3.1 3.2", POST, 0.487, Doubt("time", "3"), "3s"),
    ("mark 489 3.0 2x 3.1", POST, 0.487, Doubt("repeats", "2x 3.1", "3.1 3.1"), "3.1 3.1"),
    ("489 3 drops 3.0 3.1", POST, 0.487, Doubt("count", "3 drops", "2 times"), "them all"),
    ("scene 480 3.0s", POST, 0.487, Doubt("mark", "480"), "mark 480"),
    ("back to 489mm 3.0", POST, 0.487, Doubt("mark", "489mm"), "mark 489mm"),
    ("lens-75 3.0", POST, 0.487, Doubt("stays", "", "487.0 mm"), "the mark"),
]


@pytest.mark.parametrize(("text", "pivot", "stood", "doubt", "mend"), DOUBTS)
def test_what_could_be_two_things_is_asked_about_or_refused(
    text: str, pivot: Adjuster, stood: float, doubt: Doubt, mend: str
) -> None:
    asked: list[Doubt] = []

    def yes(each: Doubt) -> bool:
        asked.append(each)
        return True

    understood = read_line(text, scene(pivot, stood, yes))
    assert asked == [doubt]
    assert understood.times_s
    assert understood.mark is not None
    with pytest.raises(CallError) as refused:
        read_line(text, scene(pivot, stood))
    assert mend in refused.value.hint


def test_a_no_is_heeded() -> None:
    def no(_: Doubt) -> bool:
        return False

    assert read_line("12 11.0", scene(LOW, 0.01, no)).times_s == (12.0, 11.0)
    assert read_line("strap 489.5 3.0", scene(ask=no)).note == "strap"
    assert read_line("strap 489 3.0s", scene(ask=no)).note == "strap 489"
    assert read_line("489 heavy 3.0", scene(ask=no)).note == "heavy 3.0"
    for text in ("589 3.0", "489 31", "489 3,1", "lens-75 3.0", "489 3.0 12", "2x 3.0"):
        with pytest.raises(CallError):
            read_line(text, scene(ask=no))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("489 491 3.0", "no drop time, and there is a mark already"),
        ("489mm 491mm 3.0", "second reading of pivot"),
        ("700 3.0", "cannot stand at"),
        ("0945 489 3.0", "a time of day is written 09:45"),
        ("75mm 489 3.0", "the lens is written lens-75"),
        ("50mm 489 3.0", "a lens is written by its id"),
        ("489 3.0 17.2kg", "riglog weigh"),
        ("hood 3 mm out 489 3.0", "stands behind a word and could be the mark"),
        ("moved up to 482 mm 3.0", 'behind "up" may be no mark'),
        ("489 3.0 17.2 kg", "riglog weigh"),
        ("489 (3.0) 3.1", "no part, mark or drop time"),
        ("3.0 3.1 scene 12", "could be drop times, or numbers among words"),
        ("3.0 3.1 with 2 people", "could be drop times, or numbers among words"),
        ("489 3.0 up to 491", "is a mark already"),
        ("489 0 3.0", "no drop time"),
        ("489 -3.0", "no drop time"),
        ("489 90s", "no drop time"),
        ("25:10 489 3.0", "no time of day"),
        ("13pm 489", "no part, mark or drop time"),
        ("14:20 14:30 489", "second time"),
        ("489 3.0 lens-99", "no part, mark or drop time"),
        ("489 3.O 3.1", "no part, mark or drop time"),
        ("489 3..0", "no part, mark or drop time"),
        ("2026-02-30 489", "is no day"),
        ("489 3.0 \x1b[31mred", "control character"),
        ("stage -6 489", "fits several adjusters"),
    ],
)
def test_what_is_not_understood_is_refused_in_words(text: str, told: str) -> None:
    with pytest.raises(CallError, match=told):
        read(text)


@pytest.mark.parametrize("text", ["up 1 3.0", "hood open 2.5", "489 3.0 then nose up 3.3"])
def test_a_figure_among_words_is_no_time_by_itself(text: str) -> None:
    with pytest.raises(CallError, match="stands among words"):
        read(text)


# What may stand on a line of its own right behind words is no word of theirs.
LETTERS = st.text("abcdefghijklmnoprtuvxyz", min_size=3, max_size=8).filter(
    lambda word: word not in {"mark", "gimbal", "drop", "time", "timed", "pivot", "lens", "base"}
)
FIGURES = st.one_of(
    st.integers(0, 30).map(str),
    st.integers(480, 495).map(str),
    st.decimals(0, 20, places=1).map(str),
)
JUNK = st.lists(st.tuples(LETTERS, FIGURES, LETTERS | st.sampled_from(["", "deg", "m/s", "%"])))
TIMES = st.lists(st.sampled_from(["3.0", "3.1", "2.9", "3 3.0"]), max_size=4)


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(["489", "489.5mm", "mark 489", "14:20", ""]), TIMES, JUNK, st.booleans())
@example(before="", times=["3.0"], junk=[("foo", "4", ""), ("", "489.5 2.0", "")], answer=True)
def test_numbers_among_appended_words_are_never_times_unless_somebody_says_so(
    before: str, times: list[str], junk: list[tuple[str, str, str]], answer: bool
) -> None:
    appended = " ".join(" ".join(each) for each in junk)
    text = " ".join([before, *times, *(["indoors", appended] if junk else [])])
    asked: list[str] = []

    def note_down(doubt: Doubt) -> bool:
        asked.extend(doubt.said.split())
        return answer

    written = [float(each) for each in " ".join(times).split()]
    try:
        alone = read(text)
    except CallError:
        pass
    else:
        assert list(alone.times_s) == written
        assert (alone.mark is not None) == ("489" in before)
    try:
        understood = read_line(text, scene(ask=note_down))
    except CallError:
        return
    surplus = list(understood.times_s)
    for each in written:
        if each in surplus:
            surplus.remove(each)
    assert all(each in map(float, asked) for each in surplus)
    assert answer or not surplus


WORDS = st.sampled_from([
    "14:20", "9:05", "2:20pm", "am", "2026-03-14", "lens-75", "Lens75", "lens", "75", "nd9",
    "no", "hood", "off", "on", "-hood", "+nd-9", "=nd-9@lens-35.front", "lens-35=lens-75",
    "489", "487.5", "18", "3/8", "18.5", "12", "-6", "3.0", "3.1s", "2.9/3.0", "3,1", "31", "0",
    "mm", "s", "in", "489mm", "mark", "at", "stage-side", "stage", "base", "base=3", "212/213",
    "windy", "wind", "tether", "rain", "cover", "note:", "//", "felt", "heavy,", "take", "#3",
    "3/3", "3in,", "3in,3", "1/8in", "1/8", "in/3", "3.0,", "212mm,213mm", "3.O", "strap",
    "~489.5", "about", "deg", "5m/s", "2x", "drops", "2", "and", "@489", "0945",
    ";", "=", "\x00", "\u2212", "Zoë", "١٢",
])  # fmt: skip
SCENES = st.sampled_from([
    (POST, 0.487, "post"), (INCHES, 18 * INCH, "post"), (LOW, None, "post"), (SIDES, None, "ring"),
    (Adjuster(id="pivot", axis="z"), None, "post"), (LONG_INCHES, None, "ring"),
    (Adjuster(id="pivot", axis="z"), None, "ring"),
])  # fmt: skip


@settings(deadline=None, max_examples=400)
@given(st.lists(WORDS, max_size=9).map(" ".join) | st.text(max_size=40), SCENES, st.booleans())
@example(
    text="14:20 lens-75 489 3.0 note: note: a // b", against=(POST, 0.487, "post"), answer=True
)
def test_a_line_is_refused_or_means_what_its_echo_means(
    text: str, against: tuple[Adjuster, float | None, str], answer: bool
) -> None:
    pivot, stood, type_ = against
    asked = scene(pivot, stood, lambda _: answer, type_)
    try:
        jot = read_line(text, asked)
    except CallError:
        return
    echo = words_of(jot, asked.adjusters)
    # Said in its echo's words, it is no longer doubtful.
    assert read_line(echo, scene(pivot, stood, None, type_)) == jot


@settings(deadline=None)
@given(
    st.floats(0.38, 0.62), st.lists(st.floats(0.05, 60), min_size=1, max_size=5),
    st.text(max_size=30),
)  # fmt: skip
def test_every_figure_of_an_echo_is_the_very_same(
    mark: float, times: list[float], note: str
) -> None:
    try:
        jot = read_line(f"note: {note}", scene())
    except CallError:
        return
    jot = jot._replace(mark=mark, times_s=tuple(times))
    assert read_line(words_of(jot, scene().adjusters), scene()) == jot
