"""The moves that hang a rig upright and keep a pan level, and what they do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.units import convert
from riglog.wording import (
    cautions,
    commands,
    evidence,
    figures,
    layout,
    moves,
    objects,
    readings,
    warned,
)
from riglog.wording.terms import Terms, terms_with

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.answers import Move, Value
    from riglog.jobs.trim_answers import Inertia, Level, Panned, TrimAnswer
    from riglog.wording.objects import Json

# Less is upright and level to any eye.
_LEVEL_DEG = 0.5


def say(answer: TrimAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = terms_with(answer.named, answer.moves, answer.sets)
    told = [text for _, text in _messages(answer, terms)]
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.lines(_state(answer.now, "Now")),
        _table(answer, terms),
        layout.numbered("Then:", list(_steps(answer, terms))),
        _command(answer),
        layout.listing(
            cautions.heading("Before you start", answer.cautions),
            told + cautions.sentences(answer.cautions),
        ),
        _inertias(answer),
        layout.lines(_pan(answer.panned, answer.panned_then), evidence.rests_on(answer.evidence)),
    )


def tell(answer: TrimAnswer) -> Json:
    """Where everything goes and what that does, as one object.

    ``{"build", "version", "entry", "settings", "now", "then", "off_mm", "tilt_counts", "drop_s",
    "drop_now_s", "first", "inertia_kg_m2", "pan", "cautions", "evidence", "warnings"}``

    ``settings`` holds every adjuster as ``swap`` has it. ``now`` and ``then``, before and after,
    are each ``{"lean_deg", "side_deg", "tilt_deg", "tilt_side_deg", "critical_rpm"}``: ``lean_deg``
    at rest, null where it does not hang, and the tilt of the principal axis, which it settles near
    in a fast pan, as ``{"value", "low", "high"}``; positive is nose down, and right side low.
    ``off_mm`` is what trim is left off, forward and left along the rig's axes. ``drop_now_s`` is
    the drop time once trimmed, with the pivot where it stands, ``first`` the mark to start from
    for ``drop_s``.
    ``inertia_kg_m2`` is ``{"now", "then", "last"}``, each ``{"roll", "tilt", "pan"}``; ``last`` is
    null or the last version of other parts. ``pan`` is null, or the lean at the rate asked for
    before and after; near the critical rate it is null.
    """
    terms = terms_with(answer.named, answer.moves, answer.sets)
    return {
        **objects.named(answer.named),
        "settings": [readings.setting(move) for move in answer.moves],
        "now": _level(answer.now),
        "then": _level(answer.then),
        "off_mm": [objects.number(each, "mm") for each in answer.off_m],
        "tilt_counts": answer.tilt_counts,
        "drop_s": objects.number(answer.wanted_s, "s"),
        "drop_now_s": answer.drop_now_s and objects.value(answer.drop_now_s, "s"),
        "first": answer.first
        and {
            **objects.first_mark(answer.first),
            "drop_s": objects.value(answer.first.drop_s, "s"),
        },
        "inertia_kg_m2": {
            "now": _inertia(answer.inertia),
            "then": _inertia(answer.inertia_then),
            "last": answer.last and _inertia(answer.last),
        },
        "pan": answer.panned
        and {
            "rate_rpm": objects.number(answer.panned.rate_rad_s, "rpm"),
            "now": _panned(answer.panned),
            "then": _panned(answer.panned_then or answer.panned),
        },
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(_messages(answer, terms)),
    }


def _level(level: Level) -> Json:
    return {
        "lean_deg": objects.number(level.lean_rad, "deg"),
        "side_deg": objects.number(level.side_rad, "deg"),
        "tilt_deg": objects.value(level.tilt_rad, "deg"),
        "tilt_side_deg": objects.value(level.tilt_side_rad, "deg"),
        "critical_rpm": objects.number(level.critical_rad_s, "rpm"),
    }


def _inertia(known: Inertia) -> Json:
    return {"roll": known.roll_kg_m2, "tilt": known.tilt_kg_m2, "pan": known.pan_kg_m2}


def _panned(panned: Panned) -> Json:
    return {
        "lean_deg": objects.number(panned.lean_rad, "deg"),
        "side_deg": objects.number(panned.side_rad, "deg"),
    }


def _messages(answer: TrimAnswer, terms: Terms) -> list[warned.Message]:
    return warned.messages(answer.warnings, terms)


def _moving(answer: TrimAnswer) -> list[Move]:
    """What the hand moves, but what is set by a drop."""
    others = [each for each in answer.moves if each.name != answer.sets]
    return [each for each in others if each.free and not moves.stands_still(each)]


def _spoken(answer: TrimAnswer, terms: Terms) -> str:
    if _goes_along(answer):
        return layout.capital(f"{_first(answer, terms)}, then trim and drop again.")
    moving = _moving(answer)
    if not moving:
        why = "upright and level" if answer.tilt_counts else "upright"
        return f"{answer.named.build} is {why}: nothing to move but the last fine trim."
    called = [moves.called_out(move, terms) for move in moving]
    return layout.capital(f"{', '.join(called)}, then trim again and drop again.")


def _state(level: Level, when: str) -> str:
    """How it hangs at rest, which end is high in a pan, and from which rate on."""
    hangs = "it does not hang" if level.lean_rad is None else _hangs(level.lean_rad)
    edge = ""
    if level.critical_rad_s is not None:
        edge = f" Critical pan rate {figures.pan_rate(level.critical_rad_s)}."
    pan = "" if level.tilt_rad.value is None else f"; {tilted(level.tilt_rad)}"
    return f"{when}: {hangs}{pan}.{edge}"


def _hangs(lean_rad: float) -> str:
    if abs(convert(lean_rad, "deg")) < _LEVEL_DEG:
        return "it hangs upright"
    return f"it hangs {warned.leaning(lean_rad)}"


def tilted(tilt_rad: Value) -> str:
    """Which end is high in a fast pan, and how far: ``in a fast pan the lens end dips 3.1 deg``."""
    if tilt_rad.value is None:
        return "nobody knows what a pan does"
    shown = figures.angle(tilt_rad)
    if abs(convert(tilt_rad.value, "deg")) < _LEVEL_DEG:
        return f"a fast pan stays level, the principal axis tilted by {shown}"
    end, other = ("low", "high") if tilt_rad.value > 0 else ("high", "low")
    return f"in a fast pan the lens end is {end}, the back {other}: the axis is tilted by {shown}"


def _table(answer: TrimAnswer, terms: Terms) -> str:
    units = {move.adjuster.unit for move in answer.moves}
    unit = next(iter(units)) if len(units) == 1 else ""
    heading = [f"in {unit}" if unit else "", "from", "to", "move", "between (95 %)"]
    marked = _marked(answer)
    ordered = [each for each in answer.moves if each is not marked]
    ordered += [] if marked is None else [marked]
    rows = [moves.row(move, terms, "" if unit else f" ({move.adjuster.unit})") for move in ordered]
    return layout.table([heading, *rows], "<>><<")


def _marked(answer: TrimAnswer) -> Move | None:
    """What sets the drop time; None where nothing does."""
    return next((move for move in answer.moves if move.name == answer.sets), None)


def _goes_along(answer: TrimAnswer) -> bool:
    """Whether the way to the wanted drop takes the axis fore and aft, so that trim waits for it."""
    return _goes(answer) and answer.first is not None and bool(answer.first.also)


def _first(answer: TrimAnswer, terms: Terms) -> str:
    """The first mark and what is set with it: ``side pivots to 254.5 with the cradle at 57``."""
    marked = _marked(answer)
    if answer.first is None or marked is None:
        return ""
    at = figures.spoken(answer.first.set_m, marked.adjuster)
    return f"{terms.lift} to {at}{moves.beside(answer.first, terms)}"


def _along(answer: TrimAnswer, terms: Terms) -> Iterator[str]:
    """The steps where trim and drop time hang together."""
    assert answer.first is not None
    yield f"Set the {_first(answer, terms)}, where it is surely bottom heavy."
    yield "Trim it again fore and aft, until it hangs upright."
    yield (
        f"Drop it once: {figures.drop_time(answer.first.drop_s)} expected. Then move as the answer"
        " says."
    )


def _steps(answer: TrimAnswer, terms: Terms) -> Iterator[str]:
    if _goes_along(answer):
        yield from _along(answer, terms)
        return
    for move in _moving(answer):
        to = figures.setting(moves.goes_to(move), move.adjuster)
        yield layout.capital(f"{moves.by_hand(move.name, move.toward, terms)}, to {to}.")
    if terms.type == "ring":
        yield "Trim it again fore and aft, until it hangs upright."
    else:
        yield "Trim it again by the fine knobs, side to side first, until it hangs upright."
    if answer.drop_now_s is not None:
        yield f"Drop it again: {figures.drop_time(answer.drop_now_s)} where it stands."
    marked = _marked(answer)
    if marked and _goes(answer) and answer.first is not None and answer.wanted_s is not None:
        mark = figures.setting(answer.first.set_m, marked.adjuster)
        beside = moves.beside(answer.first, terms)
        yield (
            f"For {figures.seconds(answer.wanted_s)} set the {terms.lift} to {mark}{beside} first,"
            f" where it is surely bottom heavy: {figures.drop_time(answer.first.drop_s)} expected."
            " Drop it once, then move as the answer says."
        )
    if answer.then.tilt_rad.value is None and terms.type == "post":
        yield "Pan it and tell what the lens end did: riglog spin --help."
    elif answer.then.tilt_rad.value is not None:
        yield f"Pan it and look: {_state(answer.then, 'then')[6:]}"


def _goes(answer: TrimAnswer) -> bool:
    """Whether what sets the drop has to go anywhere for the wanted one."""
    marked = _marked(answer)
    return marked is not None and (answer.drop_now_s is None or not moves.stands_still(marked))


def _command(answer: TrimAnswer) -> str:
    marked = _marked(answer)
    if marked is None or answer.first is None or answer.wanted_s is None:
        return ""
    first = answer.first
    if not _goes(answer):
        first = first._replace(set_m=moves.goes_to(marked), also=())
    first = first._replace(also=moves.set_beside(first, answer.moves))
    return commands.first_drop(answer.named.build, first, marked.adjuster, answer.wanted_s)


def _inertias(answer: TrimAnswer) -> str:
    """A small table: a pan, a tilt and a roll beside those of the last build."""
    if answer.now.tilt_rad.value is None:
        return ""
    columns = [("now", answer.inertia), ("then", answer.inertia_then)]
    if answer.last is not None:
        columns.append((f"version {answer.last_version}", answer.last))
    heading = ["inertia, kg m2", *(name for name, _ in columns)]
    rows = [
        [axis, *(figures.inertia(getattr(known, f"{axis}_kg_m2")) for _, known in columns)]
        for axis in ("pan", "tilt", "roll")
    ]
    return layout.table([heading, *rows], "<" + ">" * len(columns))


def _pan(now: Panned | None, then: Panned | None) -> str:
    if now is None or then is None:
        return ""
    rate = figures.pan_rate(now.rate_rad_s)
    return f"In a pan at {rate}: {_panning(now)} now, {_panning(then)} then."


def _panning(panned: Panned) -> str:
    if panned.near:
        return "near the critical rate, where any small error is a large lean,"
    if panned.lean_rad is None:
        return "no steady lean"
    lean = convert(panned.lean_rad, "deg")
    if abs(lean) < _LEVEL_DEG:
        return "level"
    return warned.leaning(panned.lean_rad)
