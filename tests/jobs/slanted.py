"""Invented rings as documents whose guides do not stand upright: they lean, or lie."""

from __future__ import annotations

SLANTED = """\
components:
  - id: hoop
    kind: frame
    mass: 2.35 kg
    size: [100 mm, 560 mm, 480 mm]
    cg: [0 mm, 0 mm, 240 mm]
    cg_sd: 3 mm
  - id: slant-body
    kind: camera
    mass: 3.9 kg
    size: [230 mm, 150 mm, 160 mm]
    cg_sd: 3 mm
    mounts: {lens: [90 mm, 0 mm, 70 mm]}
  - {id: slant-lens, kind: lens, mass: 1.1 kg, size: [120 mm, 95 mm, 95 mm], cg_sd: 3 mm}
  - {id: slant-long, kind: lens, mass: 1.5 kg, size: [160 mm, 105 mm, 105 mm], cg_sd: 3 mm}
  - {id: slant-block, kind: battery, mass: 1.6 kg, size: [60 mm, 100 mm, 150 mm], cg_sd: 3 mm}
rigs:
  - id: slant-ring
    type: ring
    pivot_width: 520 mm
    mounts:
      hoop: [0 mm, 0 mm, 0 mm]
      cradle: {at: [80 mm, 0 mm, 130 mm], moved_by: [cradle-fore-aft]}
    adjusters:
      - {id: pivot, axis: z, lean: 25 deg, travel: [100 mm, 420 mm], step: 0.5 mm}
      - {id: cradle-fore-aft, axis: x, travel: [-160 mm, 160 mm]}
  - id: flat-ring
    type: ring
    pivot_width: 520 mm
    mounts:
      hoop: [0 mm, 0 mm, -210 mm]
      cradle: {at: [0 mm, 0 mm, -80 mm], moved_by: [cradle-height]}
    adjusters:
      - {id: pivot, axis: x, travel: [-100 mm, 100 mm], step: 0.5 mm}
      - {id: cradle-height, axis: z, travel: [-90 mm, 60 mm], step: 0.5 mm}
  - id: bare-ring
    type: ring
    mounts:
      hoop: [0 mm, 0 mm, -240 mm]
      cradle: [0 mm, 0 mm, -110 mm]
    adjusters:
      - {id: pivot, axis: x, travel: [-100 mm, 100 mm], step: 0.5 mm}
builds:
"""
_BUILD = """\
  - id: {id}
    rig: {id}-ring
    wanted_drop: 2 s
    parts:
      - {{component: hoop, on: hoop}}
      - {{component: slant-body, on: cradle}}
      - {{component: slant-lens, on: slant-body.lens}}
      - {{component: slant-block, on: cradle, offset: [-170 mm, 0 mm, 16 mm]}}
    settings: {settings}
"""
STANDS = {
    "slant": "{pivot: 247 mm, cradle-fore-aft: 80 mm}",
    "flat": "{pivot: {left: -12 mm, right: -11 mm}, cradle-height: -18 mm}",
    "bare": "{pivot: -12 mm}",
}
SLANTED += "".join(_BUILD.format(id=name, settings=at) for name, at in STANDS.items())
