"""The answer to a lean that was read: what is the rig's, and what its gimbal's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import (
    cautions,
    evidence,
    figures,
    layout,
    lean_sides,
    moves,
    objects,
    readings,
    warned,
    ways,
)  # fmt: skip
from riglog.wording.terms import Terms, terms_of

if TYPE_CHECKING:
    from riglog.jobs.answers import Value
    from riglog.jobs.lean_answers import LeanAnswer, Way
    from riglog.wording.objects import Json

_LIES = {"lean": ("ahead of", "behind"), "side": ("to the left of", "to the right of")}
_PLUS = {"lean": "+ forward", "side": "+ left"}
_LOW = {"lean": ("nose down", "nose up"), "side": ("right side low", "left side low")}
_ALONG = {"lean": "fore and aft", "side": "side to side"}


def say(answer: LeanAnswer) -> str:
    """The answer as a page of text; its first line tells what needs attention."""
    terms = terms_of(answer.named, answer.pivot)
    told_ways = [_as_it_hangs(way, terms) for way in answer.ways]
    rows = [row for way in told_ways for row in _rows(way, terms)]
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    told += cautions.sentences(answer.cautions)
    return layout.page(
        layout.lines(*(_spoken(way, terms) for way in told_ways)),
        layout.lines(*(line for way in told_ways for line in lean_sides.told(way, terms))),
        layout.lines(_recorded(answer)),
        layout.facts(rows) if rows else "",
        layout.lines(_reverse(answer)),
        layout.listing(cautions.heading("Mind", answer.cautions), told),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def tell(answer: LeanAnswer) -> Json:
    """What of a lean is the rig's and what its gimbal's, as one object.

    ``{"build", "version", "entry", "recorded", "reading", "pivot_mm", "ways", "reverse",
    "cautions", "evidence", "warnings"}``

    ``ways`` holds fore and aft (``"along": "lean"``) and side to side (``"side"``) as far as they
    were read, each ``{"along", "read_deg", "rig_mm", "rig_deg", "gimbal_mm", "gimbal_deg",
    "attention", "slide", "sides"}``. ``rig_mm`` is how far the center of gravity is forward or left
    of the axis that the rig pans about, ``gimbal_mm`` how far the gimbal's tilt axis is, each
    ``{"value", "low", "high"}`` in the rig frame, whose left is on the operator's right in low
    mode; ``rig_deg`` and ``gimbal_deg`` what each leans the rig by. Of the gimbal they are null
    unless leans were read with the rig panned both ways, which ``reverse`` then asks for.
    ``attention`` is ``rig``, ``gimbal``, ``both`` or ``none``; ``slide`` is ``{"adjuster",
    "move_mm", "low_mm", "high_mm", "toward"}``, which takes the rig's share out. To
    the side a ring hangs as its two pivots stand: ``rig_mm`` is null and ``sides``
    ``{"left_move_mm", "right_move_mm", "left_to_mm", "right_to_mm", "unlike_deg"}``, half each way;
    ``unlike_deg`` is the cant that the readings do not tell, null where they do.
    """
    terms = terms_of(answer.named, answer.pivot)
    return {
        **objects.named(answer.named),
        "recorded": answer.recorded,
        "reading": readings.figures_json(answer.reading),
        **readings.mark_json(answer.mark),
        "ways": [_way_json(way) for way in answer.ways],
        "reverse": answer.reverse,
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(warned.messages(answer.warnings, terms)),
    }


def _way_json(way: Way) -> Json:
    return {
        "along": way.along,
        "read_deg": objects.number(way.read_rad, "deg"),
        "rig_mm": objects.value(way.rig_m, "mm"),
        "rig_deg": objects.number(way.rig_rad, "deg"),
        "gimbal_mm": None if way.gimbal_m is None else objects.value(way.gimbal_m, "mm"),
        "gimbal_deg": objects.number(way.gimbal_rad, "deg"),
        "attention": way.attention,
        "slide": None if way.slide is None else {
            "adjuster": way.slide.name,
            "move_mm": objects.number(way.slide.move_m.value, "mm"),
            "low_mm": objects.number(way.slide.move_m.low, "mm"),
            "high_mm": objects.number(way.slide.move_m.high, "mm"),
            "toward": way.slide.toward,
        },
        "sides": lean_sides.tell(way.sides),
    }  # fmt: skip


def _as_it_hangs(way: Way, terms: Terms) -> Way:
    """What lies to a side, as the operator has it."""
    if way.along == "lean":
        return way
    gimbal_m = None if way.gimbal_m is None else ways.as_it_hangs(way.gimbal_m, terms)
    return way._replace(rig_m=ways.as_it_hangs(way.rig_m, terms), gimbal_m=gimbal_m)


def _spoken(way: Way, terms: Terms) -> str:
    along = _ALONG[way.along]
    if way.gimbal_m is None:
        leans = f"It leans {_leaning(way.along, way.read_rad)}"
        in_trim = way.attention == "none"
        return f"{leans}: {f'in trim {along}' if in_trim else _slide(way, terms)}."
    if way.attention == "none":
        return f"Rig and gimbal are both in order {along}."
    gimbal = f"center the gimbal, whose axis lies {_off(way, way.gimbal_m, terms)} its middle"
    if way.attention == "gimbal":
        return layout.capital(f"{gimbal}; the rig itself is in trim {along}.")
    if way.attention == "rig":
        rig = _trim_the_rig(way, "the middle", terms)
        return layout.capital(f"{rig}; the gimbal is centered {along}.")
    return layout.capital(f"{gimbal}; then {_trim_the_rig(way, 'it', terms)}.")


def _trim_the_rig(way: Way, middle: str, terms: Terms) -> str:
    return f"trim the rig, which lies {_off(way, way.rig_m, terms)} {middle}: {_slide(way, terms)}"


def _off(way: Way, known_m: Value, terms: Terms) -> str:
    """How far off and which way: ``0.18 mm behind``."""
    off = known_m.value or 0.0
    return f"{figures.finer(abs(off), terms.unit)} {terms.unit} {_LIES[way.along][off < 0]}"


def _slide(way: Way, terms: Terms) -> str:
    """``stage back 1.5``; by the lean where its scale does not show so little."""
    if terms.type == "ring" and way.along == "side":
        return lean_sides.called_out(way, terms)
    if way.slide is None:
        return f"move weight {_ALONG[way.along]} until it hangs upright"
    slide = way.slide
    terms = terms._replace(scales={**terms.scales, slide.name: slide.adjuster})
    moved = f"{layout.harmless(terms.called(slide.name))} {slide.toward}"
    if moves.is_less_than_half_a_step(slide.move_m.value, slide.adjuster):
        return f"{moved} by less than a step, until it hangs upright"
    return f"{moved} {figures.distance(slide.move_m.value, slide.adjuster)}"


def _leaning(along: str, angle_rad: float) -> str:
    return f"{figures.degrees(angle_rad)}, {_LOW[along][angle_rad < 0]}"


def _recorded(answer: LeanAnswer) -> str:
    at = "" if answer.mark is None else f" at {readings.mark(answer.mark, answer.pivot)}"
    what = readings.figures_of(answer.reading, answer.pivot)
    return f"{answer.named.build}{at}: {what}. Recorded as {evidence.entry(answer.recorded)}."


def _rows(way: Way, terms: Terms) -> list[tuple[str, str]]:
    """Both shares, where they are told apart."""
    if way.gimbal_m is None or way.gimbal_rad is None:
        return []
    plus = _PLUS[way.along]
    return [
        (f"rig, {plus}", _share(way.rig_m, way.rig_rad, way.along, terms)),
        (f"gimbal, {plus}", _share(way.gimbal_m, way.gimbal_rad, way.along, terms)),
    ]


def _share(known_m: Value, angle_rad: float, along: str, terms: Terms) -> str:
    ends = (known_m.value, known_m.low, known_m.high)
    off, low, high = ("" if end is None else figures.finer(end, terms.unit) for end in ends)
    return f"{off} {terms.unit} ({low} to {high}), leans it {_leaning(along, angle_rad)}"


def _reverse(answer: LeanAnswer) -> str:
    if not answer.reverse:
        return ""
    if answer.reading.pan is None:
        return (
            "Read it again panned to 0 deg and half round, as --pan 180deg: that tells the rig's"
            " trim from the centering of its gimbal."
        )
    return (
        "Read it again panned half round from there: that tells the rig's trim from the centering"
        " of its gimbal."
    )
