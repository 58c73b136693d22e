"""What else hangs from a pivot: a ring, a powered head in it, low mode, a scale in inches.

All of it is invented. The ring's camera is bolted on in the morning and sits on a head that keeps
it level in the afternoon; the short post is turned over for low mode; the post rig of the second
unit is engraved in inches and thirty-seconds.
"""

from __future__ import annotations

from math import pi

from riglog.records import Adjuster, Build, Component, LoadRange, Mount, Part, Rig, Turn
from riglog.units import METER, parse

SLIDES = ("cradle-fore-aft",)


def inches(figure: str) -> float:
    """What a document that says so many inches means [m]; a product of floats may miss it."""
    return parse(f"{figure} in", METER)


COMPONENTS = (
    Component(
        id="ring-frame", kind="frame", mass=2.35, size=(0.10, 0.56, 0.48), cg=(0.0, 0.0, 0.24),
        cg_sd=0.004, by="bench scale",
    ),
    Component(
        id="long-plate", kind="plate", mass=0.48, size=(0.24, 0.09, 0.016), by="bench scale"
    ),
    Component(
        id="tilt-head", kind="head", mass=2.1, size=(0.16, 0.20, 0.20), cg=(0.0, 0.0, 0.09),
        cg_sd=0.004, mounts={"axis": Mount(at=(0.0, 0.0, 0.11), levels=True)}, by="bench scale",
    ),
    Component(
        id="inch-tube", kind="post", mass=2.05, size=(0.048, 0.048, 0.70), shape="cylinder-z",
        by="bench scale",
    ),
)  # fmt: skip
RIGS = (
    Rig(
        id="ring-one",
        type="ring",
        mounts={
            "frame": Mount(at=(0.0, 0.0, 0.0)),
            "cradle": Mount(at=(0.0, 0.0, 0.13), moved_by=SLIDES),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", travel=(0.10, 0.42), step=0.001),
            Adjuster(id="cradle-fore-aft", axis="x", travel=(-0.16, 0.16), step=0.001),
        ),
        pivot_width=0.52,
        rated_load={"rig": LoadRange(greatest=16.0)},
    ),
    Rig(
        id="post-inch",
        type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)),
            "stage": Mount(at=(0.0, 0.0, 0.70), moved_by=("stage-fore-aft", "stage-side")),
            "base": Mount(at=(0.0, 0.0, 0.02)),
        },
        adjusters=(
            Adjuster(
                id="pivot", axis="z", travel=(inches("12"), inches("25")), step=inches("1/32"),
                unit="in",
            ),
            Adjuster(
                id="stage-fore-aft", axis="x", travel=(inches("-4"), inches("4")),
                step=inches("1/32"), unit="in",
            ),
            Adjuster(
                id="stage-side", axis="y", travel=(inches("-1"), inches("1")), step=inches("1/32"),
                unit="in",
            ),
        ),
        rated_load={"gimbal": LoadRange(greatest=18.0)},
    ),
)  # fmt: skip

RING_CAM = Build(
    id="ring-cam", rig="ring-one", wanted_drop=2.0,
    parts=(
        Part(component="ring-frame", on="frame"),
        Part(component="long-plate", on="cradle"),
        Part(component="body-heron", on="cradle", offset=(0.0, 0.0, 0.016)),
        Part(component="lens-29", on="body-heron.lens"),
        Part(component="slab-battery", on="cradle", offset=(-0.17, 0.0, 0.016)),
    ),
    settings={"cradle-fore-aft": 0.0},
)  # fmt: skip
RING_HEAD = Build(
    id="ring-head", rig="ring-one", wanted_drop=2.0, head="level",
    parts=(
        Part(component="ring-frame", on="frame"),
        Part(component="tilt-head", on="cradle"),
        Part(component="body-heron", on="tilt-head.axis", offset=(-0.03, 0.0, -0.075)),
        Part(component="lens-29", on="body-heron.lens"),
        Part(component="slab-battery", on="cradle", offset=(-0.15, 0.0, 0.0)),
    ),
    settings={"cradle-fore-aft": 0.0},
)  # fmt: skip
LOW_CAM = Build(
    id="low-cam", rig="post-two", mode="low", wanted_drop=3.0,
    parts=(
        Part(component="short-tube", on="post"),
        Part(component="yoke-two", on="yoke"),
        Part(component="handle-two", on="handle"),
        Part(component="body-heron", on="stage", by="top", turn=Turn(about="x", by=pi)),
        Part(component="lens-21", on="body-heron.lens"),
        Part(component="slab-battery", on="base", offset=(-0.14, 0.0, 0.0)),
        Part(
            component="screen-five", on="base", offset=(0.18, 0.0, 0.0),
            turn=Turn(about="x", by=pi),
        ),
    ),
    settings={"stage-fore-aft": 0.0, "stage-side": 0.0, "base-fore-aft": 0.0},
)  # fmt: skip
INCH_CAM = Build(
    id="inch-cam", rig="post-inch", wanted_drop=3.0,
    parts=(
        Part(component="inch-tube", on="post"),
        Part(component="yoke-two", on="post", offset=(0.0, 0.0, 0.40)),
        Part(component="body-heron", on="stage"),
        Part(component="lens-135", on="body-heron.lens"),
        Part(component="slab-battery", on="base", offset=(-0.15, 0.0, 0.0)),
        Part(component="screen-five", on="base", offset=(0.19, 0.0, 0.0)),
    ),
    settings={"stage-fore-aft": 0.0, "stage-side": 0.0},
)  # fmt: skip

# Each build with the drop times [s] that were looked for.
FLOWN = (
    (RING_CAM, (1.6, 2.0)),
    (RING_HEAD, (1.7, 2.0)),
    (LOW_CAM, (2.6, 3.0)),
    (INCH_CAM, (2.6, 3.0)),
)
