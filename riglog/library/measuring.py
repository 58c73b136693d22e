"""What was measured on components by themselves: recorded, and read again."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from riglog.estimation.kit import Weighing, key_until
from riglog.estimation.measured import Measured
from riglog.estimation.priors import mass_sd
from riglog.library.clock import doubt
from riglog.library.recording import Recorded
from riglog.library.weighings import weighings
from riglog.logbook import Draft, now
from riglog.mechanics.weighing import shown_mass
from riglog.records import from_body, to_body
from riglog.records import measurements as nouns
from riglog.records.weighing_scale import WeighingScale

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.library.earlier import Log
    from riglog.logbook import Entry, Transaction

Scales = dict[str, WeighingScale | None]


class Found(NamedTuple):
    """What was measured on one thing by itself."""

    weighings: tuple[Weighing, ...] = ()
    measured: Measured = Measured()


def known_of(log: Log, name: str) -> Found:
    """All weighings of what goes by a name today, and what else was measured on it."""
    versions = log.versions("component", name)
    days = (version.entry.body.get("modified") for version in versions)
    epochs = {day for day in days if day}
    found = measured_by_thing(log, name, log.heads("measurement", name), sorted(epochs))
    own = found.get(name, Found())
    return own._replace(weighings=(*weighings(log, versions), *own.weighings))


def measured_by_thing(
    log: Log, name: str, entries: Iterable[Entry], epochs: Sequence[str]
) -> dict[str, Found]:
    """Measurements by the key of the thing that went by the name on that day.

    Parameters
    ----------
    epochs
        The days from which it was another thing, in order.
    """
    scales: Scales = {}
    found: dict[str, list[tuple[Entry, nouns.Measurement]]] = {}
    for entry in entries:
        noun = measurement_of(entry)
        until = next((day for day in epochs if noun.on[:10] < day), None)
        found.setdefault(key_until(name, until), []).append((entry, noun))
    return {key: _found(log, told, scales) for key, told in found.items()}


def measurement_of(entry: Entry) -> nouns.Measurement:
    """The measurement that an entry holds."""
    return from_body(nouns.MEASUREMENT_KINDS[entry.body["kind"]], entry.body)


def _found(log: Log, told: Sequence[tuple[Entry, nouns.Measurement]], scales: Scales) -> Found:
    masses = [
        weighed(noun, scale_of(log, noun.scale, scales), entry)
        for entry, noun in told
        if isinstance(noun, nouns.Weighing)
    ]
    centers = [each for _, each in told if isinstance(each, nouns.CenterOfGravity)]
    inertias = [each for _, each in told if isinstance(each, nouns.Inertia)]
    return Found(tuple(masses), Measured(centers, inertias))


def scale_of(log: Log, name: str | None, known: Scales) -> WeighingScale | None:
    """The scale of an id; none where nobody listed it."""
    if name is None:
        return None
    if name not in known:
        heads = log.heads("scale", name)
        known[name] = from_body(WeighingScale, heads[-1].body) if heads else None
    return known[name]


def weighed(
    weighing: nouns.Weighing, scale: WeighingScale | None, entry: Entry | None = None
) -> Weighing:
    """The mass that a weighing tells, and how well; ``entry`` is the one that holds it.

    Raises
    ------
    ValueError
        If the component has no mass left.
    """
    by_scale = scale if weighing.sd is None else None
    told = shown_mass(
        weighing.shown,
        weighing.without,
        resolution_kg=by_scale.resolution if by_scale else 1e-9,
        linearity_kg=by_scale.linearity if by_scale else 0.0,
        check_error=check_error(by_scale) if by_scale else 0.0,
    )
    stated = mass_sd(told.mass_kg, weighing.sd, weighing.by)
    return Weighing(
        mass_kg=told.mass_kg,
        sd_kg=hypot(told.random_sd_kg, told.common_sd_kg) if by_scale else stated,
        author=entry.author if entry else "",
        at=weighing.on,
        by=weighing.scale or weighing.by,
        modified=None,
        entry=entry.id if entry else "",
        scale=by_scale.id if by_scale else None,
        common_sd_kg=told.common_sd_kg,
    )


def check_error(scale: WeighingScale) -> float:
    """Share by which a scale was off when it was last checked; nothing where it never was."""
    if scale.reference is None or scale.showed is None:
        return 0.0
    return scale.showed / scale.reference - 1.0


def planned_measurement(log: Log, measurement: nouns.Measurement) -> Recorded:
    """What ``record_measurement`` would do, without doing it."""
    name, on = measurement.component, measurement.on
    if entry := _same(log, measurement):
        return Recorded("measurement", name, "same", entry=entry, on=on)
    return Recorded("measurement", name, "new", on=on, doubt=doubt(on, now()))


def record_measurement(log: Transaction, measurement: nouns.Measurement, author: str) -> Recorded:
    """Record a measurement; one that is equal as written to one recorded is not recorded again."""
    plan = planned_measurement(log, measurement)
    if plan.what == "same":
        return plan
    draft = Draft(
        kind="measurement",
        subject=measurement.component,
        at=now(),
        author=author,
        body=to_body(measurement),
    )
    (entry,) = log.append([draft])
    return plan._replace(entry=entry.id)


def _same(log: Log, measurement: nouns.Measurement) -> str:
    """The entry of a measurement that is equal as written; empty if there is none."""
    body = to_body(measurement)
    there = log.heads("measurement", measurement.component)
    return next((entry.id for entry in there if entry.body == body), "")
