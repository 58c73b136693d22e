"""An invented kit as documents, for tests of jobs: a post rig, a ring rig, and what they carry."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from estimation.dense import Dense, Hangs

from riglog.estimation.kit import Hung, Kit
from riglog.jobs.questions import DropQuestion
from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from riglog.records import Build

KIT = """\
riglog: 1
components:
  - id: post-tube
    kind: post
    mass: 2.5 kg
    size: [50 mm, 50 mm, 760 mm]
    shape: cylinder-z
    cg_sd: 3 mm
  - id: body-north
    kind: camera
    mass: 4.21 kg
    size: [280 mm, 150 mm, 170 mm]
    cg: [12 mm, 0 mm, 85 mm]
    cg_sd: 3 mm
    mounts: {lens: [95 mm, 0 mm, 62 mm], top: {at: [0 mm, 0 mm, 170 mm]}}
  - id: body-south
    kind: camera
    mass: 3.4 kg
    size: [240 mm, 140 mm, 150 mm]
    mounts: {lens: [80 mm, 0 mm, 60 mm]}
  - id: lens-35
    kind: lens
    mass: 1.12 kg
    size: [120 mm, 95 mm, 95 mm]
    mounts: {front: [118 mm, 0 mm, 0 mm]}
  - id: lens-75
    kind: lens
    mass: 1.84 kg
    size: [160 mm, 105 mm, 105 mm]
    mounts: {front: [158 mm, 0 mm, 0 mm]}
  - {id: lens-75-b, kind: lens, like: lens-75}
  - id: lens-new
    kind: lens
    size: [150 mm, 100 mm, 100 mm]
    mounts: {front: [148 mm, 0 mm, 0 mm]}
  - {id: lens-bare, kind: lens, mass: 900 g, size: [90 mm, 80 mm, 80 mm]}
  - id: zoom
    kind: lens
    mass: 2.4 kg
    size: [220 mm, 110 mm, 110 mm]
    mounts: {front: [218 mm, 0 mm, 0 mm]}
    states: {wide: {cg: [95 mm, 0 mm, 0 mm]}, long: {cg: [125 mm, 0 mm, 20 mm]}}
  - {id: hood, kind: matte-box, mass: 500 g, size: [100 mm, 150 mm, 130 mm]}
  - {id: nd-9, kind: filter, mass: 150 g, size: [10 mm, 130 mm, 110 mm]}
  - {id: block-battery, kind: battery, mass: 2.6 kg, size: [100 mm, 110 mm, 170 mm]}
  - {id: screen, kind: monitor, mass: 1.2 kg, size: [50 mm, 200 mm, 150 mm]}
  - {id: handle, kind: other, mass: 900 g, size: [50 mm, 50 mm, 120 mm]}
  - id: plate
    kind: dovetail
    mass: 400 g
    size: [200 mm, 90 mm, 20 mm]
    mounts: {top: {at: [0 mm, 0 mm, 20 mm], moved_by: [run]}}
    adjusters: [{id: run, axis: x, travel: [-60 mm, 60 mm]}]
rigs:
  - id: post-one
    type: post
    mounts:
      post: {at: [0 mm, 0 mm, 0 mm]}
      stage: {at: [0 mm, 0 mm, 760 mm], moved_by: [stage-fore-aft, stage-side]}
      base: {at: [0 mm, 0 mm, 20 mm], moved_by: [base-fore-aft]}
      handle: {at: [0 mm, 0 mm, 0 mm], moved_by: [pivot], tilts: false}
    adjusters:
      - {id: pivot, axis: z, travel: [380 mm, 600 mm], step: 0.5 mm}
      - {id: stage-fore-aft, axis: x, travel: [-80 mm, 80 mm], step: 1 mm}
      - {id: stage-side, axis: y, travel: [-15 mm, 15 mm], step: 0.5 mm}
      - {id: base-fore-aft, axis: x, travel: [-60 mm, 60 mm], step: 1 mm}
    rated_load: {gimbal: 15 kg, stage: 8 kg, arm: [9 kg, 20 kg], rig: 24 kg}
builds:
  - id: a-cam
    rig: post-one
    wanted_drop: 3 s
    parts: &a
"""
PARTS = """\
      - {component: post-tube, on: post}
      - {component: body-north, on: stage}
      - {component: lens-35, on: body-north.lens}
      - {component: hood, on: lens-35.front}
      - {component: block-battery, on: base, offset: [-150 mm, 0 mm, 0 mm]}
      - {component: screen, on: base, offset: [180 mm, 0 mm, 0 mm]}
      - {component: handle, on: handle}
"""
SETTINGS = "{pivot: 518 mm, stage-fore-aft: -31 mm, stage-side: 0 mm, base-fore-aft: 0 mm}"
BUILDS = f"""\
    settings: {SETTINGS}
  - id: low-cam
    rig: post-one
    mode: low
    wanted_drop: 3 s
    parts:
{PARTS}    settings: {SETTINGS.replace("518 mm", "508.5 mm")}
  - id: b-cam
    rig: post-one
    parts:
{PARTS}    settings: {SETTINGS.replace("pivot: 518 mm, ", "")}
"""
WHOLE = KIT.replace(" &a", "") + PARTS + BUILDS


@contextmanager
def flown(folder: Path, *more: str, author: str = "kim") -> Iterator[Library]:
    """A library with the kit, and documents beside it."""
    files = []
    for number, text in enumerate((WHOLE, *more)):
        file = folder / f"kit-{number}.yaml"
        file.write_text(text if text.startswith("riglog") else f"riglog: 1\n{text}")
        files.append(str(file))
    with Library.create(folder / "kit.db", author) as library:
        library.add(files)
        yield library


def entries(library: Library) -> int:
    """How many entries the log has."""
    return sum(1 for _ in library.logbook.log())


def question(build: str | None = "a-cam", *times: str, **words: str | None) -> DropQuestion:
    """A drop test as typed."""
    return DropQuestion(build=build, times=times or ("3.1", "3.0", "3.2"))._replace(**words)


def oracle(library: Library, build: Build) -> tuple[Dense, Hung]:
    """The dense model of a build by its documents alone, and where it stands."""
    names = {part.component for part in build.parts}
    components = {name: library.component(name) for name in names}
    for component in list(components.values()):
        if component.like is not None:
            components[component.like] = library.component(component.like)
    kit = Kit(rigs={build.rig: library.rig(build.rig)}, components=components)
    hung = Hung(build=build, version="v", settings=build.settings, day="2026-03-14")
    return Dense(kit), hung


def hangs_at(library: Library, build: Build, readings_m: Mapping[str, float]) -> Hangs:
    """How a build hangs by its documents with its adjusters at these readings."""
    dense, hung = oracle(library, build)
    return dense.hangs(hung, dense.stated(hung._replace(settings=dict(readings_m))))
