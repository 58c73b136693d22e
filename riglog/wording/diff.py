"""What `diff` says: the sum first, then each difference with what it does alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.records import Adjuster, PivotPair
from riglog.units import convert
from riglog.wording import described, figures, layout, masses, objects, readings, values

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.diff_answers import DiffAnswer, Difference, Effect, Hangs
    from riglog.records import Part

_HEADING = ("CHANGE", "FORWARD", "LEFT", "UP", "LEAN", "DROP", "MARK")
_ALIGN = "<>>>>>>>"
_VALUE = 60
# What shows as nothing in a table.
_LEAST_M = 5e-5
_LEAST_KG = 5e-4
_MILLIMETERS = Adjuster(id="pivot", axis="z", step=0.0001)


def say(answer: DiffAnswer) -> str:
    """What differs in all, each difference that the balance feels, and the rest of them."""
    old, new = described.phrase(answer.old), described.phrase(answer.new)
    if not answer.differences:
        return layout.page(layout.lines(f"{old} and {new} say the same."), _again(answer))
    felt = [each for each in answer.differences if _is_told(each)]
    others = [each for each in answer.differences if not _is_told(each)]
    heading = layout.lines(f"{new} against {old}: {_sum(answer, felt)}")
    title = "Also different:" if answer.before else "Different:"
    also = layout.listing(title, [f"{each}." for other in others for each in _parts(other)])
    return layout.page(heading, _table(answer, felt), layout.lines(*_legend(answer)), also)


def _is_told(each: Difference) -> bool:
    """Whether it is known what a difference does, be it to the weight alone."""
    return each.effect is not None or each.mass_kg is not None


def _again(answer: DiffAnswer) -> str:
    found = answer.again
    if found is None or abs(found.depth_m) + abs(found.forward_m) < _LEAST_M:
        return ""
    height = _signed(found.depth_m, "mm", 1)
    return layout.lines(f"As they were put together and read, the height differs by {height} mm.")


def _sum(answer: DiffAnswer, felt: list[Difference]) -> str:
    """What the differences come to, and the largest cause."""
    if answer.before is None or answer.after is None:
        count = len(answer.differences)
        return f"{count} field{'' if count == 1 else 's'} different."
    facts = list(_facts(answer.before, answer.after, answer))
    cause = f"; mostly {_cause(_main(felt))}" if felt else ""
    on = f" on {answer.build}" if answer.build and answer.old.kind != "build" else ""
    return f"{', '.join(facts)}{on}{cause}."


def _cause(each: Difference) -> str:
    return ", ".join(_change(one) for one in (each, *each.along))


def _main(felt: list[Difference]) -> Difference:
    """What moves the mark most; the first of all where nothing does."""
    if felt[0].effect is None:
        return felt[0]  # known by its weight alone, the heaviest first
    marks = {each.what: abs((each.effect and each.effect.mark_m) or 0.0) for each in felt}
    most = max(felt, key=lambda each: marks[each.what])
    return most if marks[most.what] >= _LEAST_M else felt[0]


def _facts(before: Hangs, after: Hangs, answer: DiffAnswer) -> Iterator[str]:
    unit = answer.pivot.unit if answer.pivot else "mm"
    yield f"{_grams(after.mass_kg - before.mass_kg, unit)} {masses.small(unit)}"
    drops = [_drop(each.drop_s) for each in (before, after)]
    yield f"drop {drops[0]}" if drops[0] == drops[1] else f"drop {drops[0]} to {drops[1]}"
    if before.mark_m is not None and after.mark_m is not None:
        wanted = "neutral" if answer.wanted_s is None else f"the {_drop(answer.wanted_s)} mark"
        if answer.unlisted_kg is not None:
            one, two = (_at(each, unit) for each in (before.mark_m, after.mark_m))
            yield f"{wanted} {two} {unit} where {answer.old.subject} has {one}"
            return
        yield f"{wanted} {_signed(after.mark_m - before.mark_m, unit, _places(unit))} {unit}"


def _at(mark_m: float, unit: str) -> str:
    return f"{convert(mark_m, unit):.{_places(unit)}f}"


def _places(unit: str) -> int:
    return 1 if unit == "mm" else 2 if unit == "cm" else 3


def _drop(drop_s: float | None) -> str:
    return "none" if drop_s is None else figures.seconds(drop_s)


def _grams(mass_kg: float, unit: str) -> str:
    return _signed(mass_kg, masses.small(unit), masses.small_decimals(unit))


def _signed(value_si: float, symbol: str, decimals: int) -> str:
    shown = f"{convert(value_si, symbol):+.{decimals}f}"
    return shown.replace("-", "+") if float(shown) == 0 else shown


def _table(answer: DiffAnswer, felt: list[Difference]) -> str:
    if answer.before is None or answer.after is None:
        return ""
    unit = answer.pivot.unit if answer.pivot else "mm"
    if answer.unlisted_kg is not None:
        return layout.table(list(_weights(answer, felt, unit)), "<>")
    heading = (_HEADING[0], masses.small_word(unit).upper(), *_HEADING[1:])
    rows = [heading, *(row for each in felt for row in _rows(each, unit))]
    for name, effect in (("together", answer.together), ("put together anew", answer.again)):
        if effect is not None and _counts(effect):
            rows.append((name, *_cells(effect, unit)))
    from riglog.jobs.diff_effects import effect as between

    rows.append(("in all", *_cells(between(answer.before, answer.after), unit)))
    return layout.table(rows, _ALIGN)


def _weights(answer: DiffAnswer, felt: list[Difference], unit: str) -> Iterator[tuple[str, str]]:
    """Grams of each part that is on one rig alone, and of the whole."""
    yield "CHANGE", masses.small_word(unit).upper()
    for each in felt:
        yield _change(each), _grams(each.mass_kg or 0.0, unit)
    if abs(answer.unlisted_kg or 0.0) >= _LEAST_KG:
        yield "what is not listed", _grams(answer.unlisted_kg or 0.0, unit)
    if answer.before and answer.after:
        yield "in all", _grams(answer.after.mass_kg - answer.before.mass_kg, unit)


def _rows(each: Difference, unit: str) -> Iterator[tuple[str, ...]]:
    yield (_change(each), *_cells(each.effect, unit))
    for other in each.along:
        yield (f"  {_change(other)}", *[""] * 7)


def _counts(effect: Effect) -> bool:
    return any(abs(each) >= _LEAST_M for each in (effect.depth_m, effect.forward_m))


def _cells(effect: Effect | None, unit: str) -> tuple[str, ...]:
    if effect is None:
        return ("-",) * 7
    return (
        _grams(effect.mass_kg, unit),
        *(_signed(each, "mm", 1) for each in effect.cg_m),
        _known(effect.lean_rad, "deg", 1),
        _known(effect.drop_s, "s", 1),
        _known(effect.mark_m, unit, _places(unit)),
    )


def _known(value_si: float | None, symbol: str, decimals: int) -> str:
    return "-" if value_si is None else _signed(value_si, symbol, decimals)


def _legend(answer: DiffAnswer) -> Iterator[str]:
    if answer.before is None:
        return
    if answer.unlisted_kg is not None:
        yield (
            "Of each part its weight alone. What it does to balance, drop and mark cannot be told"
            " part by part: on two rigs every part sits at another place, none could go over by"
            " itself, and each rig's marks are on a scale of its own."
        )
        return
    wanted = "neutral" if answer.wanted_s is None else f"a drop of {_drop(answer.wanted_s)}"
    unit = answer.pivot.unit if answer.pivot else "mm"
    alone = any(each.effect for each in answer.differences)
    yield (
        f"{'Each change alone. ' if alone else ''}Forward, left, up: center of gravity in mm along"
        " the rig's axes, as in high mode; lean in deg, + nose down, if nobody trims; drop in s;"
        f" mark in {unit}: where the pivot goes for {wanted}."
    )
    if answer.old.kind != "build":
        yield (
            f"Told as if {answer.new.subject} itself became so and all else stayed as it is. Where"
            " only the figure is new, no rig moved and every mark stands."
        )
    if any(each.effect and each.effect.drop_s is None for each in answer.differences):
        yield "A dash: with that alone it turns over."
    if answer.together is not None and _counts(answer.together):
        yield "Together: what they do beyond the sum of each alone."
    if answer.again is not None and _counts(answer.again):
        yield "Put together anew: what readings of each tell beyond what is listed."


def _change(each: Difference) -> str:
    """A difference in words."""
    what, old, new = each.what, each.old, each.new
    match each.do:
        case "swap":
            return f"{new.id} for {what}"
        case "add":
            return f"{new.id} added"
        case "remove":
            return f"{what} off"
        case "move":
            return f"{new.id} {_moved(old, new)}"
        case "set":
            scale = each.adjuster or _MILLIMETERS
            told = _setting(old, scale).removesuffix(f" {scale.unit}")
            return f"{what} {told} to {_setting(new, scale)}"
        case _:
            return f"{what} {_told(old)} to {_told(new)}"


def _moved(old: Part, new: Part) -> str:
    if old.by != new.by:
        return f"hung by its {new.by}" if new.by else "set on its base"
    return "turned" if (old.on, old.offset) == (new.on, new.offset) else "moved"


def _told(value: Any) -> str:
    return layout.shortened(values.value(value), _VALUE)


def _parts(each: Difference) -> Iterator[str]:
    """A field in words; of one that says several things only those that differ."""
    old, new = each.old, each.new
    if each.do != "field" or not (isinstance(old, dict) and isinstance(new, dict)):
        yield _change(each)
        return
    for key in dict.fromkeys([*old, *new]):
        if old.get(key) != new.get(key):
            yield f"{each.what}.{key} {_told(old.get(key))} to {_told(new.get(key))}"


def _setting(value: Any, scale: Adjuster) -> str:
    return "unset" if value is None else readings.mark(value, scale)


def tell(answer: DiffAnswer) -> dict[str, Any]:
    """What differs, the largest cause first.

    ``{"old", "new", "differences", "build", "wanted_s", "before", "after", "together", "again",
    "unlisted_kg"}``

    Each difference has ``{"do", "what", "old", "new", "effect"}``; an effect, and how it hangs
    before and after, ``{"mass_kg", "cg_mm", "lean_deg", "drop_s", "mark_mm"}``. ``together`` is
    what they do beyond the sum of each alone, ``again`` what readings of each tell beyond that.
    Between builds on two rigs an effect has ``mass_kg`` alone, since no part could go over by
    itself, and ``unlisted_kg`` tells how what nobody listed differs in weight.
    """
    return {
        "old": described.as_json(answer.old),
        "new": described.as_json(answer.new),
        "differences": [
            _difference(one) for each in answer.differences for one in (each, *each.along)
        ],
        "build": answer.build,
        "wanted_s": answer.wanted_s,
        "before": _effect_json(answer.before),
        "after": _effect_json(answer.after),
        "together": _effect_json(answer.together),
        "again": _effect_json(answer.again),
        "unlisted_kg": objects.number(answer.unlisted_kg, "kg"),
    }


def _difference(each: Difference) -> dict[str, Any]:
    from riglog.interchange.writer import written
    from riglog.records import Part

    def plain(value: Any) -> Any:
        if isinstance(value, Part):
            return written(value)
        if isinstance(value, PivotPair):
            return readings.mark_json(value)
        return objects.number(value, "mm") if each.do == "set" else value

    return {
        "do": each.do,
        "what": each.what,
        "old": plain(each.old),
        "new": plain(each.new),
        "effect": _effect_json(each.effect) or _weight_json(each.mass_kg),
    }


def _weight_json(mass_kg: float | None) -> dict[str, Any] | None:
    """What is known of a part by its weight alone."""
    return None if mass_kg is None else {"mass_kg": mass_kg}


def _effect_json(effect: Effect | Hangs | None) -> dict[str, Any] | None:
    if effect is None:
        return None
    return {
        "mass_kg": effect.mass_kg,
        "cg_mm": [objects.number(each, "mm") for each in effect.cg_m],
        "below_mm": objects.number(effect.depth_m, "mm"),
        "lean_deg": objects.number(effect.lean_rad, "deg"),
        "drop_s": effect.drop_s,
        "mark_mm": objects.number(effect.mark_m, "mm"),
    }
