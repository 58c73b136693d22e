"""Which readings are taken, on a small rental house whose builds share bodies and lenses."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

import riglog.estimation.evidence as selection
from riglog.estimation.evidence import best_first
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit, Logged
from riglog.estimation.observations import Observations
from riglog.estimation.parameters import Parameters
from riglog.estimation.stands import Stands
from riglog.mechanics.pendulum import drop_time
from riglog.records import Adjuster, Build, Component, Drop, Mount, Part, Rig

if TYPE_CHECKING:
    from riglog.estimation.hanging import Hanging

AT = "2026-03-01T09:00:00+00:00"
LENSES, BODIES, RIGS, READINGS = 8, 3, 2, 240


def rig(number: int) -> Rig:
    return Rig(
        id=f"post-{number}", type="post",
        mounts={
            "post": Mount(at=(0.0, 0.0, 0.0)), "base": Mount(at=(0.0, 0.0, 0.02)),
            "stage": Mount(at=(0.0, 0.0, 0.76), moved_by=("stage-fore-aft",)),
        },
        adjusters=(
            Adjuster(id="pivot", axis="z", step=0.0005), Adjuster(id="stage-fore-aft", axis="x"),
        ),
    )  # fmt: skip


def components(rng: np.random.Generator) -> dict[str, Component]:
    found = [
        Component(id="tube", kind="post", mass=2.4, size=(0.05, 0.05, 0.76)),
        Component(id="battery", kind="battery", mass=2.6, size=(0.1, 0.11, 0.17)),
    ]
    for number in range(BODIES):
        mounts = {"lens": Mount(at=(0.095, 0.0, 0.062))}
        mass = float(rng.uniform(2.5, 7))
        found.append(
            Component(
                id=f"body-{number}", kind="camera", mass=mass, size=(0.28, 0.15, 0.17),
                mounts=mounts,
            )
        )  # fmt: skip
    for number in range(LENSES):
        mass = float(rng.uniform(0.6, 3))
        found.append(Component(id=f"lens-{number}", kind="lens", mass=mass, size=(0.15, 0.1, 0.1)))
    return {each.id: each for each in found}


def hung(lens: int, body: int, post: int, pivot: float, day: str) -> Hung:
    parts = (
        Part(component="tube", on="post"),
        Part(component=f"body-{body}", on="stage"),
        Part(component=f"lens-{lens}", on=f"body-{body}.lens"),
        Part(component="battery", on="base", offset=(-0.15, 0.0, 0.0)),
    )
    name = f"b-{lens}-{body}-{post}"
    settings = {"pivot": pivot, "stage-fore-aft": 0.0}
    return Hung(
        build=Build(id=name, rig=f"post-{post}", parts=parts), version=name, settings=settings,
        day=day,
    )  # fmt: skip


def house(seed: int, count: int = READINGS) -> Kit:
    """Drops near 3 s of builds as their documents have them, timed with an error of 0.1 s."""
    rng = np.random.default_rng(seed)
    kit = Kit(rigs={f"post-{n}": rig(n) for n in range(RIGS)}, components=components(rng))
    readings = []
    for number in range(count):
        lens, body, post = (int(rng.integers(most)) for most in (LENSES, BODIES, RIGS))
        day = f"2026-03-{1 + number // 20:02d}"
        hangs = Inference(kit, [hung(lens, body, post, 0.5, day)]).stands[0].hangs
        neutral, k2 = float(hangs.cg_m[0, 2]), float(hangs.gyration_m2[0])
        pivot = round((neutral + float(rng.uniform(0.003, 0.006))) / 0.0005) * 0.0005
        time = float(drop_time(pivot - neutral, k2)) + 0.1 * float(rng.standard_normal())
        stood = hung(lens, body, post, pivot, day)
        drop = Drop(build=stood.build.id, on=AT, times=(time,))
        readings.append(Logged(entry=f"e-{number}", author="kim", reading=drop, hung=stood))
    return kit._replace(readings=tuple(readings))


def spread(hanging: Hanging) -> float:
    """Standard deviation of the mark of 3 s, every reading that was taken believed."""
    tree = hanging.tree
    free = [tree.adjusters.index("stage-fore-aft"), tree.pivot]
    settled = hanging.settle(free, 3.0)
    rows = hanging.setting_rows(settled, 3.0)
    of_mark = int(np.flatnonzero(settled.moved == tree.pivot)[0])
    covariance = hanging.inference.posterior.covariance(rows)
    return float(covariance[of_mark, of_mark]) ** 0.5


def chosen(kit: Kit, asked: Hung, most: int = 128) -> list[int]:
    stands = Stands(Parameters(kit))
    stand = stands.stand(asked)
    return best_first(Observations.of(stands, kit.readings), [stand], most)


@pytest.mark.parametrize("seed", [1, 2])
def test_the_best_readings_of_a_house_tell_nearly_as_much_as_all(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit, asked = house(seed), hung(0, 0, 0, 0.5, "2026-04-01")
    best = Inference(kit, [asked])
    monkeypatch.setattr(selection, "_FEW", READINGS)
    everything = Inference(kit, [asked])
    assert len(everything.kit.readings) == READINGS
    assert len(best.kit.readings) <= 128
    ratio = spread(best.stands[0]) / spread(everything.stands[0])
    assert 1.0 - 1e-3 <= ratio <= 1.15


def test_the_first_choice_is_the_reading_of_the_build_itself() -> None:
    asked = hung(0, 0, 0, 0.5, "2026-04-01")
    kit = house(4, count=60)
    others = tuple(logged for logged in kit.readings if logged.hung.build.id != asked.build.id)
    single = Logged(
        entry="own", author="kim", reading=Drop(build=asked.build.id, on=AT, times=(3.0, 3.1)),
        hung=asked._replace(day="2026-03-20"),
    )  # fmt: skip
    with_one = kit._replace(readings=(*others[:30], single, *others[30:]))
    assert chosen(with_one, asked, most=1) == [30]


def test_readings_that_share_nothing_with_the_question_are_left_out() -> None:
    kit = house(5, count=60)
    alone = {
        "odd-tube": Component(id="odd-tube", kind="post", mass=2.0, size=(0.05, 0.05, 0.7)),
        "odd-body": Component(id="odd-body", kind="camera", mass=3.0, size=(0.2, 0.1, 0.1)),
    }
    parts = (Part(component="odd-tube", on="post"), Part(component="odd-body", on="stage"))
    odd_rig = replace(rig(0), id="post-9")
    stood = Hung(
        build=Build(id="odd", rig="post-9", parts=parts), version="odd", day="2026-03-01",
        settings={"pivot": 0.59, "stage-fore-aft": 0.0},
    )  # fmt: skip
    strangers = tuple(
        Logged(
            entry=f"odd-{n}", author="kim", reading=Drop(build="odd", on=AT, times=(3.0,)),
            hung=stood,
        )
        for n in range(20)
    )  # fmt: skip
    both = Kit(
        rigs=kit.rigs | {"post-9": odd_rig}, components=kit.components | alone,
        readings=(*kit.readings, *strangers),
    )  # fmt: skip
    taken = chosen(both, hung(0, 0, 0, 0.5, "2026-04-01"))
    assert taken
    assert max(taken) < 60


def test_no_more_are_taken_than_asked_for_and_in_the_order_of_the_log() -> None:
    taken = chosen(house(6, count=60), hung(0, 0, 0, 0.5, "2026-04-01"), most=5)
    assert len(taken) == 5
    assert taken == sorted(set(taken))


def test_a_handful_is_taken_whole() -> None:
    assert chosen(house(7, count=16), hung(0, 0, 0, 0.5, "2026-04-01"), most=5) == list(range(16))
