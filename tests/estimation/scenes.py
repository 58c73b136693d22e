"""Invented rigs, components and builds for tests of the estimate, made as nouns."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from riglog.estimation.kit import Hung, Kit, Logged
from riglog.records import (
    Adjuster,
    Build,
    Component,
    Drop,
    Mount,
    Part,
    Reading,
    Rig,
    Scale,
    Setting,
    Turn,
)

if TYPE_CHECKING:
    import numpy as np

DAY = "2026-03-14"
AT = f"{DAY}T09:10:00+01:00"

PIVOT = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
FORE_AFT = Adjuster(id="stage-fore-aft", axis="x", travel=(-0.08, 0.08))
SIDE = Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=0.0005)
POST_ONE = Rig(
    id="post-one",
    type="post",
    mounts={
        "post": Mount(at=(0.0, 0.0, 0.0)),
        "stage": Mount(at=(0.0, 0.0, 0.76), moved_by=("stage-fore-aft", "stage-side")),
        "base": Mount(at=(0.0, 0.0, 0.02)),
        "yoke": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",)),
        "handle": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",), tilts=False),
    },
    adjusters=(PIVOT, FORE_AFT, SIDE),
)

TUBE = Component(
    id="post-tube", kind="post", mass=2.5, size=(0.05, 0.05, 0.76), shape="cylinder-z", cg_sd=0.003
)
BODY = Component(
    id="body-north",
    kind="camera",
    mass=4.21,
    size=(0.28, 0.15, 0.17),
    cg=(0.012, 0.0, 0.085),
    cg_sd=0.003,
    mounts={"lens": Mount(at=(0.095, 0.0, 0.062)), "top": Mount(at=(0.0, 0.0, 0.17))},
)
LENS_35 = Component(
    id="lens-35", kind="lens", mass=1.12, size=(0.12, 0.095, 0.095),
    mounts={"front": Mount(at=(0.118, 0.0, 0.0))},
)  # fmt: skip
LENS_75 = Component(
    id="lens-75", kind="lens", mass=1.84, size=(0.16, 0.105, 0.105),
    mounts={"front": Mount(at=(0.158, 0.0, 0.0))},
)  # fmt: skip
BATTERY = Component(id="block-battery", kind="battery", mass=2.6, size=(0.1, 0.11, 0.17))
SCREEN = Component(id="screen", kind="monitor", mass=1.2, size=(0.05, 0.2, 0.15))
YOKE = Component(id="inner-yoke", kind="gimbal", mass=0.35, size=(0.06, 0.08, 0.03))
HANDLE = Component(id="handle", kind="other", mass=0.9, size=(0.05, 0.05, 0.12))
COMPONENTS = {
    each.id: each for each in (TUBE, BODY, LENS_35, LENS_75, BATTERY, SCREEN, YOKE, HANDLE)
}

PARTS = (
    Part(component="post-tube", on="post"),
    Part(component="body-north", on="stage"),
    Part(component="lens-35", on="body-north.lens"),
    Part(component="block-battery", on="base", offset=(-0.15, 0.0, 0.0)),
    Part(component="screen", on="base", offset=(0.18, 0.0, 0.0)),
)
A_CAM = Build(id="a-cam", rig="post-one", parts=PARTS)
# By its parts it is neutral at 0.500 m and in trim with the stage 9 mm back: a drop of about 3 s.
STANDS = {"pivot": 0.505, "stage-fore-aft": -0.009, "stage-side": 0.0}


def kit(
    *readings: Logged, rig: Rig = POST_ONE, components: dict[str, Component] | None = None
) -> Kit:
    """A kit of one rig, with the components above and those given."""
    return Kit(
        rigs={rig.id: rig}, components=COMPONENTS | (components or {}), readings=tuple(readings)
    )


def hung(build: Build = A_CAM, version: str = "v1", day: str = DAY, **settings: Setting) -> Hung:
    """A build where it stands by default, but for the settings given (``stage_side`` as well)."""
    named = {name.replace("_", "-"): at for name, at in settings.items()}
    return Hung(build=build, version=version, settings=STANDS | named, day=day)


def logged(reading: Reading, stood: Hung, author: str = "kim", entry: str = "") -> Logged:
    """A reading where the rig stood."""
    return Logged(entry=entry or f"e-{id(reading):x}", author=author, reading=reading, hung=stood)


def drop(*times: float, **fields: object) -> Drop:
    """A drop of a-cam, timed by stopwatch."""
    return replace(Drop(build="a-cam", on=AT, times=times), **fields)  # type: ignore[arg-type]


def swapped(build: Build = A_CAM, old: str = "lens-35", new: str = "lens-75") -> Build:
    """The same with one component for another, in the same place."""
    parts = (replace(part, component=new) if part.id == old else part for part in build.parts)
    return replace(build, parts=tuple(parts))


def random_rig(rng: np.random.Generator) -> Rig:
    """A post rig with odd places, scales that read down, and one spread stated."""
    down = bool(rng.integers(2))
    scale = Scale(zero=0.9, reads="down") if down else Scale(zero=float(rng.uniform(-0.1, 0.1)))
    mounts = dict(POST_ONE.mounts)
    mounts["base"] = Mount(at=_near(rng, 0.02), moved_by=("base-fore-aft",), sd=0.0004)
    return replace(
        POST_ONE,
        mounts=mounts,
        adjusters=(
            replace(PIVOT, scale=scale, travel=None),
            replace(FORE_AFT, scale=Scale(zero=0.035, reads="down")),
            SIDE,
            Adjuster(id="base-fore-aft", axis="x"),
        ),
    )


def _near(rng: np.random.Generator, spread: float) -> tuple[float, float, float]:
    x, y, z = (float(each) for each in rng.uniform(-spread, spread, 3))
    return x, y, z


def random_kit(rng: np.random.Generator) -> Kit:
    """Components with turned hosts, adjusters of their own, tensors, states and types."""
    tensor = (0.004, 0.006, 0.005, 0.0007, -0.0006, 0.0004)
    slide = Adjuster(id="run", axis="x", scale=Scale(zero=0.01))
    plate = Component(
        id="plate", kind="dovetail", mass=0.4, size=(0.2, 0.09, 0.02), mounts={
            "top": Mount(at=_near(rng, 0.02), moved_by=("run",)), "side": Mount(at=_near(rng, 0.1)),
        }, adjusters=(slide,),
    )  # fmt: skip
    odd = Component(id="odd", kind="bracket", mass=0.8, inertia=tensor, cg=_near(rng, 0.03))
    zoom = Component(id="zoom", kind="lens", size=(0.2, 0.1, 0.1), mounts=LENS_35.mounts)
    unit = Component(id="zoom-2", like="zoom", kind="lens")
    more = {each.id: each for each in (plate, odd, zoom, unit)}
    return kit(rig=random_rig(rng), components=more)


def random_build(rng: np.random.Generator, mode: str = "") -> Build:
    """Two levels of mounts on a turned plate, one hung by its mount, offsets, a carried yoke."""
    axis = ("x", "y", "z")[rng.integers(3)]
    turn = Turn(about=axis, by=float(rng.uniform(-3, 3)))  # type: ignore[arg-type]
    other = Turn(about="z", by=float(rng.uniform(-3, 3)))
    return Build(
        id="a-cam", rig="post-one", mode=mode or ("high", "low")[rng.integers(2)],  # type: ignore[arg-type]
        parts=(
            PARTS[0],
            Part(component="plate", on="stage", turn=other),
            Part(component="body-north", on="plate.top", offset=_near(rng, 0.02)),
            Part(component="zoom-2", on="body-north.lens", name="taking"),
            Part(component="odd", on="taking.front", turn=turn, offset=_near(rng, 0.05), sd=0.002),
            Part(component="odd", on="plate.side", name="odd-two"),
            Part(component="block-battery", on="base", offset=(-0.15, 0.01, 0.03), turn=turn),
            Part(component="plate", on="base", name="under", turn=turn, by="top"),
            Part(component="inner-yoke", on="yoke"),
            Part(component="handle", on="handle"),
        ),
    )  # fmt: skip


def random_hung(rng: np.random.Generator, mode: str = "") -> Hung:
    """Such a build where it stands."""
    names = ("pivot", "stage-fore-aft", "stage-side", "base-fore-aft", "plate.run", "under.run")
    settings = {name: float(rng.uniform(-0.02, 0.02)) for name in names}
    settings["pivot"] = float(rng.uniform(0.4, 0.5))
    return Hung(build=random_build(rng, mode), version="v1", settings=settings, day=DAY)
