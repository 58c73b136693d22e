"""What `list` says: one line a thing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.records import Component, Rig
from riglog.records.readings.measured import mean_s
from riglog.units import convert
from riglog.wording import figures, kept, layout, masses, objects, readings

if TYPE_CHECKING:
    from riglog.jobs.listing import Built, ListAnswer, Read, Row, Thing
    from riglog.records.weighing_scale import WeighingScale

_HEADINGS = {
    "component": (("COMPONENT", "VERSION", "KIND", "MASS", "BY", "RECORDED", "WHO"), "<<<><<<"),
    "rig": (("RIG", "VERSION", "TYPE", "PIVOT", "RATED", "RECORDED", "WHO"), "<<<<><<"),
    "build": (("BUILD", "VERSION", "RIG", "MARK", "DROP", "WHEN", "WHO"), "<<<>><<"),
    "scale": (("SCALE", "VERSION", "STEP", "WITHIN", "CHECKED", "RECORDED", "WHO"), "<<>><<<"),
    "reading": (("BUILD", "TAKEN", "MARK", "WHAT", "WHO", "ENTRY"), "<<><<<"),
}
_NAMES = 12  # columns that a name has which gives way to others


def say(answer: ListAnswer) -> str:
    """A table with a heading."""
    if not answer.rows:
        return f"There are no {answer.kind}s yet."
    heading, align = _HEADINGS[answer.kind]
    yields = heading.index("WHAT") if "WHAT" in heading else 0
    table = layout.table(
        [heading, *(_cells(row, answer.unit) for row in answer.rows)], align, yields
    )
    return layout.page(table, layout.lines(_forks(answer)))


def _forks(answer: ListAnswer) -> str:
    """Which things have two newest versions."""
    names = dict.fromkeys(_cells(row, answer.unit)[0] for row in answer.rows if row.kept.forked)
    return f"Forked, and nobody settled which counts: {listed(names, 'and')}." if names else ""


def _cells(row: Row, unit: str) -> tuple[str, ...]:
    from riglog.jobs.listing import Built, Thing

    if isinstance(row, Built):
        return _build(row)
    if isinstance(row, Thing):
        noun, day, who = row.noun, kept.day(row.kept.at), kept.who(row.kept.author)
        return (noun.id, row.kept.version, *_thing(noun, unit), day, who)
    return _reading(row)


def _thing(noun: Component | Rig | WeighingScale, unit: str) -> tuple[str, ...]:
    if isinstance(noun, Component):
        return _component(noun, unit)
    return _rig(noun) if isinstance(noun, Rig) else _scale(noun)


def _scale(scale: WeighingScale) -> tuple[str, ...]:
    within = masses.displayed(scale.linearity) if scale.linearity else "-"
    return masses.displayed(scale.resolution), within, scale.checked or "never"


def _component(component: Component, unit: str) -> tuple[str, ...]:
    by = component.by or (f"like {component.like}" if component.like else "-")
    return component.kind, _mass(component.mass, unit), layout.shortened(by, _NAMES)


def _mass(mass_kg: float | None, unit: str) -> str:
    if mass_kg is None:
        return "-"
    if unit == "in":
        return masses.weighed(mass_kg, unit)
    return f"{convert(mass_kg, 'g'):,.0f} g".replace(",", " ")


def _rig(rig: Rig) -> tuple[str, ...]:
    pivot = next((each for each in rig.adjusters if each.id == "pivot"), None)
    travel = "-"
    if pivot and pivot.travel:
        least, greatest = (figures.spoken(each, pivot) for each in pivot.travel)
        travel = f"{least} to {greatest} {pivot.unit}"
    rated = [load.greatest for load in rig.rated_load.values()]
    unit = pivot.unit if pivot else "mm"
    return rig.type, travel, masses.on_rig(min(rated), unit) if rated else "-"


def _build(row: Built) -> tuple[str, ...]:
    drop = row.drop
    return (
        row.noun.id,
        row.kept.version,
        layout.shortened(row.noun.rig, _NAMES),
        readings.mark(row.mark, row.pivot),
        figures.seconds(mean_s(drop.to_upright)) if drop else "-",
        kept.day(drop.on if drop else row.kept.at),
        kept.who(row.dropped_by or row.kept.author),
    )


def _reading(row: Read) -> tuple[str, ...]:
    what = readings.line(row.noun, row.pivot)
    return (
        layout.shortened(row.noun.build, _NAMES),
        kept.minute(row.noun.on),
        readings.mark(row.mark, row.pivot),
        what,
        kept.who(row.kept.author),
        kept.short(row.kept.entry),
    )


def tell(answer: ListAnswer) -> list[dict[str, Any]]:
    """An array, one object a row.

    Each begins with the id, under ``component``, ``rig`` or ``build``, and the version it is of:
    ``{"version", "name", "entry", "author", "at", "forked"}``. A component has ``mass_kg`` and
    what it says of itself; a build ``rig``, ``mode``, ``parts``, the mark where it stands and its
    last drop test, as ``{"pivot_mm", "drop_s", "dropped_on", "dropped_by"}``; a reading its
    ``kind``, ``on``, mark and figures.
    """
    return [_object(row) for row in answer.rows]


def _object(row: Row) -> dict[str, Any]:
    from riglog.jobs.listing import Built, Thing

    if isinstance(row, Built):
        return _build_json(row)
    if isinstance(row, Thing):
        return _thing_json(row)
    return reading_json(row)


def _thing_json(row: Thing) -> dict[str, Any]:
    noun = row.noun
    if isinstance(noun, Component):
        kind, told = "component", _component_json(noun)
    elif isinstance(noun, Rig):
        kind, told = "rig", _rig_json(noun)
    else:
        kind, told = "scale", _scale_json(noun)
    return {kind: noun.id, **kept.as_json(row.kept), **told}


def _scale_json(scale: WeighingScale) -> dict[str, Any]:
    return {
        "resolution_kg": objects.number(scale.resolution, "kg"),
        "linearity_kg": objects.number(scale.linearity, "kg"),
        "checked": scale.checked,
        "reference_kg": objects.number(scale.reference, "kg"),
        "showed_kg": objects.number(scale.showed, "kg"),
    }


def _component_json(component: Component) -> dict[str, Any]:
    return {
        "kind": component.kind,
        "mass_kg": objects.number(component.mass, "kg"),
        "by": component.by,
        "like": component.like,
        "serial": component.serial,
    }


def _rig_json(rig: Rig) -> dict[str, Any]:
    rated = {
        link: {
            "least_kg": objects.number(load.least, "kg"),
            "greatest_kg": objects.number(load.greatest, "kg"),
        }
        for link, load in rig.rated_load.items()
    }
    adjusters = [adjuster.id for adjuster in rig.adjusters]
    return {"type": rig.type, "adjusters": adjusters, "rated_load": rated}


def _build_json(row: Built) -> dict[str, Any]:
    drop = row.drop
    return {
        "build": row.noun.id,
        **kept.as_json(row.kept),
        "rig": row.noun.rig,
        "mode": row.noun.mode,
        "parts": [part.id for part in row.noun.parts],
        **readings.mark_json(row.mark),
        "drop_s": mean_s(drop.to_upright) if drop else None,
        "dropped_on": drop.on if drop else None,
        "dropped_by": row.dropped_by or None,
    }


def reading_json(row: Read) -> dict[str, Any]:
    """A reading, with the version of its build and the mark that it was taken at."""
    return {
        "build": row.noun.build,
        **kept.as_json(row.kept),
        **readings.mark_json(row.mark),
        **readings.figures_json(row.noun),
    }
