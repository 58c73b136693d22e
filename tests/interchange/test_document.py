"""Kit documents in the user's own words: what they hold, and every mistake with its line."""
# ruff: noqa: E501 # a mistake and the line that names it stand side by side

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.interchange import Document, read_document, read_file
from riglog.records import (
    Adjuster,
    BalancePoint,
    Build,
    Component,
    Drop,
    HangsUpright,
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

KIT = Path(__file__).parent / "kit.yaml"
RIGHT_ANGLE = 1.5707963267948966


def nouns(document: Document) -> list[object]:
    assert document.findings == ()
    groups = (
        document.components,
        document.rigs,
        document.builds,
        document.scales,
        document.readings,
        document.measurements,
    )
    return [placed.noun for group in groups for placed in group]


def findings(text: str) -> list[str]:
    return [str(finding) for finding in read_document(text, "kit.yaml").findings]


def test_a_kit_is_read_as_its_components_rigs_builds_and_readings() -> None:
    assert nouns(read_file(str(KIT))) == [
        Component(
            id="body-north",
            kind="camera",
            mass=4.21,
            mass_sd=0.003,
            size=(0.28, 0.15, 0.17),
            cg=(0.012, 0.0, 0.085),
            cg_sd=0.003,
            mounts={"lens": Mount(at=(0.095, 0.0, 0.062)), "top": Mount(at=(0.0, 0.0, 0.17))},
        ),
        Component(
            id="lens-35",
            kind="lens",
            mass=1.12,
            size=(0.12, 0.095, 0.095),
            mounts={"front": Mount(at=(0.118, 0.0, 0.0))},
        ),
        Component(id="post-tube", kind="post", mass=2.2),
        Component(id="inner-yoke", kind="gimbal", mass=0.6),
        Component(id="block-battery", kind="battery", mass=2.6),
        Rig(
            id="post-one",
            type="post",
            mounts={
                "post": Mount(at=(0.0, 0.0, 0.0)),
                "stage": Mount(at=(0.0, 0.0, 0.76), moved_by=("stage-fore-aft", "stage-side")),
                "base": Mount(at=(0.0, 0.0, 0.02), moved_by=("base-fore-aft",)),
                "yoke": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",)),
                "handle": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",), tilts=False),
            },
            adjusters=(
                Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005),
                Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08), step=0.001),
                Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=0.0005),
                Adjuster(id="base-fore-aft", axis="x", travel=(-0.06, 0.06), step=0.001),
            ),
            rated_load={"rig": LoadRange(greatest=24.0)},
        ),
        Build(
            id="a-cam",
            rig="post-one",
            wanted_drop=3.0,
            parts=(
                Part(component="post-tube", on="post"),
                Part(component="inner-yoke", on="yoke"),
                Part(component="body-north", on="stage"),
                Part(component="lens-35", on="body-north.lens"),
                Part(component="block-battery", on="base", offset=(-0.15, 0.0, 0.04)),
            ),
            settings={
                "pivot": 0.487,
                "stage-fore-aft": 0.012,
                "stage-side": -0.001,
                "base-fore-aft": 0.0,
            },
            also={"arm-lift": "6 turns"},
        ),
        Drop(
            build="a-cam",
            on="2026-03-14T09:10:00+01:00",
            times=(3.1, 3.0, 3.2),
            settings={"pivot": 0.487},
        ),
    ]


RARE = """
readings:
  - {build: b, kind: weight, on: "2026-03-14T09:10Z", mass: 40 lb, sd: 1 oz}
  - {build: b, kind: balance-point, on: "2026-03-14T09:10Z", at: 500 mm, sd: 1 mm}
  - {build: b, kind: hangs-upright, on: "2026-03-14T09:10Z"}
  - {build: b, kind: lean, on: "2026-03-14T09:10Z", lean: -2 deg, side: 0 deg, pan: 90 deg}
  - {build: b, kind: spin, on: "2026-03-14T09:10Z", lens_end: dips, turns: 2.5, in: 7 s}
  - {build: b, kind: swing, on: "2026-03-14T09:10Z", swings: 10, time: 25 s, from: 90 deg, to: 45 deg}
  - {build: b, kind: drop, on: "2026-03-14T09:10Z", times: [3 s], from: down, release: 30 deg,
     method: clip, fps: 23.976, head: locked, states: {zoom: long}, tags: [0123], note: "a: b"}
builds:
  - id: b
    rig: ring
    mode: low
    head: level
    parts:
      - {component: zoom, on: head, as: left, turn: {about: z, by: 180 deg}, sd: 2 mm}
    settings: {pivot: {left: 212 mm, right: 213 mm}, left.slide: 3/8 in}
    states: {left: long}
rigs:
  - id: ring
    type: ring
    mounts: {head: {at: [0 mm, 0 mm, 10 cm], sd: 0 mm, levels: true}}
    adjusters: [{id: pivot, axis: z, scale: {zero: 35 mm, reads: down}, unit: in}]
    rated_load: {gimbal: 24 kg, arm: [9 kg, 20 kg]}
    pivot_at: [3 mm, 0 mm]
    pivot_width: 1 ft
components:
  - id: zoom
    kind: lens
    like: zoom-type
    by: maker's sheet
    inertia: [0.02 kg m2, 0.03 kg m2, 0.03 kg m2, 0 kg m2, 1e-3 kg m2, 0 kg m2]
    adjusters: [{id: slide, axis: x}]
    states: {long: {cg: [80 mm, 0 mm, 0 mm], cg_sd: 1 mm}}
    spread: {mass: 1 %}
    modified: 2026-02-01
    serial: 0123
    shape: cylinder-x
riglog: 1
"""


def test_every_key_of_a_kit_is_read_whatever_the_order_of_the_lists() -> None:
    when = "2026-03-14T09:10:00+00:00"
    assert nouns(read_document(RARE)) == [
        Component(
            id="zoom",
            kind="lens",
            like="zoom-type",
            by="maker's sheet",
            inertia=(0.02, 0.03, 0.03, 0.0, 0.001, 0.0),
            adjusters=(Adjuster(id="slide", axis="x"),),
            states={"long": State(cg=(0.08, 0.0, 0.0), cg_sd=0.001)},
            spread=Spread(mass=0.01),
            modified="2026-02-01",
            serial="0123",
            shape="cylinder-x",
        ),
        Rig(
            id="ring",
            type="ring",
            mounts={"head": Mount(at=(0.0, 0.0, 0.1), sd=0.0, levels=True)},
            adjusters=(
                Adjuster(id="pivot", axis="z", scale=Scale(zero=0.035, reads="down"), unit="in"),
            ),
            rated_load={
                "gimbal": LoadRange(greatest=24.0),
                "arm": LoadRange(least=9.0, greatest=20.0),
            },
            pivot_at=(0.003, 0.0),
            pivot_width=0.3048,
        ),
        Build(
            id="b",
            rig="ring",
            mode="low",
            head="level",
            parts=(
                Part(
                    component="zoom",
                    on="head",
                    name="left",
                    turn=Turn(about="z", by=3.141592653589793),
                    sd=0.002,
                ),
            ),
            settings={"pivot": PivotPair(left=0.212, right=0.213), "left.slide": 0.009525},
            states={"left": "long"},
        ),
        Weight(build="b", on=when, mass=18.1436948, sd=0.028349523125),
        BalancePoint(build="b", on=when, at=0.5, sd=0.001),
        HangsUpright(build="b", on=when),
        Lean(build="b", on=when, lean=-0.03490658503988659, side=0.0, pan=RIGHT_ANGLE),
        Spin(build="b", on=when, lens_end="dips", turns=2.5, time=7.0),
        Swing(build="b", on=when, swings=10, time=25.0, start=RIGHT_ANGLE, end=RIGHT_ANGLE / 2),
        Drop(
            build="b",
            on=when,
            times=(3.0,),
            nose="down",
            release=0.5235987755982989,
            method="clip",
            fps=23.976,
            head="locked",
            states={"zoom": "long"},
            tags=("0123",),
            note="a: b",
        ),
    ]


def test_json_holds_the_same_kit() -> None:
    text = (
        '{"riglog": 1, "components": [{"id": "lens-35", "mass": "1.12 kg", '
        '"mounts": {"front": {"at": ["118 mm", "0 mm", "0 mm"], "tilts": false}}}]}'
    )
    mount = Mount(at=(0.118, 0.0, 0.0), tilts=False)
    lens = Component(id="lens-35", mass=1.12, mounts={"front": mount})
    assert nouns(read_document(text)) == [lens]


def test_a_bare_number_in_json_is_refused_like_one_in_yaml() -> None:
    text = '{"riglog": 1,\n "components": [{"id": "lens-35", "mass": 1.12}]}'
    assert findings(text) == [
        'kit.yaml:2: lens-35 mass: "1.12" has no unit; write kg, g, lb or oz behind it, as 1.12 kg'
    ]


def component(keys: str) -> str:
    return f"riglog: 1\ncomponents:\n  - id: c\n    {keys}\n"


def rig(keys: str) -> str:
    return f"riglog: 1\nrigs:\n  - id: r\n    {keys}\n"


def build(keys: str) -> str:
    return f"riglog: 1\nbuilds:\n  - id: b\n    {keys}\n"


def reading(keys: str) -> str:
    return f"riglog: 1\nreadings:\n  - build: b\n    {keys}\n"


MISTAKES = [
    # quantities
    (component("mass: 4.2"), '4: c mass: "4.2" has no unit; write kg, g, lb or oz behind it, as 4.2 kg'),
    (component("mass: 4.2 mm"), '4: c mass: "4.2 mm" is a length and a mass is wanted; the units that fit are kg, g, lb and oz'),
    (component("mass: nan"), '4: c mass: "nan" is no number; write a figure, as 4.21 kg'),
    (component("mass: .nan"), '4: c mass: ".nan" is no mass; write it as 4.21 kg'),
    (component("mass: inf kg"), '4: c mass: "inf kg" is no number; write a figure, as 4.21 kg'),
    (component("mass: 0 kg"), '4: c mass: "0 kg" is not more than zero; write a positive figure'),
    (component("mass: -3 kg"), '4: c mass: "-3 kg" is not more than zero; write a positive figure'),
    (component("mass: 1e-12 kg"), '4: c mass: "1e-12 kg" is next to nothing; check the figure and its unit'),
    (component("mass: 4,2 kg"), '4: c mass: "4,2 kg" has a comma; write 4.2 kg'),
    (component("mass: 0x10"), '4: c mass: "0x10" is no decimal number; write it as 4.21 kg'),
    (component("mass: [4 kg]"), "4: c mass: a list stands where one value is wanted; write one value"),
    (component("mass_sd: -3 g"), '4: c mass_sd: "-3 g" is less than zero; write zero or more'),
    (component("size: [1 mm, 2 mm]"), "4: c size: 2 values stand where 3 belong; write 3"),
    (component("size: [1 mm]"), "4: c size: 1 value stands where 3 belong; write 3"),
    (component("size: 1 mm"), "4: c size: a single value stands where a list is wanted; write it in brackets, as [a, b, c]"),
    (component("size: [0 mm, 1 mm, 1 mm]"), '4: c size: "0 mm" is not more than zero; write a positive figure'),
    (component("cg:\n      - 1 mm\n      - 2\n      - 3 mm"), '6: c cg: "2" has no unit; write mm, cm, m, in or ft behind it, as 2 mm'),
    (component("spread: {mass: 0.005}"), '4: c spread.mass: "0.005" has no unit; write a share in %, as 0.5 %'),
    (component("inertia: [1 kg m2, 1 kg m2, 3 kg m2, 0 kg m2, 0 kg m2, 0 kg m2]"),
     "4: c inertia: [1 kg m2, 1 kg m2, 3 kg m2, 0 kg m2, 0 kg m2, 0 kg m2] is the inertia of no solid thing; write xx, yy, zz, xy, xz, yz about the center of gravity"),
    (rig("type: post\n    adjusters: [{id: pivot, axis: z, travel: [600 mm, 380 mm]}]"),
     "5: r adjusters.pivot.travel: [600 mm, 380 mm] does not rise; write the least reading first, then the greatest"),
    (rig("type: post\n    adjusters: [{id: pivot, axis: z, step: 0 mm}]"),
     '5: r adjusters.pivot.step: "0 mm" is not more than zero; write a positive figure'),
    (rig("type: post\n    rated_load: {arm: [20 kg, 9 kg]}"),
     "5: r rated_load.arm: [20 kg, 9 kg] does not rise; write the least reading first, then the greatest"),
    (rig("type: post\n    rated_load: [9 kg, 20 kg]"), "5: r rated_load: a list cannot stand here; write a single value or a mapping"),
    (reading("kind: drop\n    on: 2026-03-14\n    times: [0 s]"), '6: drop of b times: "0 s" is not more than zero; write a positive figure'),
    (reading("kind: drop\n    on: 2026-03-14\n    times: []"), "6: drop of b times: [] is empty; write at least one"),
    (reading("kind: drop\n    on: 2026-03-14\n    times: [3 s]\n    release: 200 deg"),
     '7: drop of b release: "200 deg" is out of range; write an angle above 0 deg, up to 180 deg'),
    (reading("kind: drop\n    on: 2026-03-14\n    times: [3 s]\n    conditions: [windy]"),
     '7: drop of b conditions: "windy" is not known here; did you mean wind?'),
    (reading("kind: weight\n    on: 2026-03-14\n    mass: 3 kg\n    conditions: wind"),
     "7: weight of b conditions: a single value stands where a list is wanted; write it in brackets, as [a, b, c]"),
    # keys
    (component("masss: 1 kg"), '4: c: "masss" is no key of a component; did you mean mass?'),
    (component("mounts: {lens: {att: [1 mm, 2 mm, 3 mm], at: [1 mm, 2 mm, 3 mm]}}"),
     '4: c mounts.lens: "att" is no key of a mount; did you mean at?'),
    (component("mass: 1 kg\n    mass: 2 kg"), '5: "mass" stands twice, first on line 4; keep one of them'),
    (component("states: {long: {}}"), "4: c states.long: cg is missing; add cg"),
    (component("mounts: {Lens: [1 mm, 2 mm, 3 mm]}"),
     '4: c mounts.Lens: "Lens" is no id; write small letters, digits and single hyphens, as lens'),
    (component("mounts: [x]"), "4: c mounts: a list stands where keys are wanted; write key: value"),
    (component("mounts: {lens: 3 mm}"), "4: c mounts.lens: a single value cannot stand here; write a list or a mapping"),
    (build("rig: r\n    parts: [{component: c, on: stage, az: d}]"),
     '5: b parts.c: "az" is no key of a part; write component, on, offset, turn, by, sd or as'),
    (build("rig: r\n    parts: [c]"), "5: b parts: a single value stands where keys are wanted; write key: value"),
    (build("rig: r\n    settings: {pivot: {left: 1 mm}}"), "5: b settings.pivot: right is missing; add right"),
    (build("mode: high"), "3: b: rig is missing; add rig"),
    (reading("kind: balance-point\n    on: 2026-03-14"), "3: balance-point of b: at is missing; add at"),
    (reading("kind: balance-point\n    on: 2026-03-14\n    at: 3 mm\n    att: 3"),
     '7: balance-point of b: "att" is no key of a balance point; did you mean at?'),
    (reading("kind: drop\n    on: 2026-03-14\n    times: [3 s]\n    degrees: 3"),
     '7: drop of b: "degrees" is no key of a drop; write build, on, settings, head, states, conditions, tags, note, kind, times, method, from, release, stop, fps, sd or timed_to'),
    # words
    (component("kind: lense"), '4: c kind: "lense" is not known here; did you mean lens?'),
    (component("shape: ball"), '4: c shape: "ball" is not known here; write box, cylinder-x, cylinder-y, cylinder-z or point'),
    (component("like: Lens"), '4: c like: "Lens" is no id; write small letters, digits and single hyphens, as lens'),
    (component("modified: soon"), '4: c modified: "soon" is no day; write it as 2026-03-14'),
    (component("note: null"), "4: nothing stands here; write a value or leave it out"),
    (component('note: "\\e[2J"'), '4: c note: "\\x1b[2J" holds the control character U+001B; take it out'),
    (component('note: "\\u202E"'), '4: c note: "\\u202e" holds the control character U+202E; take it out'),
    (rig("type: post\n    mounts: {a: {at: [0 mm, 0 mm, 0 mm], tilts: no}}"),
     '5: r mounts.a.tilts: "no" is neither true nor false; write false'),
    (reading("kind: dropp"), '4: reading of b: "dropp" is no kind of reading; did you mean drop?'),
    (reading("on: 2026-03-14"), "3: reading of b: kind is missing; add kind: drop, weight, balance-point, hangs-upright, lean, swing, hold or spin"),
    (reading("kind: weight\n    mass: 3 kg\n    on: soon"),
     '6: weight of b on: "soon" is no time of a day; write a day and an hour, as 2026-03-14T09:10 or 2026-03-14T09:10:00+01:00'),
    # documents
    ("riglog: 2\ncomponents: [{}]", '1: riglog: "2" is a version that this program cannot read; write riglog: 1, or get a newer riglog'),
    ("components: []", "1: the version is missing; begin the document with riglog: 1"),
    ("riglog: [1]", "1: the version is missing; begin the document with riglog: 1"),
    ("riglog: 1\ncomponets: []", '2: "componets" is no key of a document; did you mean components?'),
    ("riglog: 1\nrigs: {id: r}", "2: rigs is not a list; write each of them behind a dash"),
    ("riglog: 1\nrigs: [r]", "2: rigs: an entry has no keys; write key: value"),
    ("riglog: 1\nrigs: [{type: post}]", "2: a rig: id is missing; add id"),
    ("- a", "1: the document has no keys; begin it with riglog: 1"),
    ("just words", "1: the document has no keys; begin it with riglog: 1"),
    ("", "1: the document is empty; begin it with riglog: 1"),
    ("riglog: 1\ncomponents:\n  - id: c\n  - id: d\nrigs:\n  - {id: c, type: post}",
     "6: the id c stands twice, first on line 3; keep one of them, or choose another id"),
    ("riglog: 1\ncomponents: [{id: c}, {id: c}]",
     "2: the id c stands twice, first on line 2; keep one of them, or choose another id"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line"), MISTAKES)
def test_a_mistake_is_one_line_that_says_where_what_and_the_mend(text: str, line: str) -> None:
    assert findings(text) == [f"kit.yaml:{line}"]


def test_all_mistakes_of_a_document_come_in_one_run_and_in_order() -> None:
    text = """riglog: 1
components:
  - id: a
    mass: 3
    mass: 4
    size: [1 mm, x, 3 mm]
    like: *b
    cg: [null, 1 mm, 3]
  - {id: c, kind: lens, note:
}
  - {id: d}
builds:
  - {id: a, rig: R}
"""
    assert [line.partition(";")[0] for line in findings(text)] == [
        'kit.yaml:4: a mass: "3" has no unit',
        'kit.yaml:5: "mass" stands twice, first on line 4',
        'kit.yaml:6: a size: "x" is no length',
        "kit.yaml:7: aliases such as *b are not read",
        'kit.yaml:8: a cg: "3" has no unit',
        "kit.yaml:8: nothing stands here",
        "kit.yaml:9: nothing stands here",
        'kit.yaml:13: a rig: "R" is no id',
        "kit.yaml:13: the id a stands twice, first on line 3",
    ]


def test_what_could_be_read_is_there_beside_the_findings() -> None:
    text = "riglog: 1\ncomponents: [{id: a, mass: 3}, {id: b}]\n"
    document = read_document(text)
    assert [placed.noun for placed in document.components] == [Component(id="b")]
    assert document.unread == {"a"}


def test_a_document_with_nothing_in_it_is_right() -> None:
    assert read_document("riglog: 1\n").findings == ()


def test_a_placed_noun_names_the_line_and_the_way_to_what_is_wrong() -> None:
    (placed,) = read_document(build("rig: r\n    parts: [{component: c,\n      on: d}]")).builds
    assert str(placed.finding(("parts", 0, "on"), "no", "yes")) == "-:6: b parts.c.on: no; yes"


def test_a_file_that_cannot_be_read_is_an_error_of_the_call(tmp_path: Path) -> None:
    with pytest.raises(CallError, match="No such file or directory; check the name") as caught:
        read_file(str(tmp_path / "kit.yaml"))
    assert caught.value.status == 2
    with pytest.raises(CallError, match="Is a directory"):
        read_file(str(tmp_path))
    with pytest.raises(CallError, match="no file name"):
        read_file("a\0b")


def test_of_a_huge_file_only_the_beginning_is_read(tmp_path: Path) -> None:
    huge = tmp_path / "huge.yaml"
    with huge.open("wb") as stream:
        stream.truncate(100 * 1024**2)
    (finding,) = read_file(str(huge)).findings
    assert finding.message == "the document is larger than 4 MiB"


WORDS = st.sampled_from([
    "riglog: 1", "components:", "rigs:", "builds:", "readings:", "id: a", "id: b", "mass: 3 kg",
    "mass: 3", "kind: drop", "kind: lens", "times: [3 s]", "on: 2026-03-14", "build: a", "rig: a",
    "type: post", "parts:", "component: a", "mounts: {a: [1 mm, 2 mm, 3 mm]}", "mounts: {a: 1}",
    "settings: {pivot: {left: 1 mm}}", "states: [a]", "rated_load: {a: [1 kg, 2 kg]}", "size: []",
    "adjusters: [{id: pivot, axis: z}]", "inertia: [[a]]", "note: |", "tags: {a: {b: [c]}}",
    "spread: {mass: {}}", "a: b", "null: null", "- ", "*a", "&a b", "!!int 3",
])  # fmt: skip
LINES = st.lists(
    st.tuples(st.sampled_from(["", "  ", "  - ", "    ", "      - ", "      "]), WORDS), max_size=14
)


@settings(max_examples=300, deadline=None)
@given(LINES)
def test_any_jumble_of_lines_ends_in_nouns_or_in_findings(lines: list[tuple[str, str]]) -> None:
    text = "riglog: 1\n" + "".join(f"{indent}{words}\n" for indent, words in lines)
    document = read_document(text, "kit.yaml")
    assert all(finding.message and finding.mend for finding in document.findings)


@settings(deadline=None)
@given(st.one_of(st.binary(), st.text()))
def test_any_bytes_and_any_text_are_a_document_or_have_findings(data: bytes | str) -> None:
    document = read_document(data)
    assert document.findings or not document.unread


def mutations() -> st.SearchStrategy[bytes]:
    """The kit with some of its bytes changed."""
    kit = KIT.read_bytes()
    change = st.tuples(st.integers(0, len(kit) - 1), st.integers(0, 255))
    return st.lists(change, max_size=4).map(lambda changes: changed(kit, changes))


def changed(kit: bytes, changes: list[tuple[int, int]]) -> bytes:
    data = bytearray(kit)
    for place, byte in changes:
        data[place] = byte
    return bytes(data)


@settings(max_examples=300, deadline=None)
@given(mutations())
def test_a_damaged_kit_never_ends_in_anything_but_findings(data: bytes) -> None:
    assert all(finding.message for finding in read_document(data).findings)
