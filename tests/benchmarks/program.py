"""A case put to the program through its Python API, from nouns to marks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from swap_cases import Case

from riglog.estimation.claims import drop_factor
from riglog.estimation.hanging import Hanging
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung, Kit, Logged
from riglog.jobs.fine_move import fine_move, measured
from riglog.jobs.free import free_adjusters
from riglog.jobs.placing import Placed, first_mark, place

if TYPE_CHECKING:
    import simulated_rigs

    from riglog.records import Build, Rig, Setting

PERSON = "operator"


@dataclass(frozen=True, slots=True)
class Asked:
    """A case that the program has answered."""

    case: Case
    hanging: Hanging
    placed: Placed

    @property
    def mark(self) -> tuple[float, float, float, float]:
        """The wanted mark [m], its standard deviation, and its 95 % bounds."""
        found = self.placed.estimates[self.hanging.tree.pivot]
        return found.value, found.standard_deviation, *found.interval()

    @property
    def first_m(self) -> float:
        """The safe first mark."""
        return first_mark(self.hanging, self.placed)[0].set_m


def ask(case: Case) -> Asked:
    """The program's answer to the swap of a case."""
    hanging = _hanging(case, case.new, dict(case.new.settings), case.logged)
    groups = free_adjusters(hanging.tree, [], [])
    return Asked(case, hanging, place(hanging, groups, case.wanted_s))


def move_after(case: Case, test: simulated_rigs.Logged) -> float:
    """The fine move [m] after a drop test of the new build."""
    settings = dict(test.stand.settings)
    hanging = _hanging(case, test.build, settings, (*case.logged, test))
    times = test.drop.times
    sd = hanging.inference.observations.timing_sd[PERSON, test.drop.method] / len(times) ** 0.5
    told = measured(hanging, test.mean_s, sd, drop_factor(test.drop))
    return fine_move(hanging, told, case.wanted_s).now_m


def _endless(rig: Rig) -> Rig:
    """The rig without ends to its travels: a figure is wanted of every case."""
    adjusters = tuple(replace(adjuster, travel=None) for adjuster in rig.adjusters)
    return replace(rig, adjusters=adjusters)


def _hanging(
    case: Case,
    build: Build,
    settings: dict[str, Setting],
    logged: tuple[simulated_rigs.Logged, ...],
) -> Hanging:
    hung = Hung(build=build, version=f"{build.id}@2", settings=settings, day=case.on[:10])
    return Inference(kit_of(case.with_logged(*logged)), [hung]).stands[0]


def kit_of(case: Case) -> Kit:
    """What the program knows of a case: its documents and its log."""
    told = [
        (item, reading) for item in case.logged for reading in (item.drop, item.swing) if reading
    ]
    readings = [
        Logged(
            entry=f"{number:064x}",
            author=PERSON,
            reading=reading,
            hung=Hung(
                build=item.build,
                version=item.stand.version,
                settings=item.stand.settings,
                day=item.drop.on[:10],
            ),
        )
        for number, (item, reading) in enumerate(told)
    ]
    rigs = {name: _endless(rig) for name, rig in case.rigs.items()}
    return Kit(rigs=rigs, components=case.components, readings=tuple(readings))
