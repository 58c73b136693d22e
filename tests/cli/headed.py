"""An invented ring rig whose camera sits on a powered head, as a document."""

HEADED = """\
riglog: 1
components:
  - {id: ring, kind: frame, mass: 4 kg, size: [300 mm, 500 mm, 450 mm], cg: [0 mm, 0 mm, -20 mm]}
  - {id: stator, kind: head, mass: 1.5 kg, size: [150 mm, 150 mm, 80 mm],
     mounts: {cradle: {at: [0 mm, 0 mm, 90 mm], levels: true}}}
  - {id: body-north, kind: camera, mass: 3 kg, size: [220 mm, 140 mm, 150 mm],
     cg: [0 mm, 0 mm, 0 mm], mounts: {lens: [110 mm, 0 mm, 0 mm]}}
  - {id: lens-35, kind: lens, mass: 1.12 kg, size: [120 mm, 95 mm, 95 mm]}
  - {id: lens-75, kind: lens, mass: 1.84 kg, size: [160 mm, 105 mm, 105 mm]}
  - {id: block-battery, kind: battery, mass: 1.4 kg, size: [70 mm, 110 mm, 100 mm]}
rigs:
  - id: ring-one
    type: ring
    mounts:
      frame: [0 mm, 0 mm, 0 mm]
      head: [0 mm, 0 mm, -60 mm]
      trim: {at: [0 mm, 0 mm, -200 mm], moved_by: [battery-fore-aft]}
    adjusters:
      - {id: pivot, axis: z, travel: [-60 mm, 90 mm], step: 0.5 mm}
      - {id: battery-fore-aft, axis: x, travel: [-120 mm, 120 mm], step: 1 mm}
builds:
  - id: head-cam
    rig: ring-one
    wanted_drop: 2 s
    parts:
      - {component: ring, on: frame}
      - {component: stator, on: head}
      - {component: body-north, on: stator.cradle, offset: [-46 mm, 0 mm, 0 mm]}
      - {component: lens-35, on: body-north.lens}
      - {component: block-battery, on: trim}
    settings: {pivot: 0 mm, battery-fore-aft: 0 mm}
"""
