"""What `inertia` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.wording import doubts, figures, layout, objects

if TYPE_CHECKING:
    from riglog.jobs.measure_answers import Figure, InertiaAnswer


def say(answer: InertiaAnswer) -> str:
    """The moment of inertia, and what shape and size said."""
    return layout.page(
        layout.wrapped(
            f"The inertia of {answer.component} about {answer.about} is {_inertia(answer.now)}."
        ),
        layout.facts(
            [
                ("measured", f"{_inertia(answer.measured)} by {answer.how}"),
                ("one swing", f"{answer.period_s:.3f} s"),
                ("before", _inertia(answer.guessed)),
            ]
        ),
        layout.lines(*doubts.sentences(answer.warnings)),
    )


def _inertia(figure: Figure) -> str:
    return figures.inertia_between(figure.between)


def tell(answer: InertiaAnswer) -> dict[str, Any]:
    """The moment of inertia about an axis through the center of gravity, as one object.

    ``{"component", "entry", "about", "how", "period_s", "inertia_kg_m2", "inertia_sd_kg_m2",
    "measured_kg_m2", "measured_sd_kg_m2", "before_kg_m2", "before_sd_kg_m2", "warnings"}``
    """
    return {
        "component": answer.component,
        "entry": answer.entry,
        "about": answer.about,
        "how": answer.how,
        "period_s": answer.period_s,
        **_figure("inertia", answer.now),
        **_figure("measured", answer.measured),
        **_figure("before", answer.guessed),
        "warnings": objects.warnings(doubts.messages(answer.warnings)),
    }


def _figure(name: str, figure: Figure) -> dict[str, Any]:
    return {
        f"{name}_kg_m2": objects.number(figure.value, "kg m2"),
        f"{name}_sd_kg_m2": objects.number(figure.sd, "kg m2"),
    }
