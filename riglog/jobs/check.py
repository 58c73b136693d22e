"""`check`: what was logged of a build against what was expected."""

from __future__ import annotations

from math import asin, atan
from typing import TYPE_CHECKING

from riglog.estimation.checking import Checked, forecast
from riglog.estimation.inference import Inference
from riglog.estimation.priors import together
from riglog.jobs.answers import Value
from riglog.jobs.check_answers import CheckAnswer, CheckedReading, Disputed, Said, Weighed
from riglog.jobs.common import TELLS_NOTHING_M, named
from riglog.jobs.drop_times import drop_value
from riglog.jobs.evidence import evidence_of
from riglog.jobs.listing import Pivots, read
from riglog.library.earlier import Past
from riglog.library.evidence import kit_for, logged
from riglog.library.standing import moment
from riglog.records import Build, from_body

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from riglog.estimation.held import Held
    from riglog.estimation.kit import Logged, Weighing
    from riglog.jobs.check_answers import What
    from riglog.library import Library, Standing
    from riglog.logbook import Entry, Version
    from riglog.records import Adjuster

_WHAT: Mapping[str, What] = {
    "drop": "drop",
    "weight": "mass",
    "height": "neutral",
    "lean": "lean",
    "side": "side",
    "friction": "hold",
    "spin": "pan",
}


def _holds(share: float) -> float:
    """The tilt at which friction that is such a share of M g r holds a rig."""
    return asin(min(max(share, 0.0), 1.0))


# What is claimed as a share of the height, as the angle that a person reads.
_ANGLES: Mapping[str, Callable[[float], float]] = {
    "lean": atan,
    "side": atan,
    "friction": _holds,
    "spin": float,
}


def check(library: Library, build: str | None) -> CheckAnswer:
    """Hold every reading of a build against the others, and against what was known before it.

    Those of the version that is meant, and of the versions that it came from.

    Raises
    ------
    CallError, NotFoundError, AmbiguousError, ForkError
        If the words do not name one version of a build.
    """
    standing = library.standing(build)
    versions = _versions(library, standing)
    taken = _taken(library, standing, versions)
    here = standing.hung(standing.since[:10])
    entries = [entry for entry, _ in taken]
    kit = kit_for(library.logbook, [here], [], entries)
    checked = Checked(kit, [here, *(each.hung for _, each in taken)])
    readings = _readings(library, versions, taken, checked)
    by_entry = {each.read.kept.entry: each for each in readings}
    hanging = checked.inference.stands[0]
    evidence = evidence_of(hanging)
    return CheckAnswer(
        named=named(standing, hanging),
        pivot=hanging.tree.scales[hanging.tree.pivot],
        readings=readings,
        outstanding=[by_entry[entry] for entry in checked.outstanding if entry in by_entry],
        limit=checked.limit,
        evidence=evidence,
        disputed=[_disputed(name, kit.weighings[name]) for name in evidence.disputed],
    )


def _versions(library: Library, standing: Standing) -> dict[str, Version]:
    """The version that is meant and all that it came from, by their entries."""
    log = library.logbook
    meant = {standing.entry, *(each.id for each in log.ancestors(standing.entry))}
    versions = log.versions("build", standing.build.id)
    return {each.entry.id: each for each in versions if each.entry.id in meant}


def _taken(
    library: Library, standing: Standing, versions: dict[str, Version]
) -> list[tuple[Entry, Logged]]:
    """Readings of these versions: in the order of the versions, and of each as they were taken."""
    place = {entry: number for number, entry in enumerate(versions)}
    builds = {entry: from_body(Build, each.entry.body) for entry, each in versions.items()}
    found = [
        (place[of], moment(entry.body["on"]), entry.seq, entry, of)
        for entry in library.logbook.readings_of(standing.build.id)
        if (of := entry.body["stand"]["version"]) in place
    ]
    return [
        (entry, logged(entry, builds[of], of))
        for *_, entry, of in sorted(found, key=lambda each: each[:3])
    ]


def _readings(
    library: Library,
    versions: dict[str, Version],
    taken: Sequence[tuple[Entry, Logged]],
    checked: Checked,
) -> list[CheckedReading]:
    pivots, past = Pivots(library), Past(library.logbook)
    kept_out = {each.entry: why for each, why in checked.inference.kept_out}
    found = []
    for entry, each in taken:
        if entry.id not in checked.held:  # as written again, which counts once and is told once
            continue
        row = read(entry, versions, pivots)
        known = kit_for(past.before(entry), [each.hung], [])
        before = forecast(Inference(known, [each.hung]), each)
        found.append(
            CheckedReading(
                read=row,
                said=tuple(map(_said, before, checked.held[entry.id], [row.pivot] * len(before))),
                stands_out=entry.id in checked.outstanding,
                wild=checked.wild.get(entry.id),
                kept_out=kept_out.get(entry.id, ()),
            )
        )
    return found


def _disputed(component: str, found: Sequence[Weighing]) -> Disputed:
    weighings = [
        Weighed(each.mass_kg, each.sd_kg, each.author, each.at, each.by, each.entry)
        for each in found
    ]
    return Disputed(component, weighings, *together(found))


def _said(before: Held, now: Held, pivot: Adjuster) -> Said:
    expected, expects = _expected(before, pivot), _expected(now, pivot)
    return Said(
        _WHAT[now.claim.kind],
        _figure(now),
        expected,
        None if expected is None else before.deviations,
        expects,
        None if expects is None else now.deviations,
    )


def _figure(held: Held) -> float:
    return _ANGLES.get(held.claim.kind, float)(held.claim.value)


def _expected(held: Held, pivot: Adjuster) -> Value | None:
    """What the others expect of a claim as a person reads it; None where that says nothing."""
    predicted = held.predicted
    if held.claim.kind == "weight":
        return Value(predicted.value, *predicted.interval())
    if predicted.standard_deviation > TELLS_NOTHING_M and held.claim.kind != "spin":
        return None
    if held.claim.kind == "drop":
        return drop_value(predicted, held.gyration_m2, held.claim.factor)
    ends = (predicted.value, *predicted.interval())
    if held.claim.kind == "height":
        return _ordered(*(pivot.scale.reading(each) for each in ends))
    if held.depth_m <= 0:
        return None
    angle = _ANGLES[held.claim.kind]
    return _ordered(*(angle(held.sense * each / held.depth_m) for each in ends))


def _ordered(value: float, *ends: float) -> Value:
    return Value(value, min(ends), max(ends))
