"""An invented handheld ring as documents: a cradle with a camera between two side pivots."""

from __future__ import annotations

RING = """\
components:
  - id: cradle
    kind: frame
    mass: 3.2 kg
    size: [300 mm, 420 mm, 60 mm]
    cg_sd: 3 mm
  - id: ring-body
    kind: camera
    mass: 3.1 kg
    size: [220 mm, 140 mm, 150 mm]
    cg: [5 mm, 0 mm, 70 mm]
    cg_sd: 3 mm
    mounts: {lens: [90 mm, 0 mm, 70 mm], top: [0 mm, 0 mm, 150 mm]}
  - {id: ring-lens, kind: lens, mass: 1.1 kg, size: [120 mm, 95 mm, 95 mm]}
  - {id: long-lens, kind: lens, mass: 1.8 kg, size: [160 mm, 105 mm, 105 mm]}
  - {id: brick, kind: battery, mass: 1.4 kg, size: [70 mm, 110 mm, 170 mm], cg_sd: 3 mm}
rigs:
  - id: ring-one
    type: ring
    pivot_width: 420 mm
    mounts:
      frame: [0 mm, 0 mm, 0 mm]
      plate: {at: [0 mm, 0 mm, 60 mm], moved_by: [plate-fore-aft]}
      back: [-150 mm, 0 mm, 60 mm]
    adjusters:
      - {id: pivot, axis: z, travel: [80 mm, 240 mm], step: 1 mm}
      - {id: plate-fore-aft, axis: x, travel: [-80 mm, 80 mm], step: 1 mm}
builds:
  - id: hand-ring
    rig: ring-one
    wanted_drop: 1.5 s
    parts:
      - {component: cradle, on: frame}
      - {component: ring-body, on: plate}
      - {component: ring-lens, on: ring-body.lens}
      - {component: brick, on: back}
    settings: {pivot: {left: 117 mm, right: 120 mm}, plate-fore-aft: 6 mm}
"""
