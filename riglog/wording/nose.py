"""How far off trim it hangs, as drops with their nose told have it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import figures, moves, objects
from riglog.wording.layout import harmless

if TYPE_CHECKING:
    from riglog.jobs.nose_answers import Bounds, Off
    from riglog.wording.objects import Json
    from riglog.wording.terms import Terms


def trim_first(off: Off | None, terms: Terms) -> str:
    """What is called out where it hangs so far off that trimming comes first; else nothing."""
    if off is None or not off.first:
        return ""
    return f"Trim first: {_move(off, _with_slide(off, terms))}, then drop again."


def told(off: Off | None, terms: Terms) -> str:
    """What the two noses say, as an offset and as a move of the slide; nothing where none did."""
    if off is None:
        return ""
    unit = terms.unit
    terms = _with_slide(off, terms)
    if not off.told:
        untold = "Which way it hangs off trim that does not tell."
        return " ".join(filter(None, (_times(off), untold, _better(off))))
    lies = f"{figures.fine(abs(off.forward_m.value), unit)} {unit} {_side(off.forward_m.value)}"
    bounds = figures.span(*_one_way(off.forward_m), unit)
    found = f"The center of gravity lies {lies} the pivot ({bounds})"
    return " ".join(filter(None, (_times(off), f"{found}: {_move(off, terms)}.", _better(off))))


def tell(off: Off | None) -> Json | None:
    """``{"up_s", "down_s", "forward_mm", "adjuster", "move_mm", "toward", "first", ...}``.

    The rest is ``"told"`` and ``"apart"``.
    """
    if off is None:
        return None
    slide = off.slide
    return {
        "up_s": objects.number(off.up_s, "s"),
        "down_s": objects.number(off.down_s, "s"),
        "forward_mm": _bounds(off.forward_m),
        "adjuster": slide and slide.name,
        "move_mm": slide and _bounds(slide.move_m),
        "toward": slide.toward if slide else "",
        "first": off.first,
        "told": off.told,
        "apart": off.apart,
    }


def _with_slide(off: Off, terms: Terms) -> Terms:
    """The words, with those for the slide."""
    if off.slide is None:
        return terms
    return terms._replace(scales={**terms.scales, off.slide.name: off.slide.adjuster})


def _bounds(known: Bounds) -> Json:
    return {name: objects.number(known_m, "mm") for name, known_m in known._asdict().items()}


def _times(off: Off) -> str:
    if off.up_s is None or off.down_s is None:
        return ""
    up, down = figures.hundredths(off.up_s), figures.hundredths(off.down_s)
    return f"Nose up {up}, nose down {down}."


def _move(off: Off, terms: Terms) -> str:
    """``stage back 1.5 (0.2 to 2.8)``; where no slide is listed, the way that weight has to go."""
    if off.slide is None:
        return f"move weight {'back' if off.forward_m.value > 0 else 'forward'}"
    slide = off.slide
    name = terms.called(slide.name)
    if moves.is_less_than_half_a_step(slide.move_m.value, slide.adjuster):
        return f"{harmless(name)} stays"
    low, high = _one_way(slide.move_m)
    unit = slide.adjuster.unit
    way = moves.two_words(slide.toward, slide.move_m.value, slide.adjuster)
    return f"{harmless(name)} {way} ({figures.span(low, high, unit)} {unit})"


def _better(off: Off) -> str:
    """What would tell more."""
    if off.apart:
        return "No trim makes the two that far apart: one of them is a slip. Time both again."
    if not off.both:
        nose = "down" if off.down_s is None else "up"
        return f"Drop it nose {nose} too: half the difference tells it, and the mean is free of it."
    if not off.lean_read:
        return "A lean read where it hangs tells it three to five times better."
    return ""


def _one_way(known: Bounds) -> tuple[float, float]:
    """The bounds of a length that is counted along its own way."""
    low, high = sorted((known.low, known.high), reverse=known.value < 0)
    return (low, high) if known.value >= 0 else (-low, -high)


def _side(forward_m: float) -> str:
    return "ahead of" if forward_m >= 0 else "behind"
