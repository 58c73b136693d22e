"""Documents that do not fit together, or not with what the library has."""
# ruff: noqa: E501 # a mistake and the line that names it stand side by side

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from riglog.interchange import Nothing, cross_check, read_document, read_file
from riglog.records import Adjuster, Build, Component, Mount, Part, Rig

ORIGIN = (0.0, 0.0, 0.0)


@dataclass
class Shelf:
    """A library in memory."""

    nouns: dict[str, tuple[str, object]] = field(default_factory=dict)

    def component(self, name: str) -> Component | None:
        return self._noun("component", name)

    def rig(self, name: str) -> Rig | None:
        return self._noun("rig", name)

    def build(self, name: str) -> Build | None:
        return self._noun("build", name)

    def _noun(self, kind: str, name: str) -> Any:
        found = self.nouns.get(name)
        return found[1] if found and found[0] == kind else None

    def kind_of(self, name: str) -> str | None:
        return self.nouns[name][0] if name in self.nouns else None

    def ids(self, kind: str) -> list[str]:
        return [name for name, (its, _) in self.nouns.items() if its == kind]


LIBRARY = Shelf(
    {
        "lens-35": ("component", Component(id="lens-35", kind="lens")),
        "plate": (
            "component",
            Component(
                id="plate",
                mounts={"top": Mount(at=ORIGIN, moved_by=("slide",))},
                adjusters=(Adjuster(id="slide", axis="x", travel=(0.0, 0.05)),),
            ),
        ),
        "post-one": (
            "rig",
            Rig(
                id="post-one",
                type="post",
                mounts={"post": Mount(at=ORIGIN), "stage": Mount(at=ORIGIN, moved_by=("stage-x",))},
                adjusters=(
                    Adjuster(id="pivot", axis="z", travel=(0.38, 0.6)),
                    Adjuster(id="stage-x", axis="x", travel=(-0.08, 0.08), unit="in"),
                ),
            ),
        ),
        "a-cam": (
            "build",
            Build(
                id="a-cam",
                rig="post-one",
                parts=(Part(component="plate", on="stage"),),
                settings={"stage-x": 0.0, "plate.slide": 0.01},
            ),
        ),
    }
)


def findings(text: str, known: Shelf = LIBRARY) -> list[str]:
    document = read_document(f"riglog: 1\n{text}", "kit.yaml")
    assert document.findings == ()
    return [str(finding) for finding in cross_check([document], known)]


def build(keys: str, settings: str = "stage-x: 0 mm") -> str:
    return f"builds:\n  - id: b\n    rig: post-one\n    settings: {{{settings}}}\n    {keys}\n"


def reading(keys: str) -> str:
    return f"readings:\n  - build: a-cam\n    on: 2026-03-14\n    {keys}\n"


PLATE = "stage-x: 0 mm, plate.slide: 1 mm"

MISTAKES = [
    # ids
    ("components: [{id: post-one}]", "2: post-one id: the library has a rig of that id; choose another id"),
    ("rigs: [{id: lens-35, type: post, adjusters: [{id: pivot, axis: z}]}]",
     "2: lens-35 id: the library has a component of that id; choose another id"),
    # components
    ("components: [{id: lens-50, like: lens-53}]", "2: lens-50 like: there is no component lens-53; did you mean lens-35?"),
    ("components: [{id: lens-50, like: post-one}]",
     "2: lens-50 like: there is no component post-one; it is a rig; write the id of a component"),
    ("components: [{id: lens-50, like: zoom}]", "2: lens-50 like: there is no component zoom; add the component to the document"),
    ("components: [{id: a, like: a}]", "2: a like: it is like itself: a like a; take one of them out"),
    ("components: [{id: c, mounts: {top: {at: [0 mm, 0 mm, 0 mm], moved_by: [slid]}}, adjusters: [{id: slide, axis: x}]}]",
     "2: c mounts.top.moved_by: there is no adjuster slid; did you mean slide?"),
    ("components: [{id: c, like: lens-35, mounts: {top: {at: [0 mm, 0 mm, 0 mm], moved_by: [slide]}}}]",
     "2: c mounts.top.moved_by: there is no adjuster slide; there are no adjusters"),
    # rigs
    ("rigs: [{id: r, type: post}]", "2: r adjusters: no adjuster is called pivot; add {id: pivot, axis: z}, which tells where the tilt axis is"),
    ("rigs: [{id: r, type: post, adjusters: [{id: pivot, axis: y}]}]",
     "2: r adjusters.pivot.axis: the pivot goes along y, which is the axis that it tilts on; write axis: z, or axis: x for guides that lie fore and aft"),
    ("rigs: [{id: r, type: ring, adjusters: [{id: pivot, axis: z, lean: 75 deg}]}]",
     "2: r adjusters.pivot.lean: guides that lean by 75 deg hardly raise the pivot; write at most 60 deg, or axis: x for guides that lie fore and aft"),
    ("rigs: [{id: r, type: ring, adjusters: [{id: pivot, axis: x, lean: 10 deg}]}]",
     "2: r adjusters.pivot.lean: guides that lie fore and aft do not lean; take it out, or write axis: z"),
    ("rigs: [{id: r, type: post, adjusters: [{id: pivot, axis: z}, {id: s, axis: z, lean: 10 deg}]}]",
     "2: r adjusters.s.lean: only the post or guides of the pivot lean; take it out"),
    ("components: [{id: c, adjusters: [{id: pivot, axis: z, lean: 10 deg}]}]",
     "2: c adjusters.pivot.lean: only the post or guides of the pivot lean; take it out"),
    ("rigs: [{id: r, type: post, adjusters: [{id: pivot, axis: z}, {id: s, axis: x}, {id: s, axis: y}]}]",
     "2: r adjusters.s.id: 2 adjusters have this id; give each its own"),
    ("rigs: [{id: r, type: post, adjusters: [{id: pivot, axis: z}], mounts: {m: {at: [0 mm, 0 mm, 0 mm], moved_by: [pivott]}}}]",
     "2: r mounts.m.moved_by: there is no adjuster pivott; did you mean pivot?"),
    # builds
    ("builds: [{id: b, rig: post-two}]", "2: b rig: there is no rig post-two; did you mean post-one?"),
    ("builds: [{id: b, rig: lens-35}]", "2: b rig: there is no rig lens-35; it is a component; write the id of a rig"),
    (build("parts: [{component: lens-53, on: stage}]"), "6: b parts.lens-53.component: there is no component lens-53; did you mean lens-35?"),
    (build("parts: [{component: plate, on: stage, by: tops}]", PLATE),
     "6: b parts.plate.by: plate has no mount tops to hang by; plate has top"),
    (build("parts: [{component: lens-35, on: stage, by: top}]"),
     "6: b parts.lens-35.by: lens-35 has no mount top to hang by; lens-35 has no mounts"),
    (build("parts: [{component: lens-35, on: stagee}]"), "6: b parts.lens-35.on: there is no mount stagee; post-one has post and stage"),
    (build("parts: [{component: plate, on: stage}, {component: lens-35, on: plate}]", PLATE), "6: b parts.lens-35.on: plate is a part; write on: plate.top"),
    (build("parts: [{component: lens-35, on: stage}, {component: lens-35, as: two, on: lens-35}]"),
     "6: b parts.two.on: lens-35 is a part; write on: lens-35.MOUNT"),
    (build("parts: [{component: plate, on: stage}, {component: lens-35, on: plate.lens}]", PLATE),
     "6: b parts.lens-35.on: there is no mount plate.lens; plate has plate.top"),
    (build("parts: [{component: lens-35, on: stage}, {component: lens-35, as: two, on: lens-35.front}]"),
     "6: b parts.two.on: there is no mount lens-35.front; lens-35 has no mounts"),
    (build("parts: [{component: lens-35, on: plat.top}]"), "6: b parts.lens-35.on: b has no part plat; the parts are lens-35"),
    (build("parts: [{component: plate, on: plate.top}]", PLATE), "6: b parts.plate.on: it sits on itself: plate on plate; put one of them on the rig"),
    (build("parts: [{component: plate, as: u, on: v.top}, {component: plate, as: v, on: u.top}]", "stage-x: 0 mm, u.slide: 0 mm, v.slide: 0 mm"),
     "6: b parts.u.on: it sits on itself: u on v on u; put one of them on the rig"),
    (build("parts: [{component: lens-35, on: stage}, {component: lens-35, on: post}]"),
     "6: b parts.lens-35: 2 parts are called lens-35; name one of them, as {as: lens-35-2}"),
    (build("tags: [x]", ""), "5: b settings: stage-x has no setting; add stage-x with what its scale shows"),
    (build("parts: [{component: plate, on: stage}]"), "5: b settings: plate.slide has no setting; add plate.slide with what its scale shows"),
    (build("tags: [x]", "stage-x: 0 mm, stage-xx: 0 mm"), "5: b settings.stage-xx: there is no adjuster stage-xx; did you mean stage-x?"),
    (build("tags: [x]", "stage-x: 0 mm, plate.slide: 0 mm"), "5: b settings.plate.slide: b has no part plate; there are no parts"),
    (build("tags: [x]", "stage-x: 4 in"), '5: b settings.stage-x: "4 in" lies outside its travel; write a reading from -3.14961 in to 3.14961 in'),
    (build("tags: [x]", "stage-x: 0 mm, pivot: 620 mm"), '5: b settings.pivot: "620 mm" lies outside its travel; write a reading from 380 mm to 600 mm'),
    (build("tags: [x]", "stage-x: 0 mm, pivot: {left: 400 mm, right: 401 mm}"),
     "5: b settings.pivot: post-one is a post rig and has one pivot reading; write one reading"),
    (build("tags: [x]", "stage-x: {left: 0 mm, right: 1 mm}"),
     "5: b settings.stage-x: only the pivot of a ring has a left and a right reading; write one reading"),
    (build("parts: [{component: lens-35, on: stage}]\n    states: {lens-35: long}"), "7: b states.lens-35: lens-35 has no state long; there are no states"),
    (build("states: {lens-35: long}"), "6: b states.lens-35: b has no part lens-35; there are no parts"),
    (build("head: level"), "6: b head: b has no powered head; leave head out, or write levels: true at the mount of the head"),
    # readings
    ("readings: [{build: a-can, on: 2026-03-14, kind: weight, mass: 17 kg}]", "2: weight of a-can build: there is no build a-can; did you mean a-cam?"),
    ("readings: [{build: plate, on: 2026-03-14, kind: weight, mass: 17 kg}]",
     "2: weight of plate build: there is no build plate; it is a component; write the id of a build"),
    (reading("kind: weight\n    mass: 17 kg\n    settings: {pivot: 620 mm}"),
     '7: weight of a-cam settings.pivot: "620 mm" lies outside its travel; write a reading from 380 mm to 600 mm'),
    (reading("kind: weight\n    mass: 17 kg\n    settings: {plate.slid: 1 mm}"),
     "7: weight of a-cam settings.plate.slid: there is no adjuster plate.slid; did you mean plate.slide?"),
    (reading("kind: weight\n    mass: 17 kg\n    states: {plate: out}"), "7: weight of a-cam states.plate: plate has no state out; there are no states"),
    (reading("kind: weight\n    mass: 17 kg\n    head: follow"),
     "7: weight of a-cam head: a-cam has no powered head; leave head out, or write levels: true at the mount of the head"),
    (reading("kind: drop\n    times: [3 s]\n    release: 30 deg\n    stop: 45 deg"),
     "8: drop of a-cam stop: it stops at 45 deg and was let go at 30 deg; write a smaller angle than that of release"),
    (reading("kind: hold"), "3: hold of a-cam: it says no angle; add stays, or falls"),
    (reading("kind: hold\n    stays: 6 deg\n    falls: 4 deg"),
     "7: hold of a-cam falls: it stays at 6 deg and falls at 4 deg; write the least angle at which it does not stay"),
    (reading("kind: swing\n    swings: 3\n    time: 9 s\n    from: 10 deg\n    to: 20 deg"),
     "9: swing of a-cam to: the swings grow from 10 deg to 20 deg; write the angle of the last swing"),
    (reading("kind: lean"), "3: lean of a-cam: it says no angle; add lean, or side"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line"), MISTAKES)
def test_what_does_not_fit_is_one_line_that_says_where_what_and_the_mend(
    text: str, line: str
) -> None:
    assert findings(text) == [f"kit.yaml:{line}"]


RIGHT = [
    build("parts: [{component: plate, on: stage}, {component: lens-35, on: plate.top}]", PLATE),
    build("parts: [{component: lens-35, on: plate.top}, {component: plate, on: stage}]", PLATE),
    build("tags: [x]", "stage-x: 80 mm, pivot: 380 mm"),
    build("parts: [{component: lens-35, on: stage}, {component: lens-35, as: two, on: post}]"),
    reading("kind: weight\n    mass: 17 kg\n    settings: {plate.slide: 50 mm}"),
    reading("kind: drop\n    times: [3 s]\n    release: 30 deg\n    stop: -20 deg"),
    "components: [{id: lens-35, mass: 1 kg}]",
    build(
        "parts: [{component: u, on: stage}, {component: lens-35, on: u.top}]",
        "stage-x: 0 mm, u.slide: 0 mm",
    )
    + "components: [{id: u, like: plate}]",
    "components: [{id: unit, like: plate, mounts: {m: {at: [0 mm, 0 mm, 0 mm], moved_by: [slide]}}}]",
    """
rigs:
  - id: ring
    type: ring
    mounts: {head: {at: [0 mm, 0 mm, 0 mm], levels: true}}
    adjusters: [{id: pivot, axis: z, travel: [200 mm, 220 mm]}]
builds:
  - id: b
    rig: ring
    head: follow
    parts: [{component: zoom, on: head}]
    settings: {pivot: {left: 212 mm, right: 213 mm}}
    states: {zoom: long}
components:
  - {id: zoom, like: zoom-type}
  - {id: zoom-type, states: {long: {cg: [0 mm, 0 mm, 0 mm]}}}
readings:
  - {build: b, kind: drop, times: [3 s], on: 2026-03-14, head: locked, states: {zoom: long}}
""",
]


@pytest.mark.parametrize("text", RIGHT)
def test_what_fits_has_no_findings(text: str) -> None:
    assert findings(text) == []


def test_the_kit_of_the_manual_fits_into_an_empty_library() -> None:
    kit = read_file(str(Path(__file__).parent / "kit.yaml"))
    assert cross_check([kit], Nothing()) == ()


def test_both_sides_of_a_ring_stay_within_the_travel() -> None:
    rig = (
        "rigs: [{id: r, type: ring, adjusters: [{id: pivot, axis: z, travel: [200 mm, 220 mm]}]}]\n"
    )
    text = rig + "builds: [{id: b, rig: r, settings: {pivot: {left: 212 mm, right: 230 mm}}}]"
    assert findings(text) == [
        'kit.yaml:3: b settings.pivot.right: "230 mm" lies outside its travel; write a reading from 200 mm to 220 mm'
    ]


def test_each_of_two_components_that_are_like_each_other_is_named() -> None:
    assert findings("components: [{id: a, like: b}, {id: b, like: a}]") == [
        "kit.yaml:2: a like: it is like itself: a like b like a; take one of them out",
        "kit.yaml:2: b like: it is like itself: b like a like b; take one of them out",
    ]


def test_documents_may_name_each_others_nouns() -> None:
    lens = read_document("riglog: 1\ncomponents: [{id: new}]", "lens.yaml")
    kit = read_document("riglog: 1\n" + build("parts: [{component: new, on: stage}]"), "kit.yaml")
    assert cross_check([kit, lens], LIBRARY) == ()
    assert len(cross_check([kit], LIBRARY)) == 1


def test_an_id_in_two_files_is_found() -> None:
    one = read_document("riglog: 1\ncomponents: [{id: new}]", "one.yaml")
    two = read_document("riglog: 1\ncomponents: [{id: new}]", "two.yaml")
    assert [str(finding) for finding in cross_check([one, two], Nothing())] == [
        "two.yaml:2: new id: the id stands in one.yaml too; keep one of them, or choose another id"
    ]


def test_nothing_is_said_of_names_whose_own_mistakes_were_named() -> None:
    text = """riglog: 1
components: [{id: lens, mass: 3}]
rigs: [{id: r, type: posst}]
builds:
  - id: b
    rig: r
    parts: [{component: lens, on: stage}, {component: lens-35, on: lens.front}]
    settings: {stage: 3 mm, lens.slide: 3 mm}
    states: {lens: long}
    head: level
  - {id: c, rig: R}
readings: [{build: c, kind: weight, mass: 3 kg, on: 2026-03-14}]
"""
    document = read_document(text, "kit.yaml")
    assert cross_check([document], LIBRARY) == document.findings
    assert len(document.findings) == 3


def test_findings_of_all_documents_come_in_the_order_of_files_and_lines() -> None:
    two = read_document("riglog: 1\nbuilds: [{id: b, rig: x}]\nrigs: [{id: q}]", "two.yaml")
    one = read_document("riglog: 1\n\n\nbuilds: [{id: c, rig: x}]", "one.yaml")
    found = cross_check([two, one], Nothing())
    assert [(finding.file, finding.line) for finding in found] == [
        ("one.yaml", 4),
        ("two.yaml", 2),
        ("two.yaml", 3),
    ]
