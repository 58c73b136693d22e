"""What `weigh` says of a whole build."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import doubts, layout, masses, objects

if TYPE_CHECKING:
    from riglog.jobs.measure_answers import WholeAnswer


def say(answer: WholeAnswer) -> str:
    """Whether the whole is what its parts add up to, within a tolerance that is said."""
    off, unit = answer.measured.value - answer.summed.value, answer.unit
    fits = abs(off) <= answer.tolerance_kg
    apart = f"{masses.difference(off, unit)} against the sum of its parts"
    verdict = "which fits" if fits else "which does NOT fit"
    first = (
        f"{answer.build} weighs {masses.between(answer.measured.between, unit)}: {apart}, {verdict}"
        f" (tolerance {masses.finely(answer.tolerance_kg, unit)})."
    )
    mend = "" if fits else "Look for a part missing, listed twice, exchanged or wrongly weighed."
    lump = ["all that is not listed"] if answer.unlisted else []
    bare = [*answer.unweighed, *lump]
    unweighed = f"Never weighed: {listed(bare, 'and')}; the tolerance is mostly theirs."
    return layout.page(
        layout.wrapped(first),
        layout.facts(
            [
                ("sum of its parts", masses.between(answer.summed.between, unit)),
                ("on the scale", masses.between(answer.measured.between, unit)),
            ]
        ),
        layout.lines(mend, unweighed if bare else "", *doubts.sentences(answer.warnings, unit)),
    )


def tell(answer: WholeAnswer) -> dict[str, Any]:
    """The whole against the sum of its parts, as one object.

    ``{"build", "version", "entry", "mass_kg", "mass_sd_kg", "parts_kg", "parts_sd_kg",
    "tolerance_kg", "fits", "unweighed", "unlisted", "warnings"}``
    """
    off = abs(answer.measured.value - answer.summed.value)
    return {
        "build": answer.build,
        "version": answer.version,
        "entry": answer.entry,
        "mass_kg": objects.number(answer.measured.value, "kg"),
        "mass_sd_kg": objects.number(answer.measured.sd, "kg"),
        "parts_kg": objects.number(answer.summed.value, "kg"),
        "parts_sd_kg": objects.number(answer.summed.sd, "kg"),
        "tolerance_kg": objects.number(answer.tolerance_kg, "kg"),
        "fits": off <= answer.tolerance_kg,
        "unweighed": list(answer.unweighed),
        "unlisted": answer.unlisted,
        "warnings": objects.warnings(doubts.messages(answer.warnings, answer.unit)),
    }
