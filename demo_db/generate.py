"""Writes the documents of the demonstration library: ``python demo_db/generate.py``.

The production "Salt Road", its kit and its people are invented. A hidden true kit is drawn about
what the documents say, with the errors that careful people make, and its drop tests are logged as
they would have been read off. The seed is fixed, so that the documents are always the same.
``true_mark_m`` tells what the documents do not: where the gimbal really belongs after the swap that
``riglog demo`` asks about.

Mira flies the A camera and Jonas the B camera, each with a library of their own. On the second
evening Jonas takes the A camera over while Mira writes down what it is to be: that is the fork. On
the last afternoon Mira tries what else there is: ``more_rigs``.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt
from riglog.demo_db import more_rigs  # type: ignore[import-not-found]  # mapped as it is installed

from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit
from riglog.interchange import write_document
from riglog.mechanics.pendulum import drop_time
from riglog.records import (
    Adjuster,
    Build,
    Component,
    Drop,
    HangsUpright,
    LoadRange,
    Mount,
    Part,
    PivotPair,
    Reading,
    Rig,
    Weight,
)
from riglog.records.measurements import Weighing
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.estimation.hanging import Hanging
    from riglog.records.component import Source

FloatArray = npt.NDArray[np.float64]
Noun = Component | Rig | Build | Reading | WeighingScale | Weighing

SEED = 20_260_313
FOLDER = Path(__file__).parent
# What the true kit is off by, as standard deviations: parts weighed, centers of gravity found,
# inertia taken for that of a box, how a build was put together, a scale read, a thumb on a watch.
MASS_SD_KG, CG_SD_M, INERTIA_SD = 0.003, 0.004, 0.1
RIGGING_SD_M, SETTING_SD_M = 0.00025, 0.0005
TIME_SD_S = {"mira": 0.09, "jonas": 0.12}
LENSES = {
    "lens-18": (1.09, (0.118, 0.096, 0.096)),
    "lens-21": (1.18, (0.125, 0.098, 0.098)),
    "lens-29": (1.31, (0.130, 0.100, 0.100)),
    "lens-40": (1.46, (0.138, 0.104, 0.104)),
    "lens-65": (1.72, (0.152, 0.110, 0.110)),
    "lens-75": (1.84, (0.158, 0.110, 0.110)),
    "lens-100": (2.24, (0.176, 0.114, 0.114)),
    "lens-135": (2.61, (0.204, 0.118, 0.118)),
}
SLIDES = ("stage-fore-aft", "stage-side")
# All was weighed on a bench scale but what came from a hirer with its papers.
SOURCES: Mapping[str, Source] = {"link-two": "maker's sheet"}
SCALES = (
    WeighingScale(
        id="bench-one", resolution=0.001, linearity=0.002, checked="2026-03-09", reference=2.0,
        showed=2.0,
    ),
    WeighingScale(id="hook-one", resolution=0.01, linearity=0.02, checked="2026-03-09"),
)  # fmt: skip
# Weighed once more, by themselves, before the first day.
WEIGHED_AGAIN = ("lens-18", "lens-135")


def components() -> list[Component]:
    """The kit as it was weighed and measured, each with what its mass is from."""
    return [replace(each, by=SOURCES.get(each.id, "bench scale")) for each in _measured()]


def _measured() -> list[Component]:
    lenses = [
        Component(
            id=name, kind="lens", mass=mass, size=size, cg_sd=0.004,
            mounts={"front": Mount(at=(round(size[0] - 0.002, 3), 0.0, 0.0))},
        )
        for name, (mass, size) in LENSES.items()
    ]  # fmt: skip
    return [
        Component(
            id="post-tube", kind="post", mass=2.46, size=(0.05, 0.05, 0.78), shape="cylinder-z"
        ),
        Component(
            id="short-tube", kind="post", mass=1.71, size=(0.045, 0.045, 0.62), shape="cylinder-z"
        ),
        *(
            Component(id=name, kind="gimbal", mass=mass, size=size)
            for name, mass, size in (
                ("yoke-one", 0.34, (0.09, 0.06, 0.06)), ("yoke-two", 0.29, (0.08, 0.05, 0.05)),
                ("handle-one", 0.62, (0.10, 0.12, 0.12)), ("handle-two", 0.55, (0.09, 0.11, 0.11)),
            )
        ),
        Component(
            id="body-wren", kind="camera", mass=4.21, size=(0.28, 0.15, 0.17),
            cg=(0.012, 0.0, 0.085), cg_sd=0.004,
            mounts={"lens": Mount(at=(0.095, 0.0, 0.062)), "top": Mount(at=(0.0, 0.0, 0.17))},
        ),
        Component(
            id="body-heron", kind="camera", mass=3.38, size=(0.22, 0.14, 0.15),
            cg=(0.008, 0.0, 0.074), cg_sd=0.004,
            mounts={"lens": Mount(at=(0.082, 0.0, 0.058)), "top": Mount(at=(0.0, 0.0, 0.15))},
        ),
        *lenses,
        Component(
            id="hood-five", kind="matte-box", mass=0.54, size=(0.10, 0.16, 0.13),
            mounts={"slot": Mount(at=(0.02, 0.0, 0.0))},
        ),
        *(
            Component(id=name, kind="filter", mass=mass, size=(0.005, 0.13, 0.13))
            for name, mass in (("nd-six", 0.17), ("nd-nine", 0.18))
        ),
        Component(id="link-two", kind="transmitter", mass=0.27, size=(0.04, 0.07, 0.12)),
        Component(id="block-battery", kind="battery", mass=2.58, size=(0.10, 0.11, 0.17)),
        Component(id="slab-battery", kind="battery", mass=1.94, size=(0.08, 0.11, 0.15)),
        Component(id="screen-seven", kind="monitor", mass=1.21, size=(0.05, 0.20, 0.15)),
        Component(id="screen-five", kind="monitor", mass=0.74, size=(0.04, 0.15, 0.11)),
    ]  # fmt: skip


def rig(name: str, length_m: float, travel_m: tuple[float, float]) -> Rig:
    """A post rig with a post of that length."""
    return Rig(
        id=name,
        type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)),
            "stage": Mount(at=(0.0, 0.0, length_m), moved_by=SLIDES),
            "base": Mount(at=(0.0, 0.0, 0.02), moved_by=("base-fore-aft",)),
            "yoke": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",)),
            "handle": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",), tilts=False),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", travel=travel_m, step=0.0005),
            Adjuster(id="stage-fore-aft", axis="x", travel=(-0.09, 0.09), step=0.001),
            Adjuster(id="stage-side", axis="y", travel=(-0.015, 0.015), step=0.0005),
            Adjuster(id="base-fore-aft", axis="x", travel=(-0.06, 0.06), step=0.001),
        ),
        rated_load={
            "gimbal": LoadRange(greatest=22.0),
            "stage": LoadRange(greatest=15.0),
            "arm": LoadRange(least=9.0, greatest=20.0),
        },
    )


RIGS = {
    each.id: each
    for each in (rig("post-one", 0.78, (0.38, 0.62)), rig("post-two", 0.62, (0.28, 0.54)))
}


def a_cam(lens: str, *filters: str) -> Build:
    """The A camera, its slides in the middle and its gimbal not yet set."""
    return _build(
        "a-cam", "post-one",
        Part(component="post-tube", on="post"),
        Part(component="yoke-one", on="yoke"),
        Part(component="handle-one", on="handle"),
        Part(component="body-wren", on="stage"),
        Part(component=lens, on="body-wren.lens"),
        Part(component="hood-five", on=f"{lens}.front"),
        *(Part(component=each, on="hood-five.slot") for each in filters),
        Part(component="link-two", on="body-wren.top"),
        Part(component="block-battery", on="base", offset=(-0.16, 0.0, 0.0)),
        Part(component="screen-seven", on="base", offset=(0.20, 0.0, 0.0)),
    )  # fmt: skip


def b_cam(lens: str) -> Build:
    """The B camera, lighter and on a shorter post."""
    return _build(
        "b-cam", "post-two",
        Part(component="short-tube", on="post"),
        Part(component="yoke-two", on="yoke"),
        Part(component="handle-two", on="handle"),
        Part(component="body-heron", on="stage"),
        Part(component=lens, on="body-heron.lens"),
        Part(component="slab-battery", on="base", offset=(-0.14, 0.0, 0.0)),
        Part(component="screen-five", on="base", offset=(0.18, 0.0, 0.0)),
    )  # fmt: skip


def _build(name: str, rig_id: str, *parts: Part) -> Build:
    settings = {"stage-fore-aft": 0.0, "stage-side": 0.0, "base-fore-aft": 0.0}
    return Build(id=name, rig=rig_id, wanted_drop=3.0, parts=parts, settings=settings)


def weighings(crew: Crew) -> list[Weighing]:
    """What the bench scale showed for the true lenses, twice each, off by what it may be."""
    bench = SCALES[0]
    # Drawn by themselves, so that the shooting days stay what they are.
    rng = np.random.default_rng(SEED + 2)
    off_kg = bench.linearity / 3**0.5 * rng.standard_normal()
    found = []
    for minute, name in enumerate(WEIGHED_AGAIN):
        kg = crew.kit[name].mass
        assert kg is not None
        seen = kg + off_kg + 0.3 * bench.resolution * rng.standard_normal(2)
        shown = tuple(round(float(each), 3) for each in seen)
        on = f"2026-03-11T16:{10 + minute}:00+00:00"
        found.append(Weighing(component=name, on=on, shown=shown, scale=bench.id))
    return found


class Session(NamedTuple):
    """What was hung, by whom and when, and the drop times [s] looked for one after another."""

    file: str
    build: Build
    hour: str
    wanted_s: tuple[float, ...]

    @property
    def author(self) -> str:
        """Whose it is, which its name tells."""
        return self.file.split("-")[1]


KIT, TAGS, MORE = "01-mira-kit.yaml", "10-mira-a-cam-tags.yaml", "13-mira-more-rigs.yaml"


def tagged(build: Build) -> Build:
    """The A camera with what Mira wrote down of it, and Jonas did not know of."""
    return replace(build, tags=("salt-road", "stairs"), also={"arm-lift": "6 turns"})


SESSIONS = (
    Session("02-mira-a-cam-lens-29.yaml", a_cam("lens-29"), "2026-03-12T08", (2.4, 3.0)),
    Session("03-jonas-b-cam-lens-21.yaml", b_cam("lens-21"), "2026-03-12T09", (2.4, 3.0)),
    Session("04-mira-a-cam-lens-65.yaml", a_cam("lens-65", "nd-nine"), "2026-03-12T13", (2.6, 3.0)),
    Session("05-jonas-b-cam-lens-100.yaml", b_cam("lens-100"), "2026-03-12T14", (2.5,)),
    Session("06-mira-a-cam-lens-40.yaml", a_cam("lens-40"), "2026-03-13T08", (2.7, 3.1)),
    Session("07-jonas-b-cam-lens-135.yaml", b_cam("lens-135"), "2026-03-13T09", (2.8,)),
    Session("08-jonas-b-cam-lens-18.yaml", b_cam("lens-18"), "2026-03-13T12", (2.6, 3.0)),
    Session("09-jonas-a-cam-lens-75.yaml", a_cam("lens-75", "nd-six"), "2026-03-13T17", (2.9,)),
    Session(
        "11-mira-a-cam-lens-100.yaml", tagged(a_cam("lens-100")), "2026-03-14T09",
        (2.5, 3.0),
    ),
    Session("12-jonas-b-cam-lens-40.yaml", b_cam("lens-40"), "2026-03-14T11", (2.8,)),
    *(
        Session(f"{number}-mira-{build.id}.yaml", build, f"2026-03-14T{number}", wanted_s)
        for number, (build, wanted_s) in enumerate(more_rigs.FLOWN, 14)
    ),
)  # fmt: skip
PREPARED = (a_cam("lens-29"), b_cam("lens-21"), *(build for build, _ in more_rigs.FLOWN))
ALL_RIGS = {**RIGS, **{each.id: each for each in more_rigs.RIGS}}
WEIGHED = "02-mira-a-cam-lens-29.yaml"
LEFT = "06-mira-a-cam-lens-40.yaml"
YESTERDAYS = a_cam("lens-40")


class Crew:
    """The kit as it really is, and the people who hang it and read it off."""

    def __init__(self) -> None:
        self.rng = np.random.default_rng(SEED)
        self.kit = {each.id: self._true(each, self.rng) for each in components()}
        # Drawn by themselves, so that the first three days stay what they are.
        more = np.random.default_rng(SEED + 1)
        self.kit |= {each.id: self._true(each, more) for each in more_rigs.COMPONENTS}
        self.seating: dict[str, dict[str, FloatArray]] = {name: {} for name in ALL_RIGS}

    def _true(self, stated: Component, rng: np.random.Generator) -> Component:
        draw = rng.standard_normal(5)
        assert stated.mass is not None
        assert stated.size is not None
        usual = (
            (stated.size[0] / 2, 0.0, 0.0)
            if stated.kind in {"lens", "matte-box", "filter"}
            else (0.0, 0.0, stated.size[2] / 2)
        )
        # Inertia goes with the square of the size.
        x, y, z = (np.exp(INERTIA_SD / 2 * draw[4]) * np.asarray(stated.size)).tolist()
        return replace(
            moved(replace(stated, cg=stated.cg or usual), CG_SD_M * draw[1:4]),
            mass=stated.mass + MASS_SD_KG * float(draw[0]),
            size=(x, y, z),
        )

    def hang(self, of: Build) -> Hanging:
        """A build as it really hangs; parts that nobody touched stay seated as they were.

        Each seating is a normal vector, and all together move the whole's center of gravity by
        the rigging error along each axis.
        """
        seats = {seat(of, part): part.component for part in of.parts}
        before = self.seating[of.rig]
        self.seating[of.rig] = {
            each: before[each] if each in before else self.rng.standard_normal(3) for each in seats
        }
        masses = np.array([self.kit[name].mass for name in seats.values()])
        off = RIGGING_SD_M * masses.sum() / np.sqrt(masses @ masses)
        seated = {
            name: moved(self.kit[name], off * self.seating[of.rig][each])
            for each, name in seats.items()
        }
        hung = Hung(build=of, version="true", settings=of.settings, day="2026-03-13")
        return Inference(Kit(rigs=ALL_RIGS, components=seated), [hung]).stands[0]

    def read_off(self, hanging: Hanging, position_m: float, index: int) -> float:
        """What the scale of an adjuster seems to show, to a whole step."""
        step = hanging.tree.scales[index].step
        seen = position_m + SETTING_SD_M * self.rng.standard_normal()
        return round(round(seen / step) * step, 8)

    def log(
        self, author: str, of: Build, on: str, hanging: Hanging, wanted_s: float
    ) -> list[Reading]:
        """Trim it near a drop time, say that it hangs upright, and time three drops."""
        free = moving(hanging)
        settled = hanging.settle(free, wanted_s)
        read = {
            hanging.tree.adjusters[index]: self.read_off(hanging, at, index)
            for index, at in zip(free, settled.positions_m[free].tolist(), strict=True)
        }
        merged = {**of.settings, **read}
        settings = {name: merged[name] for name in hanging.tree.adjusters}
        if hanging.tree.rig.type == "ring":
            settings["pivot"] = PivotPair(left=read["pivot"], right=read["pivot"])
        depth_m = hanging.depth_m(settled.positions_m, settled.hangs)
        actual_s = float(drop_time(depth_m, settled.hangs.gyration_m2[0]))
        times = actual_s + TIME_SD_S[author] * self.rng.standard_normal(3)
        return [
            HangsUpright(build=of.id, on=f"{on}:00+00:00", settings=settings),
            Drop(
                build=of.id, on=f"{on}:30+00:00", settings=settings,
                times=tuple(round(float(each), 1) for each in times),
            ),
        ]  # fmt: skip

    def hold(self, session: Session) -> list[Noun]:
        """Hang a build and log it; its new version if it was not prepared so."""
        of = session.build
        hanging = self.hang(of)
        readings: list[Reading] = []
        for number, wanted_s in enumerate(session.wanted_s):
            readings += self.log(
                session.author, of, f"{session.hour}:{20 + 8 * number}", hanging, wanted_s
            )
        stood = replace(of, settings=readings[0].settings)
        if session.file == WEIGHED:
            kg = round(float(hanging.hangs.weight_kg), 2)
            readings.append(Weight(build=of.id, on=f"{session.hour}:45:00+00:00", mass=kg))
        return [*([] if of in PREPARED else [stood]), *readings]


def moved(part: Component, by_m: FloatArray) -> Component:
    """A component with its center of gravity elsewhere."""
    assert part.cg is not None
    x, y, z = (np.asarray(part.cg) + by_m).tolist()
    return replace(part, cg=(x, y, z))


def seat(of: Build, part: Part) -> str:
    """A part and what it sits on, down to the rig."""
    owner, _, mount = part.on.rpartition(".")
    below = seat(of, of.part(owner)) if owner else ""
    return f"{below}/{mount}/{part.component}"


def moving(hanging: Hanging) -> list[int]:
    """The adjusters that trim a build and set its drop time."""
    names = hanging.tree.adjusters
    return [names.index(name) for name in (*SLIDES, *more_rigs.SLIDES, "pivot") if name in names]


@cache
def logged() -> tuple[Crew, dict[str, list[Noun]]]:
    """The crew after all days, and what each document holds, in the order they are added."""
    crew = Crew()
    kit = [*components(), *RIGS.values(), *PREPARED[:2], *SCALES, *weighings(crew)]
    found: dict[str, list[Noun]] = {KIT: kit}
    found |= {each.file: crew.hold(each) for each in SESSIONS}
    left = next(noun for noun in found[LEFT] if isinstance(noun, Build))
    found[TAGS] = [tagged(left)]
    found[MORE] = [*more_rigs.COMPONENTS, *more_rigs.RIGS, *PREPARED[2:]]
    return crew, dict(sorted(found.items()))


def documents() -> dict[str, str]:
    """File names and texts, in the order in which they are added."""
    return {name: write_document(nouns) for name, nouns in logged()[1].items()}


def true_mark_m(drop_s: float) -> float:
    """Where the gimbal really belongs for a drop time once yesterday's lens is back on [m]."""
    hanging = logged()[0].hang(YESTERDAYS)
    settled = hanging.settle(moving(hanging), drop_s)
    return float(settled.positions_m[hanging.tree.pivot])


def main() -> None:
    """Write the documents beside this script."""
    for name, text in documents().items():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
