"""What is written down about a simulated post rig: nouns only, drawn about plausible figures.

Nothing here is true of the rig in the world; ``simulated_rigs`` draws that about these documents.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import pi, tan
from typing import TYPE_CHECKING, Literal

from riglog.records import Adjuster, Build, Component, Mount, Part, Rig, Turn

if TYPE_CHECKING:
    import numpy as np

STEP_M = 0.0005
MASS_SD_KG = 0.003
# A stand-in for the program's own table, median [kg] and standard deviation of the logarithm.
MASS_BY_KIND: Mapping[str, tuple[float, float]] = {
    "post": (2.5, 0.30),
    "camera": (4.5, 0.35),
    "lens": (1.5, 0.50),
    "matte-box": (0.55, 0.40),
    "battery": (2.3, 0.40),
    "monitor": (1.2, 0.40),
    "gimbal": (0.30, 0.40),
}
# Turned over: what is upright in the world then.
OVER = Turn(about="x", by=pi)


@dataclass(frozen=True, slots=True)
class Family:
    """A population of rigs.

    ``wanted_s`` is the drop time asked for after the swap, ``logged_s`` the range of drop times
    that operators logged. ``length`` and ``mass`` scale the full-size figures. ``lens_cg_sd_m``
    is how well the lenses' centers of gravity are known. ``unweighed`` holds the mass by kind of
    a population in which nothing was ever put on a scale. ``friction_n_m`` is the scale of the
    half-normal that the friction of their pivots follows, and ``swung`` says that operators let
    them swing beside. With ``head`` the camera sits on a powered head that keeps it level. In
    low ``mode`` the body hangs by its top and the monitor is turned. ``lean_rad`` is how far the
    guides of a ring lean, their top forward.
    """

    name: str
    seed: int
    wanted_s: float = 3.0
    logged_s: tuple[float, float] = (2.0, 4.0)
    length: float = 1.0
    mass: float = 1.0
    lens_cg_sd_m: float = 0.004
    unweighed: Mapping[str, tuple[float, float]] | None = None
    friction_n_m: float = 0.0
    swung: bool = False
    head: bool = False
    type: Literal["post", "ring"] = "post"
    mode: Literal["high", "low"] = "high"
    lean_rad: float = 0.0


FULL_SIZE = Family("full size", seed=20_001)
# Shorter drops suit a small rig: at 3 s its pivot would stand 1.6 mm above neutral.
SMALL = Family("small", seed=20_002, wanted_s=2.0, logged_s=(1.4, 2.7), length=0.6, mass=0.29)
# 10 kg, with a radius of gyration of 0.2 m.
RING = Family("rings", seed=20_005, wanted_s=1.5, logged_s=(1.0, 2.2), mass=0.67, type="ring")
# The same, on guides that lean by 25 degrees.
LEANING = replace(RING, name="leaning rings", seed=20_009, lean_rad=0.4363323129985824)
LOW = Family("low mode", seed=20_006, mode="low")
SHARED_LENSES = Family("shared lenses", seed=20_003, lens_cg_sd_m=0.012)


# Friction of 0 to 0.03 N m: half-normal, and three times its scale is the most.
FRICTION = Family("friction", seed=20_005, friction_n_m=0.01)
SWUNG = Family("friction, swung", seed=20_005, friction_n_m=0.01, swung=True)
HEADS = Family("powered heads", seed=20_006, head=True)


def nothing_weighed(priors: Mapping[str, tuple[float, float]] = MASS_BY_KIND) -> Family:
    """Full-size rigs whose documents state no mass; the truth follows ``priors`` by kind."""
    return Family("nothing weighed", seed=20_004, unweighed=priors)


class Draw:
    """Uniform draws at the size of a family's rigs."""

    def __init__(self, rng: np.random.Generator, family: Family) -> None:
        self.rng = rng
        self.family = family

    def length(self, low: float, high: float) -> float:
        """A length [m], to the tenth of a millimeter that a person writes."""
        return round(self.rng.uniform(low, high) * self.family.length, 4)

    def share(self, low: float, high: float) -> float:
        """A ratio, the same for every size."""
        return float(self.rng.uniform(low, high))

    def mass(self, low: float, high: float) -> float:
        """A mass [kg], to the gram."""
        return round(self.rng.uniform(low, high) * self.family.mass, 3)


def weighed(component: Component, mass: float, family: Family, cg_sd: float) -> Component:
    """The component with its mass as this family's people know it."""
    if family.unweighed is not None:
        return replace(component, cg_sd=cg_sd)
    return replace(component, mass=mass, mass_sd=MASS_SD_KG, cg_sd=cg_sd)


def post(draw: Draw, name: str) -> Component:
    """A tube that stands on the rig's datum."""
    length, width = draw.length(0.55, 0.95), draw.length(0.045, 0.055)
    tube = Component(
        id=f"{name}-post",
        kind="post",
        shape="cylinder-z",
        size=(width, width, length),
        cg=(0.0, 0.0, length / 2),
    )
    return weighed(tube, draw.mass(1.8, 3.5), draw.family, 0.003)


def body(draw: Draw, name: str) -> Component:
    """A camera body; its datum is the middle of its base plate."""
    size = (draw.length(0.22, 0.32), draw.length(0.12, 0.17), draw.length(0.13, 0.19))
    camera = Component(
        id=f"{name}-body",
        kind="camera",
        size=size,
        cg=(draw.length(-0.01, 0.03), 0.0, size[2] * draw.share(0.42, 0.58)),
        mounts={"lens": Mount(at=(size[0] / 2, 0.0, size[2] * draw.share(0.45, 0.6)))},
    )
    if draw.family.mode == "low":
        camera = replace(camera, mounts={**camera.mounts, "top": Mount(at=(0.0, 0.0, size[2]))})
    return weighed(camera, draw.mass(2.5, 7.0), draw.family, 0.003)


def head(draw: Draw, name: str) -> Component:
    """A powered head for the stage; its datum is its base, and its axis lies above."""
    size = (draw.length(0.10, 0.18), draw.length(0.10, 0.18), draw.length(0.06, 0.12))
    motor = Component(
        id=f"{name}-head",
        kind="head",
        size=size,
        cg=(0.0, 0.0, size[2] / 2),
        mounts={"cradle": Mount(at=(0.0, 0.0, draw.length(0.10, 0.16)), levels=True)},
    )
    return weighed(motor, draw.mass(1.0, 2.2), draw.family, 0.004)


def frame(draw: Draw, name: str) -> Component:
    """A ring's frame, which stands on the rig's datum."""
    size = (draw.length(0.38, 0.50), draw.length(0.40, 0.50), draw.length(0.48, 0.60))
    ring = Component(id=f"{name}-frame", kind="frame", size=size, cg=(0.0, 0.0, size[2] / 2))
    return weighed(ring, draw.mass(3.0, 5.0), draw.family, 0.003)


def lens(draw: Draw, lens_id: str, heaviest_kg: float) -> Component:
    """A lens; its datum is the mount, and the heavier it is the longer."""
    mass = draw.mass(0.6, heaviest_kg)
    length = draw.length(0.08, 0.13) + 0.04 * mass
    width = draw.length(0.08, 0.12)
    glass = Component(
        id=lens_id,
        kind="lens",
        shape="cylinder-x",
        size=(length, width, width),
        cg=(length * draw.share(0.4, 0.6), 0.0, 0.0),
        mounts={"front": Mount(at=(length, 0.0, 0.0))},
    )
    return weighed(glass, mass, draw.family, draw.family.lens_cg_sd_m)


def matte_box(draw: Draw, name: str) -> Component:
    """A matte box on the front of the lens."""
    size = (draw.length(0.06, 0.12), draw.length(0.15, 0.19), draw.length(0.12, 0.16))
    cg = (size[0] / 2, 0.0, draw.length(0.0, 0.02))
    box = Component(id=f"{name}-matte-box", kind="matte-box", size=size, cg=cg)
    return weighed(box, draw.mass(0.3, 0.9), draw.family, 0.004)


def battery(draw: Draw, name: str) -> Component:
    """A battery for the base."""
    size = (draw.length(0.07, 0.12), draw.length(0.10, 0.14), draw.length(0.14, 0.20))
    block = Component(id=f"{name}-battery", kind="battery", size=size, cg=(0.0, 0.0, size[2] / 2))
    return weighed(block, draw.mass(1.5, 3.5), draw.family, 0.004)


def monitor(draw: Draw, name: str) -> Component:
    """A monitor for the base."""
    size = (draw.length(0.03, 0.06), draw.length(0.18, 0.24), draw.length(0.12, 0.16))
    screen = Component(id=f"{name}-monitor", kind="monitor", size=size, cg=(0.0, 0.0, size[2] / 2))
    return weighed(screen, draw.mass(0.8, 1.8), draw.family, 0.004)


def yoke(draw: Draw, name: str) -> Component:
    """The inner yoke of the gimbal, which slides along with the pivot."""
    width, height = draw.length(0.07, 0.09), draw.length(0.04, 0.08)
    ring = Component(
        id=f"{name}-yoke",
        kind="gimbal",
        shape="cylinder-z",
        size=(width, width, height),
        cg=(0.0, 0.0, draw.length(-0.02, 0.02)),
    )
    return weighed(ring, draw.mass(0.2, 0.4), draw.family, 0.004)


def rig(draw: Draw, name: str, post_length_m: float) -> Rig:
    """A post rig with a stage on top, a base below and a pivot between."""
    travel = draw.family.length * 0.12
    return Rig(
        id=f"{name}-rig",
        type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)),
            "stage": Mount(at=(0.0, 0.0, post_length_m), moved_by=("stage-fore-aft", "stage-side")),
            "base": Mount(at=(0.0, 0.0, draw.length(0.01, 0.03))),
            "yoke": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",)),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", travel=(0.1, post_length_m), step=STEP_M),
            Adjuster(id="stage-fore-aft", axis="x", travel=(-travel, travel), step=STEP_M),
            Adjuster(id="stage-side", axis="y", travel=(-0.02, 0.02), step=STEP_M),
        ),
    )


def ring(draw: Draw, name: str, tall_m: float) -> Rig:
    """A ring rig: a plate in the middle of its frame, and a pivot on each side."""
    middle, travel, lean = tall_m / 2, draw.family.length * 0.12, draw.family.lean_rad
    plate = Mount(
        at=(0.0, 0.0, middle - draw.length(0.05, 0.09)), moved_by=("stage-fore-aft", "stage-side")
    )
    return Rig(
        id=f"{name}-rig",
        type="ring",
        pivot_width=0.42,
        # Guides that lean stand over the middle of the frame about half way up.
        pivot_at=(-middle * tan(lean), 0.0),
        mounts={
            "frame": Mount(at=(0.0, 0.0, 0.0)),
            "stage": plate,
            "base": Mount(at=(0.0, 0.0, middle - draw.length(0.08, 0.12))),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", lean=lean, travel=(0.02, tall_m), step=STEP_M),
            Adjuster(id="stage-fore-aft", axis="x", travel=(-travel, travel), step=STEP_M),
            Adjuster(id="stage-side", axis="y", travel=(-0.02, 0.02), step=STEP_M),
        ),
    )


def ring_build(draw: Draw, name: str, lens_id: str) -> Build:
    """A camera in the frame, the battery behind it and the monitor before it."""
    behind = (-draw.length(0.20, 0.32), 0.0, draw.length(0.0, 0.04))
    before = (draw.length(0.22, 0.34), 0.0, draw.length(0.0, 0.04))
    return Build(
        id=f"{name}-cam",
        rig=f"{name}-rig",
        wanted_drop=draw.family.wanted_s,
        parts=(
            Part(component=f"{name}-frame", on="frame"),
            Part(component=f"{name}-body", on="stage"),
            Part(component=lens_id, on=f"{name}-body.lens"),
            Part(component=f"{name}-matte-box", on=f"{lens_id}.front"),
            Part(component=f"{name}-battery", on="base", offset=behind),
            Part(component=f"{name}-monitor", on="base", offset=before),
        ),
    )


def turned_over(name: str, build: Build) -> Build:
    """The build in low mode: the body hangs by its top, and the monitor is turned."""
    ways = {f"{name}-body": {"by": "top", "turn": OVER}, f"{name}-monitor": {"turn": OVER}}
    parts = (replace(part, **ways.get(part.id, {})) for part in build.parts)  # type: ignore[arg-type]
    return replace(build, mode="low", parts=tuple(parts))


def build(draw: Draw, name: str, lens_id: str) -> Build:
    """Everything hung, the battery behind the post and the monitor before it."""
    behind = (-draw.length(0.12, 0.28), 0.0, draw.length(0.0, 0.04))
    before = (draw.length(0.12, 0.28), 0.0, draw.length(0.0, 0.04))
    return Build(
        id=f"{name}-cam",
        rig=f"{name}-rig",
        wanted_drop=draw.family.wanted_s,
        parts=(
            Part(component=f"{name}-post", on="post"),
            Part(component=f"{name}-yoke", on="yoke"),
            *carried(draw.family, name),
            Part(component=lens_id, on=f"{name}-body.lens"),
            Part(component=f"{name}-matte-box", on=f"{lens_id}.front"),
            Part(component=f"{name}-battery", on="base", offset=behind),
            Part(component=f"{name}-monitor", on="base", offset=before),
        ),
    )


def carried(family: Family, name: str) -> tuple[Part, ...]:
    """The camera on the stage, or on the head that stands there."""
    if not family.head:
        return (Part(component=f"{name}-body", on="stage"),)
    return (
        Part(component=f"{name}-head", on="stage"),
        Part(component=f"{name}-body", on=f"{name}-head.cradle"),
    )


@dataclass(frozen=True, slots=True)
class Documents:
    """The documents of one rig: its noun, its components by id, and the build as it first hung."""

    rig: Rig
    components: Mapping[str, Component]
    build: Build
    lens: str

    def with_lens(self, new: str) -> Build:
        """The build with another lens; what sat on the first one sits on that."""

        def moved(part: Part) -> Part:
            if part.component == self.lens:
                return replace(part, component=new)
            return replace(part, on=part.on.replace(f"{self.lens}.", f"{new}."))

        return replace(self.build, parts=tuple(moved(part) for part in self.build.parts))

    @property
    def in_high_mode(self) -> Build:
        """The build before it was turned over."""
        parts = (replace(part, by=None, turn=None) for part in self.build.parts)
        return replace(self.build, mode="high", parts=tuple(parts))


def documents(draw: Draw, name: str, lenses: Mapping[str, Component]) -> Documents:
    """One rig with the first of the lenses on it; all of them are in its library."""
    if draw.family.type == "ring":
        return _ring_documents(draw, name, lenses)
    tube = post(draw, name)
    makers = (yoke, body, matte_box, battery, monitor, *((head,) if draw.family.head else ()))
    kit = {part.id: part for part in (tube, *(make(draw, name) for make in makers))}
    first = next(iter(lenses))
    assert tube.size is not None
    carrier, made = rig(draw, name, tube.size[2]), build(draw, name, first)
    if draw.family.mode == "low":
        made = turned_over(name, made)
    return Documents(carrier, {**kit, **lenses}, made, first)


def _ring_documents(draw: Draw, name: str, lenses: Mapping[str, Component]) -> Documents:
    makers = (frame, body, matte_box, battery, monitor)
    kit = {part.id: part for part in (make(draw, name) for make in makers)}
    around, first = kit[f"{name}-frame"], next(iter(lenses))
    assert around.size is not None
    carrier = ring(draw, name, around.size[2])
    return Documents(carrier, {**kit, **lenses}, ring_build(draw, name, first), first)
