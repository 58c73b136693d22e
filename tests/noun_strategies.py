"""Nouns drawn at random, for tests that must hold for any."""

import unicodedata
from datetime import date, datetime, timedelta, timezone
from typing import Any, get_args

from hypothesis import strategies as st

from riglog.records import (
    Adjuster,
    BalancePoint,
    Build,
    Component,
    Drop,
    HangsUpright,
    Hold,
    Lean,
    LoadRange,
    Mount,
    Part,
    PivotPair,
    Rig,
    Scale,
    Spin,
    Spread,
    State,
    Swing,
    Turn,
    Weight,
)
from riglog.records.component import Kind, Shape, Source
from riglog.records.measurements import CenterOfGravity, Inertia, Weighing
from riglog.records.weighing_scale import WeighingScale

IDS = st.from_regex(r"[a-z0-9]{1,8}(-[a-z0-9]{1,4}){0,2}", fullmatch=True)
PLACES = st.one_of(IDS, st.tuples(IDS, IDS).map(".".join))
QUANTITIES = st.floats(-100, 100).filter(lambda value: not 0 < abs(value) < 1e-30)
POSITIVE = st.floats(1e-9, 100)
SPREADS = st.one_of(st.just(0.0), POSITIVE)
ANGLES = st.floats(1e-9, 3.141592653589793)
CHARACTERS = st.characters(
    exclude_categories=("Cs", "Cc"),
    exclude_characters="\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff\ufffe\uffff",
)
NOTES = st.text(st.one_of(CHARACTERS, st.sampled_from("\n\t:-#'\"[]{}&*!|>%@`,? ")), max_size=60)
LINES = NOTES.filter(lambda text: not set(text) & set("\n\t\u2028\u2029"))
VECTORS = st.tuples(QUANTITIES, QUANTITIES, QUANTITIES)
TAGS = st.lists(LINES.map(lambda text: unicodedata.normalize("NFC", text)), max_size=3).map(tuple)


def composed(texts: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Text as it is stored."""
    return texts.map(lambda text: unicodedata.normalize("NFC", text))


def rising(low: float, high: float) -> st.SearchStrategy[tuple[float, float]]:
    """Two floats, the least first."""
    pairs = st.tuples(st.floats(low, high), st.floats(low, high)).map(sorted).map(tuple)
    return pairs.filter(lambda pair: pair[0] < pair[1] and all(abs(v) > 1e-30 for v in pair))


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """A value, or none at all."""
    return st.one_of(st.none(), strategy)


@st.composite
def tensors(draw: st.DrawFn) -> tuple[float, ...]:
    """Inertia of four point masses, tr(J) 1 - J, with J their second moment."""
    points = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
    points.append(tuple(draw(st.floats(-1, 1)) for _ in range(3)))
    masses = [draw(st.floats(0.1, 10)) for _ in points]

    def moment(a: int, b: int) -> float:
        return sum(mass * point[a] * point[b] for mass, point in zip(masses, points, strict=True))

    xx, yy, zz = moment(0, 0), moment(1, 1), moment(2, 2)
    products = (-moment(0, 1), -moment(0, 2), -moment(1, 2))
    return (
        yy + zz,
        xx + zz,
        xx + yy,
        *(value if abs(value) > 1e-30 else 0.0 for value in products),
    )


def instants() -> st.SearchStrategy[str]:
    """RFC 3339 times with offsets of whole minutes."""
    minutes = st.integers(-12 * 60, 12 * 60)
    zones = minutes.map(lambda offset: timezone(timedelta(minutes=offset)))
    first, last = datetime.fromisoformat("0001-01-02"), datetime.fromisoformat("9999-12-30")
    return st.datetimes(first, last, timezones=zones).map(datetime.isoformat)


def days() -> st.SearchStrategy[str]:
    """ISO 8601 days."""
    return st.dates(date.min, date.max).map(date.isoformat)


MOUNTS = st.builds(
    Mount,
    at=VECTORS,
    moved_by=st.lists(IDS, max_size=2).map(tuple),
    sd=maybe(SPREADS),
    tilts=st.booleans(),
    levels=st.booleans(),
)
ADJUSTERS = st.builds(
    Adjuster,
    id=IDS,
    axis=st.sampled_from("xyz"),
    travel=maybe(rising(-100, 100)),
    step=POSITIVE,
    scale=st.builds(Scale, zero=QUANTITIES, reads=st.sampled_from(["up", "down"])),
    unit=st.sampled_from(["mm", "cm", "in"]),
)
STATES = st.builds(State, cg=VECTORS, cg_sd=maybe(SPREADS))
PAIRS = st.builds(PivotPair, left=QUANTITIES, right=QUANTITIES)
SETTINGS = st.dictionaries(PLACES, st.one_of(QUANTITIES, PAIRS), max_size=3)
HEADS = maybe(st.sampled_from(["level", "follow", "locked", "off"]))

COMPONENTS = st.builds(
    Component,
    id=IDS,
    kind=st.sampled_from(get_args(Kind)),
    mass=maybe(POSITIVE),
    mass_sd=maybe(SPREADS),
    by=maybe(st.sampled_from(get_args(Source))),
    size=maybe(st.tuples(POSITIVE, POSITIVE, POSITIVE)),
    shape=st.sampled_from(get_args(Shape)),
    inertia=maybe(tensors()),
    cg=maybe(VECTORS),
    cg_sd=maybe(SPREADS),
    mounts=st.dictionaries(IDS, MOUNTS, max_size=3),
    adjusters=st.lists(ADJUSTERS, max_size=2).map(tuple),
    states=st.dictionaries(IDS, STATES, max_size=2),
    like=maybe(IDS),
    spread=maybe(st.builds(Spread, mass=SPREADS, cg=SPREADS, inertia=SPREADS)),
    modified=maybe(days()),
    serial=maybe(composed(LINES)),
    tags=TAGS,
    note=composed(NOTES),
)
LOADS = st.one_of(
    st.builds(LoadRange, greatest=POSITIVE),
    rising(0.001, 100).map(lambda pair: LoadRange(least=pair[0], greatest=pair[1])),
)
RIGS = st.builds(
    Rig,
    id=IDS,
    type=st.sampled_from(["post", "ring"]),
    mounts=st.dictionaries(IDS, MOUNTS, max_size=3),
    adjusters=st.lists(ADJUSTERS, max_size=3).map(tuple),
    rated_load=st.dictionaries(st.one_of(IDS, st.just("rig")), LOADS, max_size=2),
    pivot_at=st.tuples(QUANTITIES, QUANTITIES),
    pivot_width=maybe(POSITIVE),
    tags=TAGS,
    note=composed(NOTES),
)
PARTS = st.builds(
    Part,
    component=IDS,
    on=PLACES,
    offset=maybe(VECTORS),
    turn=maybe(st.builds(Turn, about=st.sampled_from("xyz"), by=QUANTITIES)),
    sd=maybe(SPREADS),
    name=maybe(IDS),
)
BUILDS = st.builds(
    Build,
    id=IDS,
    rig=IDS,
    mode=st.sampled_from(["high", "low"]),
    wanted_drop=maybe(POSITIVE),
    parts=st.lists(PARTS, max_size=3).map(tuple),
    settings=SETTINGS,
    also=st.dictionaries(composed(LINES), composed(LINES), max_size=2),
    head=HEADS,
    states=st.dictionaries(IDS, IDS, max_size=2),
    tags=TAGS,
    note=composed(NOTES),
)
MEASURED = {
    "build": IDS,
    "on": instants(),
    "settings": SETTINGS,
    "head": HEADS,
    "states": st.dictionaries(IDS, IDS, max_size=2),
    "conditions": st.lists(st.sampled_from(["tether", "wind", "rain-cover"]), max_size=3).map(
        tuple
    ),
    "tags": TAGS,
    "note": composed(NOTES),
}
READINGS = st.one_of(
    st.builds(
        Drop,
        **MEASURED,
        times=st.lists(POSITIVE, min_size=1, max_size=4).map(tuple),
        method=st.sampled_from(["counted", "stopwatch", "clip", "sensor"]),
        nose=maybe(st.sampled_from(["up", "down"])),
        release=ANGLES,
        stop=QUANTITIES,
        fps=maybe(st.floats(1e-9, 1000)),
    ),
    st.builds(Weight, **MEASURED, mass=POSITIVE, sd=maybe(POSITIVE)),
    st.builds(BalancePoint, **MEASURED, at=QUANTITIES, sd=maybe(POSITIVE)),
    st.builds(HangsUpright, **MEASURED, within=ANGLES),
    st.builds(
        Lean,
        **MEASURED,
        lean=maybe(QUANTITIES),
        side=maybe(QUANTITIES),
        pan=maybe(QUANTITIES),
        sd=maybe(ANGLES),
    ),
    st.builds(
        Spin,
        **MEASURED,
        lens_end=st.sampled_from(["dips", "rises", "flat"]),
        turns=st.floats(1e-9, 1000),
        time=POSITIVE,
    ),
    st.builds(
        Swing,
        **MEASURED,
        swings=st.integers(1, 999),
        time=POSITIVE,
        start=ANGLES,
        end=maybe(ANGLES),
    ),
    st.builds(Hold, **MEASURED, stays=maybe(ANGLES), falls=maybe(ANGLES)),
)
SCALES = st.builds(
    WeighingScale,
    id=IDS,
    resolution=POSITIVE,
    linearity=SPREADS,
    checked=maybe(st.dates(date.min, date.max).map(date.isoformat)),
    reference=maybe(POSITIVE),
    showed=maybe(POSITIVE),
    serial=maybe(composed(LINES)),
    tags=TAGS,
    note=composed(NOTES),
)
OF_COMPONENT = {
    "component": IDS,
    "on": instants(),
    "how": composed(LINES),
    "tags": TAGS,
    "note": composed(NOTES),
}
MEASUREMENTS = st.one_of(
    st.builds(
        Weighing,
        **OF_COMPONENT,
        shown=st.lists(POSITIVE, min_size=1, max_size=3).map(tuple),
        without=SPREADS,
        scale=maybe(IDS),
        by=maybe(st.sampled_from(get_args(Source))),
        sd=maybe(POSITIVE),
    ),
    st.builds(
        CenterOfGravity,
        **OF_COMPONENT,
        along=st.sampled_from("xyz"),
        at=QUANTITIES,
        sd=POSITIVE,
    ),
    st.builds(Inertia, **OF_COMPONENT, about=st.sampled_from("xyz"), moment=POSITIVE, sd=POSITIVE),
)
NOUNS = st.one_of(COMPONENTS, RIGS, BUILDS, READINGS, SCALES, MEASUREMENTS)
