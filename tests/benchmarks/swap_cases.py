"""Questions about simulated rigs: a lens is changed, where does the pivot go?

A case depends on its family, index and number of logged drops alone; the rig is the same however
many drops are logged, and more drops begin with the fewer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from rig_documents import Documents, Draw, Family, documents, lens
from simulated_rigs import (
    DAY,
    ON_HEAD_SD_M,
    Hanging,
    Logged,
    Operator,
    Settings,
    Truth,
    drawn_world,
)

from riglog.records import Build, Component, Rig

if TYPE_CHECKING:
    from riglog.records.stand import Stand

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Case:
    """The question: where does the pivot go for ``wanted_s`` when ``old`` becomes ``new``.

    ``logged`` is in the order in which it happened; consecutive builds on one rig and day keep
    their untouched parts seated. ``old.settings`` is where the rig stands now. The swap is on the
    day of the last stand, at ``on``.
    """

    family: Family
    index: int
    wanted_s: float
    on: str
    rigs: Mapping[str, Rig]
    components: Mapping[str, Component]
    logged: tuple[Logged, ...]
    old: Build
    new: Build
    truth: Truth = field(repr=False)

    @property
    def true_mark_m(self) -> float:
        """The answer."""
        return self.truth.mark(self.wanted_s)

    def with_logged(self, *logged: Logged) -> Case:
        """The same question with these drops as all that was logged."""
        return replace(self, logged=logged)


def swap_case(family: Family, index: int, drops: int) -> Case:
    """A lens swap on one rig with 0, 1 or 3 logged drops of the build before it."""
    draw = Draw(_rng(family, index, 0), family)
    docs = _trimmable(draw, ("one",), {"lens-old": 2.8, "lens-new": 3.2})[0]
    rng = _rng(family, index, 1)
    before = Hanging(
        drawn_world(rng, family, [docs]), docs.rig, docs.build, _seated(rng, docs.build),
        _balanced(rng, family),
    )  # fmt: skip
    version = f"{docs.build.id}@1"
    operator = Operator(_rng(family, index, 2), before, version, swings=family.swung)
    logged = _logged(operator, family, drops)
    stand = logged[-1].stand if logged else _unlogged_stand(operator, family, docs)
    after = _changed(rng, before, docs.with_lens("lens-new"))
    after = replace(after, on_head=_balanced(rng, family))
    return _case(family, index, [docs], logged=logged, old=docs.build, after=after, stand=stand)


def logged_case(family: Family, index: int, drops: int) -> tuple[Case, Settings]:
    """A rig as it stands where it was last timed, and where its slides truly are there."""
    draw = Draw(_rng(family, index, 0), family)
    docs = _trimmable(draw, ("one",), {"lens-old": 2.8})[0]
    rng = _rng(family, index, 1)
    world = drawn_world(rng, family, [docs])
    hanging = Hanging(world, docs.rig, docs.build, _seated(rng, docs.build))
    operator = Operator(_rng(family, index, 2), hanging, f"{docs.build.id}@1")
    logged = _logged(operator, family, drops)
    stand = logged[-1].stand
    case = _case(family, index, [docs], logged=logged, old=docs.build, after=hanging, stand=stand)
    return case, operator.stands[-1]


def conversion_case(family: Family, index: int, drops: int) -> Case:
    """From high to low mode, with logged drops of the build in high mode."""
    draw = Draw(_rng(family, index, 0), family)
    docs = _trimmable(draw, ("one",), {"lens-old": 2.8})[0]
    rng = _rng(family, index, 1)
    high = docs.in_high_mode
    before = Hanging(drawn_world(rng, family, [docs]), docs.rig, high, _seated(rng, high))
    operator = Operator(_rng(family, index, 2), before, f"{high.id}@1")
    logged = _logged(operator, family, drops)
    after = _changed(rng, before, docs.build)
    return _case(
        family, index, [docs], logged=logged, old=high, after=after, stand=logged[-1].stand
    )


def learning_case(family: Family, index: int, lenses: int = 6) -> Case:
    """Lenses timed once each on one rig, one of them on another, where it becomes a second one."""
    draw = Draw(_rng(family, index, 0), family)
    names = [f"lens-{number}" for number in range(1, lenses + 1)]
    docs = _trimmable(draw, ("one", "two"), dict.fromkeys(names, 3.0))
    rng = _rng(family, index, 1)
    world = drawn_world(rng, family, docs)
    log_rng = _rng(family, index, 2)
    first, second = docs
    hanging = Hanging(world, first.rig, first.build, _seated(rng, first.build))
    logged = []
    for number, name in enumerate(names, start=1):
        if name != first.lens:
            hanging = _changed(rng, hanging, first.with_lens(name))
        operator = Operator(log_rng, hanging, f"{first.build.id}@{number}")
        logged.append(_log_near(operator, family, f"2026-03-10T09:{number:02d}:00+00:00"))
    old, new = rng.choice(names, 2, replace=False)
    build = second.with_lens(old)
    before = Hanging(world, second.rig, build, _seated(rng, build))
    operator = Operator(log_rng, before, f"{build.id}@1")
    logged.append(_log_near(operator, family, f"{DAY}T09:00:00+00:00"))
    after = _changed(rng, before, second.with_lens(new))
    return _case(
        family, index, docs, logged=tuple(logged), old=build, after=after, stand=logged[-1].stand
    )


def _case(
    family: Family,
    index: int,
    docs: Sequence[Documents],
    *,
    logged: tuple[Logged, ...],
    old: Build,
    after: Hanging,
    stand: Stand,
) -> Case:
    operator = Operator(_rng(family, index, 3), after, f"{old.id}@2")
    return Case(
        family=family,
        index=index,
        wanted_s=family.wanted_s,
        on=f"{DAY}T15:00:00+00:00",
        rigs={item.rig.id: item.rig for item in docs},
        components={key: part for item in docs for key, part in item.components.items()},
        logged=logged,
        old=replace(old, settings=stand.settings),
        new=replace(after.build, settings=stand.settings),
        truth=Truth(after, operator),
    )


def _rng(family: Family, index: int, stream: int) -> np.random.Generator:
    """Streams of their own for documents, truth, log and play-out, so that none shifts another."""
    return np.random.default_rng([family.seed, index, stream])


def _seated(rng: np.random.Generator, build: Build) -> dict[str, FloatArray]:
    """How the parts of a build sit that was put together from scratch."""
    return {part.id: rng.standard_normal(3) for part in build.parts}


def _balanced(rng: np.random.Generator, family: Family) -> FloatArray:
    """How far off its axis a payload is that somebody balanced on its head."""
    return ON_HEAD_SD_M * rng.standard_normal(2) if family.head else np.zeros(2)


def _changed(rng: np.random.Generator, before: Hanging, build: Build) -> Hanging:
    """The rig with another build; a part that nobody touched stays seated as it was."""
    sat = {part.id: _way_down(before.build, part.id) for part in before.build.parts}
    anew = _seated(rng, build)
    seating = {
        part.id: before.seating[part.id]
        if sat.get(part.id) == _way_down(build, part.id)
        else anew[part.id]
        for part in build.parts
    }
    return replace(before, build=build, seating=seating)


def _way_down(build: Build, name: str) -> list[object]:
    """What a part sits on and how, down to the rig."""
    way: list[object] = []
    while name:
        part = build.part(name)
        way.append((part.on, part.by, part.turn))
        name = part.on.rpartition(".")[0]
    return way


def _trimmable(
    draw: Draw, names: Sequence[str], heaviest_kg: Mapping[str, float]
) -> list[Documents]:
    """Documents of rigs that share lenses, each of which the stages can trim by the documents."""
    while True:
        lenses = {name: lens(draw, name, most) for name, most in heaviest_kg.items()}
        docs = [documents(draw, name, lenses) for name in names]
        if all(_fits(item, draw.family, name) for item in docs for name in lenses):
            return docs


def _fits(docs: Documents, family: Family, lens_id: str) -> bool:
    travel = docs.rig.adjuster("stage-fore-aft").travel
    assert travel is not None
    hanging = _documented(docs, family, docs.with_lens(lens_id))
    return travel[0] < hanging.trimmed(hanging.neutral()).fore_aft < travel[1]


def _documented(docs: Documents, family: Family, build: Build) -> Hanging:
    """The build as its documents have it."""
    world = drawn_world(np.random.default_rng(0), family, [docs], spread=0.0)
    return Hanging(world, docs.rig, build, {part.id: np.zeros(3) for part in build.parts})


def _log_near(operator: Operator, family: Family, on: str) -> Logged:
    return operator.log_near(operator.rng.uniform(*family.logged_s), on)


def _logged(operator: Operator, family: Family, drops: int) -> tuple[Logged, ...]:
    """Drops at different marks of one morning, near the wanted one."""
    logged: list[Logged] = []
    while len(logged) < drops:
        item = _log_near(operator, family, f"{DAY}T09:{10 * len(logged):02d}:00+00:00")
        if item.setting("pivot") not in {other.setting("pivot") for other in logged}:
            logged.append(item)
    return tuple(logged)


def _unlogged_stand(operator: Operator, family: Family, docs: Documents) -> Stand:
    """A round mark 12 to 30 mm above the center of gravity that the documents give."""
    documented = _documented(docs, family, docs.build)
    center = documented.up * documented.neutral()
    marks = np.arange(np.ceil((center + 0.012) / 0.005), (center + 0.030) / 0.005) * 0.005
    mark = documented.up * float(round(operator.rng.choice(marks), 4))
    return operator.stand(operator.position(mark), mark)[1]
