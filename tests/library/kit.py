"""A small invented kit as documents, and what makes forks of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.logbook import Draft, Entry, Logbook

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

COMPONENTS = """\
components:
  - {id: body-north, kind: camera, mass: 4.21 kg, mounts: {lens: [95 mm, 0 mm, 62 mm]}}
  - {id: lens-35, kind: lens, mass: 1.12 kg, states: {long: {cg: [70 mm, 0 mm, 0 mm]}}}
  - {id: lens-75, kind: lens, mass: 1.45 kg}
  - id: slide
    kind: dovetail
    mass: 400 g
    mounts: {top: {at: [0 mm, 0 mm, 20 mm], moved_by: [run]}}
    adjusters: [{id: run, axis: x, travel: [-2 in, 2 in], unit: in}]
  - {id: slide-2, kind: dovetail, like: slide}
"""
RIGS = """\
rigs:
  - id: post-one
    type: post
    mounts: {stage: {at: [0 mm, 0 mm, 760 mm], moved_by: [stage-side]}}
    adjusters:
      - {id: pivot, axis: z, travel: [380 mm, 600 mm], step: 0.5 mm}
      - {id: stage-side, axis: y, travel: [-15 mm, 15 mm], step: 0.5 mm}
"""
BUILDS = """\
builds:
  - id: a-cam
    rig: post-one
    wanted_drop: 3 s
    parts:
      - {component: slide-2, on: stage}
      - {component: body-north, on: slide-2.top}
      - {component: lens-35, on: body-north.lens}
    settings: {pivot: 487 mm, stage-side: -1 mm, slide-2.run: 1/2 in}
"""
READINGS = """\
readings:
  - {build: a-cam, kind: drop, times: [3.1 s, 3.0 s], on: 2026-03-14T09:10:00+01:00}
  - build: a-cam
    kind: drop
    times: [2.6 s]
    settings: {pivot: 490 mm}
    on: 2026-03-14T09:30:00+01:00
"""
KIT = f"riglog: 1\n{COMPONENTS}{RIGS}{BUILDS}"
WHOLE = f"{KIT}{READINGS}"


def written(folder: Path, *texts: str) -> list[str]:
    """Files with these documents."""
    files = [folder / f"kit-{number}.yaml" for number in range(len(texts))]
    for file, text in zip(files, texts, strict=True):
        file.write_text(text if text.startswith("riglog") else f"riglog: 1\n{text}")
    return list(map(str, files))


def entries(path: Path) -> list[Entry]:
    """Everything that a library holds."""
    with Logbook.open(path) as log:
        return list(log.log())


def fork(path: Path, kind: str, name: str, *changes: dict[str, Any]) -> list[Entry]:
    """Versions that several people made of the newest one, apart from each other."""
    with Logbook.open(path, write=True) as log:
        head = log.heads(kind, name)[0]
        with log.writing() as transaction:
            return transaction.append(_changed(head, changes))


def _changed(head: Entry, changes: Iterable[dict[str, Any]]) -> list[Draft]:
    return [
        Draft(
            kind=head.kind,
            subject=head.subject,
            at=f"2026-03-15T08:0{number}:00Z",
            author=f"author-{number}",
            parents=(head.id,),
            body={**head.body, **change},
        )
        for number, change in enumerate(changes)
    ]
