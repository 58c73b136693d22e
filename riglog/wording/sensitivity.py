"""What 100 g here or there do, and what small things do: trim first, said first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import evidence, figures, layout, masses, objects, warned
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
    from riglog.records import Adjuster
    from riglog.wording.objects import Json

_PLACES = {
    "lens-front": "in front of the lens",
    "camera-top": "on top of the camera",
    "camera-back": "behind the camera",
    "base": "on the base",
}


def say(answer: SensitivityAnswer) -> str:
    """The answer as a page of text; its first line says what to do first."""
    terms = _terms(answer)
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    about = (
        f"{answer.named.build} about {figures.seconds(answer.drop_s)}. LEAN is how it hangs if"
        " nobody trims it again; the moves bring it back."
    )
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.lines(about if answer.shifts else ""),
        layout.table(list(_rows(answer, terms)), "<>><<") if answer.shifts else "",
        layout.listing("Mind:", told),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def tell(answer: SensitivityAnswer) -> Json:
    """What small changes do, as one object.

    ``{"build", "version", "entry", "drop_s", "lean_now_deg", "slide", "shifts", "evidence",
    "warnings"}``

    Each of ``shifts`` is ``{"what", "name", "old", "mass_g", "lean_deg", "turns_over", "pivot_mm",
    "slide_mm"}``: ``what`` is place (100 g at lens-front, camera-top, camera-back or base), off,
    on or swap; ``lean_deg`` how it hangs if nobody trims it again; ``pivot_mm`` and ``slide_mm``
    the moves along the rig's axes, up and forward positive, that bring it back to ``drop_s`` and to
    upright; on guides that lie fore and aft another adjuster's name stands for ``pivot`` there.
    ``slide`` is the adjuster that trims it, or null.
    """
    return {
        **objects.named(answer.named),
        "drop_s": objects.number(answer.drop_s, "s"),
        "lean_now_deg": objects.number(answer.lean_now_rad, "deg"),
        "slide": answer.slide_name,
        "shifts": [_told(each, answer.sets) for each in answer.shifts],
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(warned.messages(answer.warnings, _terms(answer))),
    }


def _told(shift: Shift, sets: str) -> Json:
    return {
        "what": shift.what,
        "name": shift.name,
        "old": shift.old or None,
        "mass_g": objects.number(shift.mass_kg, "g"),
        "lean_deg": objects.number(shift.lean_rad, "deg"),
        "turns_over": shift.turns_over,
        f"{sets}_mm": objects.number(shift.lift_m, "mm"),
        "slide_mm": objects.number(shift.slide_m, "mm"),
    }


def _terms(answer: SensitivityAnswer) -> Terms:
    scales = {PIVOT: answer.scale, answer.sets: answer.scale}
    if answer.slide_name is not None and answer.slide is not None:
        scales[answer.slide_name] = answer.slide
    return Terms(answer.named.type, answer.named.mode, scales, answer.sets)


def _spoken(answer: SensitivityAnswer, terms: Terms) -> str:
    """Of the places the one that shows most: what to do first, and what then."""
    places = [each for each in answer.shifts if each.what == "place"]
    if not places:
        return f"{answer.named.build}: no camera, lens or battery is listed to put weight on."
    worst = max(places, key=lambda each: (each.turns_over, abs(each.lean_rad)))
    where = f"{masses.on_rig(worst.mass_kg, terms.unit)} {_PLACES.get(worst.name, worst.name)}"
    lift = f"{terms.lift} {_lift(worst, answer, terms)}"
    if worst.turns_over:
        return f"{where}: hold it, it would turn over; trim first, then {lift}."
    return f"{where}: trim first, it would hang {warned.leaning(worst.lean_rad)}; then {lift}."


def _rows(answer: SensitivityAnswer, terms: Terms) -> Iterator[list[str]]:
    slide = "" if answer.slide_name is None else f"{terms.labeled(answer.slide_name)}"
    units = [
        f", {scale.unit}" if scale is not None else "" for scale in (answer.slide, answer.scale)
    ]
    yield ["", masses.small(terms.unit), "LEAN", f"{slide}{units[0]}", f"{terms.lift}{units[1]}"]
    for shift in answer.shifts:
        yield [
            _named(shift),
            masses.in_column(shift.mass_kg, terms.unit, signed=True),
            "turns over" if shift.turns_over else _lean(shift.lean_rad),
            "" if shift.slide_m is None or answer.slide is None else _slid(shift, answer.slide),
            _lift(shift, answer, terms),
        ]


def _lean(lean_rad: float) -> str:
    degrees = figures.whole_degrees(lean_rad)
    if degrees == figures.whole_degrees(0.0):
        return degrees
    return f"{degrees} {'down' if lean_rad > 0 else 'up'}"


def _named(shift: Shift) -> str:
    name = layout.harmless(shift.name)
    return {
        "place": _PLACES.get(shift.name, name),
        "off": f"{name} off",
        "on": f"{name} on",
        "swap": f"{name} for {layout.harmless(shift.old)}",
    }.get(shift.what, name)


def _slid(shift: Shift, slide: Adjuster) -> str:
    assert shift.slide_m is not None
    return _way(shift.slide_m, slide, "forward", "back")


def _lift(shift: Shift, answer: SensitivityAnswer, terms: Terms) -> str:
    up = shift.lift_m if terms.mode == "high" else -shift.lift_m
    return _way(up, answer.scale, "up", "down")


def _way(by_m: float, scale: Adjuster, plus: str, minus: str) -> str:
    """Which way and how far, finer than the scale: it is what 100 g do, not where to go."""
    shown = figures.fine(abs(by_m), scale.unit)
    if float(shown) == 0:
        return "stays"
    return f"{plus if by_m > 0 else minus} {shown}"
