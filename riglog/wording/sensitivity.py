"""What 100 g here or there do, and what small things do: trim first, said first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import evidence, figures, layout, masses, objects, warned
from riglog.wording.terms import PIVOT, Terms

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from riglog.jobs.answers import Value
    from riglog.jobs.sensitivity_answers import SensitivityAnswer, Shift
    from riglog.records import Adjuster
    from riglog.wording.objects import Json

_OVER = "over"
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
    rows = list(_rows(answer, terms))
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.lines(_about(answer, rows) if answer.shifts else ""),
        layout.table(rows, "<>><<") if answer.shifts else "",
        layout.listing("Mind:", told),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def tell(answer: SensitivityAnswer) -> Json:
    """What small changes do, as one object.

    ``{"build", "version", "entry", "drop_s", "lean_now_deg", "slide", "shifts", "evidence",
    "warnings"}``

    Each of ``shifts`` is ``{"what", "name", "old", "mass_g", "lean_deg", "lean_low_deg",
    "lean_high_deg", "turns_over", "pivot_mm", "pivot_low_mm", "pivot_high_mm", "slide_mm",
    "slide_low_mm", "slide_high_mm"}``: ``what`` is place (100 g at lens-front, camera-top,
    camera-back or base), off, on or swap; ``lean_deg`` how it hangs if nobody trims it again;
    ``pivot_mm`` and ``slide_mm`` the moves along the rig's axes, up and forward positive, that
    bring it back to ``drop_s`` and to upright; on guides that lie fore and aft another adjuster's
    name stands for ``pivot`` there. ``low`` and ``high`` are bounds of 95 %; a bound of
    the lean is null where it may turn over. ``slide`` is the adjuster that trims it, or null.
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
        **objects.bounded("lean", None if shift.turns_over else shift.lean_rad, "deg"),
        "lean_deg": objects.number(shift.lean_rad.value, "deg"),
        "turns_over": shift.turns_over,
        **objects.bounded(sets, shift.lift_m, "mm"),
        **objects.bounded("slide", shift.slide_m, "mm"),
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
    worst = max(places, key=lambda each: (each.turns_over, abs(_lean(each))))
    where = f"{masses.on_rig(worst.mass_kg, terms.unit)} {_PLACES.get(worst.name, worst.name)}"
    lift = f"{terms.lift} {' '.join(_lift(worst, answer, terms))}".rstrip()
    if worst.turns_over:
        return f"{where}: hold it, it would turn over; trim first, then {lift}."
    return f"{where}: trim first, it would hang {warned.leaning(_lean(worst))}; then {lift}."


def _about(answer: SensitivityAnswer, rows: Sequence[Sequence[str]]) -> str:
    """What the columns are; how sure they are."""
    between = any(cell.startswith("(") for row in rows for cell in row)
    sure = (
        "In brackets: between what it lies (95 %); without them it is sure to its last place."
        if between
        else "Every figure is sure to its last place (95 %)."
    )
    return (
        f"{answer.named.build} about {figures.seconds(answer.drop_s)}. LEAN is how it hangs if"
        f" nobody trims it again; the moves bring it back. {sure}"
    )


def _rows(answer: SensitivityAnswer, terms: Terms) -> Iterator[list[str]]:
    slide = "" if answer.slide_name is None else f"{terms.labeled(answer.slide_name)}"
    units = [
        f", {scale.unit}" if scale is not None else "" for scale in (answer.slide, answer.scale)
    ]
    yield ["", masses.small(terms.unit), "LEAN", f"{slide}{units[0]}", f"{terms.lift}{units[1]}"]
    for shift in answer.shifts:
        told = (_leans(shift), _slid(shift, answer.slide), _lift(shift, answer, terms))
        yield [
            _named(shift),
            masses.in_column(shift.mass_kg, terms.unit, signed=True),
            *(cell for cell, _ in told),
        ]
        if any(between for _, between in told):
            yield ["", "", *(between for _, between in told)]


def _named(shift: Shift) -> str:
    name = layout.harmless(shift.name)
    return {
        "place": _PLACES.get(shift.name, name),
        "off": f"{name} off",
        "on": f"{name} on",
        "swap": f"{name} for {layout.harmless(shift.old)}",
    }.get(shift.what, name)


def _lean(shift: Shift) -> float:
    return shift.lean_rad.value or 0.0


def _leans(shift: Shift) -> tuple[str, str]:
    """How it hangs untrimmed, and between what; of one that turns over nothing more."""
    if shift.turns_over:
        return "turns over", ""
    lean = _degrees(_lean(shift))
    way = "" if lean == "0" else " down" if _lean(shift) > 0 else " up"
    return f"{lean} deg{way}", _between(shift.lean_rad, _degrees)


def _degrees(angle_rad: float) -> str:
    return figures.whole_degrees(angle_rad).removesuffix(" deg")


def _slid(shift: Shift, slide: Adjuster | None) -> tuple[str, str]:
    if shift.slide_m is None or slide is None:
        return "", ""
    return _moved(shift.slide_m, slide, "forward", "back")


def _lift(shift: Shift, answer: SensitivityAnswer, terms: Terms) -> tuple[str, str]:
    ways = ("up", "down") if terms.mode == "high" else ("down", "up")
    return _moved(shift.lift_m, answer.scale, *ways)


def _moved(by_m: Value, scale: Adjuster, plus: str, minus: str) -> tuple[str, str]:
    """Which way and how far, finer than the scale: it is what 100 g do, not where to go."""

    def figure(value_m: float) -> str:
        return figures.fine(abs(value_m), scale.unit)

    value_m = by_m.value or 0.0
    shown = figure(value_m)
    way = f"{plus if value_m > 0 else minus} {shown}" if float(shown) else "stays"
    return way, _between(by_m, figure)


def _between(known: Value, figure: Callable[[float], str]) -> str:
    """Between what a figure lies the way it goes, less than zero the other way.

    Nothing where the figure says as much.
    """
    assert known.value is not None
    if known.low is None and known.high is None:
        return "(may turn over)"
    ends = [known.low, known.high] if known.value >= 0 else [known.high, known.low]
    sign = 1.0 if known.value >= 0 else -1.0
    told = [_OVER if each is None else _signed(sign * each, figure) for each in ends]
    return "" if set(told) == {figure(known.value)} else f"({told[0]} to {told[1]})"


def _signed(value: float, figure: Callable[[float], str]) -> str:
    shown = figure(value)
    return f"-{shown}" if value < 0 and float(shown) else shown
