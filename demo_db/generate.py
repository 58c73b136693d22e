"""Writes the documents of the demonstration library: ``python demo_db/generate.py``.

The production of "Salt Road", its kit and its people are invented. A hidden true kit is drawn about
what the documents say, with the errors that careful people make, and its drop tests are logged as
they would have been read off. The seed is fixed, so that the documents are always the same.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from riglog.estimation.inference import Hanging, Inference
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
    Reading,
    Rig,
    Weight,
)

SEED = 20_260_313
FOLDER = Path(__file__).parent
MASS_SD_KG, CG_SD_M, INERTIA_SD, TIME_SD_S = 0.003, 0.003, 0.1, 0.1
LENSES = {
    "lens-21": (1.18, (0.125, 0.098, 0.098)),
    "lens-29": (1.31, (0.130, 0.100, 0.100)),
    "lens-40": (1.46, (0.138, 0.104, 0.104)),
    "lens-65": (1.72, (0.152, 0.110, 0.110)),
    "lens-100": (2.24, (0.176, 0.114, 0.114)),
}
SLIDES = ("stage-fore-aft", "stage-side")


def components() -> list[Component]:
    """The kit as it was weighed and measured."""
    lenses = [
        Component(
            id=name, kind="lens", mass=mass, size=size, cg_sd=0.004,
            mounts={"front": Mount(at=(size[0] - 0.002, 0.0, 0.0))},
        )
        for name, (mass, size) in LENSES.items()
    ]  # fmt: skip
    return [
        Component(
            id="post-tube", kind="post", mass=2.46, size=(0.05, 0.05, 0.78), shape="cylinder-z"
        ),
        Component(id="inner-yoke", kind="gimbal", mass=0.34, size=(0.09, 0.06, 0.06)),
        Component(id="handle", kind="gimbal", mass=0.62, size=(0.10, 0.12, 0.12)),
        Component(
            id="body-wren", kind="camera", mass=4.21, size=(0.28, 0.15, 0.17),
            cg=(0.012, 0.0, 0.085), cg_sd=0.003,
            mounts={"lens": Mount(at=(0.095, 0.0, 0.062)), "top": Mount(at=(0.0, 0.0, 0.17))},
        ),
        Component(
            id="body-heron", kind="camera", mass=3.38, size=(0.22, 0.14, 0.15),
            cg=(0.008, 0.0, 0.074), cg_sd=0.003,
            mounts={"lens": Mount(at=(0.082, 0.0, 0.058)), "top": Mount(at=(0.0, 0.0, 0.15))},
        ),
        *lenses,
        Component(id="hood-five", kind="matte-box", mass=0.54, size=(0.10, 0.16, 0.13)),
        Component(id="link-two", kind="transmitter", mass=0.27, size=(0.04, 0.07, 0.12)),
        Component(id="block-battery", kind="battery", mass=2.58, size=(0.10, 0.11, 0.17)),
        Component(id="screen-seven", kind="monitor", mass=1.21, size=(0.05, 0.20, 0.15)),
    ]  # fmt: skip


def rig() -> Rig:
    """The post rig."""
    return Rig(
        id="post-one",
        type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)),
            "stage": Mount(at=(0.0, 0.0, 0.78), moved_by=SLIDES),
            "base": Mount(at=(0.0, 0.0, 0.02), moved_by=("base-fore-aft",)),
            "yoke": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",)),
            "handle": Mount(at=(0.0, 0.0, 0.0), moved_by=("pivot",), tilts=False),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", travel=(0.38, 0.62), step=0.0005),
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


def build(name: str, body: str, lens: str) -> Build:
    """A camera on the rig."""
    return Build(
        id=name,
        rig="post-one",
        wanted_drop=3.0,
        parts=(
            Part(component="post-tube", on="post"),
            Part(component="inner-yoke", on="yoke"),
            Part(component="handle", on="handle"),
            Part(component=body, on="stage"),
            Part(component=lens, on=f"{body}.lens"),
            Part(component="hood-five", on=f"{lens}.front"),
            Part(component="link-two", on=f"{body}.top"),
            Part(component="block-battery", on="base", offset=(-0.16, 0.0, 0.0)),
            Part(component="screen-seven", on="base", offset=(0.20, 0.0, 0.0)),
        ),
        settings={"pivot": 0.5, "stage-fore-aft": 0.0, "stage-side": 0.0, "base-fore-aft": 0.0},
    )


class Truth:
    """The kit as it really is, and the people who read it off."""

    def __init__(self) -> None:
        self.rng = np.random.default_rng(SEED)
        self.components = {each.id: self._true(each) for each in components()}
        self.rigs = {"post-one": rig()}

    def _true(self, stated: Component) -> Component:
        draw = self.rng.standard_normal(5)
        size = stated.size or (0.1, 0.1, 0.1)
        usual = (size[0] / 2, 0.0, 0.0) if stated.kind in {"lens", "matte-box"} else None
        cg = stated.cg or usual or (0.0, 0.0, size[2] / 2)
        assert stated.mass is not None
        return replace(
            stated,
            mass=stated.mass + MASS_SD_KG * float(draw[0]),
            cg=tuple(at + CG_SD_M * float(off) for at, off in zip(cg, draw[1:4], strict=True)),
            size=tuple(side * float(np.exp(INERTIA_SD / 2 * draw[4])) for side in size),
        )

    def hanging(self, of: Build) -> Hanging:
        """A build as it really hangs, trimmed by nobody yet."""
        hung = Hung(build=of, version="truth", settings=of.settings, day="2026-03-13")
        return Inference(Kit(rigs=self.rigs, components=self.components), [hung]).stands[0]

    def mark_m(self, of: Build, drop_s: float) -> float:
        """Where the pivot really has to be for a drop time."""
        hanging = self.hanging(of)
        free = [hanging.tree.adjusters.index(name) for name in (*SLIDES, "pivot")]
        return float(hanging.settle(free, drop_s).positions_m[hanging.tree.pivot])

    def set_up(self, of: Build, drop_s: float) -> tuple[Build, float, float]:
        """The build set near a drop time as its scales read, its real depth [m] and k^2."""
        hanging = self.hanging(of)
        free = [hanging.tree.adjusters.index(name) for name in (*SLIDES, "pivot")]
        settled = hanging.settle(free, drop_s)
        settings = dict(of.settings)
        for index in free:
            scale = hanging.tree.scales[index]
            read = settled.positions_m[index] + scale.step / 2 * self.rng.standard_normal()
            settings[scale.id] = round(round(read / scale.step) * scale.step, 4)
        depth = hanging.depth_m(settled.positions_m, settled.hangs)
        return replace(of, settings=settings), depth, float(settled.hangs.gyration_m2[0])

    def session(self, of: Build, on: str, wanted: tuple[float, ...]) -> tuple[Build, list[Reading]]:
        """A build trimmed and timed at one mark after another, from half past the hour."""
        readings: list[Reading] = []
        first = of
        for number, drop_s in enumerate(wanted):
            stood, depth, k2 = self.set_up(of, drop_s)
            first = stood if number == 0 else first
            at = f"{on}:{30 + 6 * number:02d}:00+00:00"
            readings.append(HangsUpright(build=of.id, on=at, settings=stood.settings))
            time = float(drop_time(depth, k2))
            times = time + TIME_SD_S * self.rng.standard_normal(3)
            readings.append(
                Drop(
                    build=of.id,
                    on=at.replace(":00+", ":30+"),
                    times=tuple(round(float(each), 1) for each in times),
                    settings=stood.settings,
                )
            )
        return first, readings


# Version by version: build, body, lens, hour, and the drop times that were looked for.
DAYS = (
    ("a-cam", "body-wren", "lens-29", "2026-03-13T08", (2.4, 3.0)),
    ("a-cam", "body-wren", "lens-40", "2026-03-13T11", (3.1,)),
    ("a-cam", "body-wren", "lens-65", "2026-03-13T15", (2.6, 3.0)),
    ("b-cam", "body-heron", "lens-21", "2026-03-14T08", (3.0,)),
    ("b-cam", "body-heron", "lens-40", "2026-03-14T10", (2.8, 3.1)),
    ("a-cam", "body-wren", "lens-100", "2026-03-14T14", (2.5, 3.0)),
)


def documents() -> dict[str, str]:
    """File names and texts, in the order in which they are added."""
    truth = Truth()
    texts = {"01-kit.yaml": write_document([*components(), rig()])}
    for number, (name, body, lens, hour, wanted) in enumerate(DAYS, start=2):
        stood, readings = truth.session(build(name, body, lens), hour, wanted)
        if number == 2:
            weight = truth.hanging(stood).hangs.weight_kg
            readings.append(
                Weight(build=name, on=f"{hour}:50:00+00:00", mass=round(float(weight), 2))
            )
        texts[f"{number:02d}-{name}-{lens}.yaml"] = write_document([stood, *readings])
    return texts


def main() -> None:
    """Write the documents beside this script."""
    for name, text in documents().items():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
