"""A rental house's library: many builds of one kit, with readings that share parts."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit
from riglog.library import Library
from riglog.logbook.entry import Draft
from riglog.mechanics.pendulum import drop_time
from riglog.records import Adjuster, Build, Component, Drop, Mount, Part, Rig, to_body

if TYPE_CHECKING:
    from pathlib import Path

SEED = 20_260_314
LENSES, BODIES, RIGS, DROPS = 40, 6, 5, 4
AUTHOR = "bench"
_MM = 1e-3


def build_house(path: Path, readings: int) -> None:
    """A library in which ``readings`` drops are of builds that share a part with ``a-cam``."""
    rng = np.random.default_rng(SEED)
    components, rigs = _kit(rng)
    known = {each.id: each for each in components}
    with Library.create(path, AUTHOR) as library:
        library.record(*components, *rigs, _build("a-cam", 1, 1, 1))
        made: dict[str, Build] = {"a-cam": _build("a-cam", 1, 1, 1)}
        for number in range(readings):
            # A build is dropped a few times while its mark is found.
            if number % DROPS == 0:
                lens, body, rig = (
                    int(rng.integers(1, most + 1)) for most in (LENSES, BODIES, RIGS)
                )
            # One in ten is of the build asked about; the others share its lens or its new one.
            build = (
                made["a-cam"]
                if number // DROPS % 10 == 0
                else _build(
                    f"b-{lens}-{body}-{rig}-{number // DROPS % 2}",
                    number // DROPS % 2 + 1,
                    body,
                    rig,
                )
            )
            if build.id not in made:
                library.record(build)
                made[build.id] = build
            library.record_reading(_drop(rng, known, rigs, build, number))


def fill_up(path: Path, entries: int) -> None:
    """More entries that have nothing to do with the build, until there are that many."""
    with Library.open(path, AUTHOR, write=True) as library, library.logbook.writing() as log:
        there = sum(1 for _ in library.logbook.log())
        for start in range(there, entries, 5_000):
            log.append(_other(number) for number in range(start, min(start + 5_000, entries)))


def _other(number: int) -> Draft:
    other = Component(id=f"other-{number}", kind="cable", mass=0.1 + number * 1e-6)
    return Draft(
        kind="component", subject=other.id, at="2026-03-01T08:00:00.000+00:00", author=AUTHOR,
        body=to_body(other),
    )  # fmt: skip


def _kit(rng: np.random.Generator) -> tuple[list[Component], list[Rig]]:
    components = [
        Component(id="post-tube", kind="post", mass=2.4, size=(0.05, 0.05, 0.76)),
        Component(id="battery", kind="battery", mass=2.6, size=(0.10, 0.11, 0.17)),
        Component(id="screen", kind="monitor", mass=1.2, size=(0.05, 0.20, 0.15)),
    ]
    for number in range(1, BODIES + 1):
        mounts = {"lens": Mount(at=(0.095, 0.0, 0.062))}
        mass, size = float(rng.uniform(2.5, 7)), (0.28, 0.15, 0.17)
        components.append(
            Component(id=f"body-{number}", kind="camera", mass=mass, size=size, mounts=mounts)
        )
    for number in range(1, LENSES + 1):
        mass, size = float(rng.uniform(0.6, 3)), (0.15, 0.10, 0.10)
        components.append(Component(id=f"lens-{number}", kind="lens", mass=mass, size=size))
    return components, [_rig(number) for number in range(1, RIGS + 1)]


def _rig(number: int) -> Rig:
    return Rig(
        id=f"post-{number}",
        type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)),
            "stage": Mount(at=(0.0, 0.0, 0.76), moved_by=("stage-fore-aft",)),
            "base": Mount(at=(0.0, 0.0, 0.02)),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", step=0.5 * _MM),
            Adjuster(id="stage-fore-aft", axis="x", step=1 * _MM),
        ),
    )


def _build(name: str, lens: int, body: int, rig: int) -> Build:
    return Build(
        id=name,
        rig=f"post-{rig}",
        wanted_drop=3.0,
        parts=(
            Part(component="post-tube", on="post"),
            Part(component=f"body-{body}", on="stage"),
            Part(component=f"lens-{lens}", on=f"body-{body}.lens"),
            Part(component="battery", on="base", offset=(-0.15, 0.0, 0.0)),
            Part(component="screen", on="base", offset=(0.18, 0.0, 0.0)),
        ),
        settings={"pivot": 0.5, "stage-fore-aft": 0.0},
    )


def _balance(
    components: dict[str, Component], rigs: list[Rig], build: Build
) -> tuple[float, float]:
    """Neutral mark [m] and k^2 [m^2] of a build as its documents have it."""
    hung = Hung(build=build, version="truth", settings=build.settings, day="2026-03-01")
    kit = Kit(rigs={rig.id: rig for rig in rigs}, components=components)
    hangs = Inference(kit, [hung]).stands[0].hangs
    return float(hangs.cg_m[0, 2]), float(hangs.gyration_m2[0])


@cache
def balance(lens: int, body: int) -> tuple[float, float]:
    """Neutral mark [m] and k^2 [m^2] with a lens on a body; the rigs are alike."""
    components, rigs = _kit(np.random.default_rng(SEED))
    build = _build("any", lens, body, 1)
    return _balance({each.id: each for each in components}, rigs, build)


def _drop(
    rng: np.random.Generator,
    components: dict[str, Component],
    rigs: list[Rig],
    build: Build,
    number: int,
) -> Drop:
    """A drop near 3 s of the build as its documents have it, give or take."""
    neutral_m, gyration_m2 = _balance(components, rigs, build)
    depth = float(rng.uniform(3, 6)) * _MM
    mark = round((neutral_m + depth) / (0.5 * _MM)) * 0.5 * _MM
    time = float(drop_time(mark - neutral_m, gyration_m2))
    times = tuple(float(time + 0.1 * rng.standard_normal()) for _ in range(3))
    day, hour = 1 + number // 480 % 28, number // 20 % 24
    on = f"2026-03-{day:02d}T{hour:02d}:{number % 20:02d}:00+00:00"
    return Drop(build=build.id, on=on, times=times, settings={"pivot": mark})
