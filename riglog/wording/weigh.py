"""What `weigh` says of a component."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import doubts, kept, layout, masses, objects

if TYPE_CHECKING:
    from riglog.jobs.measure_answers import Figure, WeighAnswer, Weighed


def say(answer: WeighAnswer) -> str:
    """The mass as it is known now, what it was before, and all that tells it."""
    rows = (_row(each, answer.unit) for each in answer.weighings)
    return layout.page(
        layout.wrapped(_first(answer)),
        layout.table([_HEADING, *rows], "<<<<") if answer.known.now else "",
        layout.lines(*doubts.sentences(answer.warnings, answer.unit)),
    )


_HEADING = ("WHEN", "WHO", "BY", "MASS")


def _first(answer: WeighAnswer) -> str:
    known = answer.known
    if known.now is None:
        return f"Nobody weighed {answer.component} yet: riglog weigh {answer.component} 1.12kg"
    now = f"{answer.component} weighs {masses.between(known.now.between, answer.unit)}."
    if known.measured is None or known.before is None:
        return now
    off = masses.difference(known.measured.value - known.before.value, answer.unit)
    before = masses.between(known.before.between, answer.unit)
    return f"{now} Before: {before}; this weighing {off}."


def _row(weighed: Weighed, unit: str) -> tuple[str, ...]:
    by = layout.shortened(weighed.by or "-", 20)
    return (
        kept.minute(weighed.on),
        kept.who(weighed.author),
        by,
        masses.between(weighed.mass.between, unit),
    )


def tell(answer: WeighAnswer) -> dict[str, Any]:
    """The mass as it is known now, and all that tells it, as one object.

    ``{"component", "entry", "mass_kg", "mass_sd_kg", "before_kg", "before_sd_kg", "measured_kg",
    "measured_sd_kg", "surprise_sd", "weighings", "warnings"}``

    ``weighings`` hold ``{"on", "author", "by", "mass_kg", "mass_sd_kg"}``; ``entry`` is null where
    nothing was recorded.
    """
    known = answer.known
    return {
        "component": answer.component,
        "entry": answer.entry or None,
        **_figure("mass", known.now),
        **_figure("before", known.before),
        **_figure("measured", known.measured),
        "surprise_sd": known.surprise,
        "weighings": [
            {
                "on": each.on,
                "author": each.author,
                "by": each.by,
                **_figure("mass", each.mass),
            }
            for each in answer.weighings
        ],
        "warnings": objects.warnings(doubts.messages(answer.warnings, answer.unit)),
    }


def _figure(name: str, figure: Figure | None) -> dict[str, Any]:
    value, sd = figure or (None, None)
    return {f"{name}_kg": objects.number(value, "kg"), f"{name}_sd_kg": objects.number(sd, "kg")}
