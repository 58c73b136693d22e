"""The answer to a swap: where everything goes, in which order, and what to mind on the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import (
    cautions,
    commands,
    ends,
    evidence,
    figures,
    layout,
    masses,
    moves,
    objects,
    readings,
    steps,
    warned,
)
from riglog.wording.terms import PIVOT, Terms, terms_with

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.answers import Move
    from riglog.jobs.swap_answers import Step, SwapAnswer
    from riglog.jobs.swap_words import SwapWords
    from riglog.wording.objects import Json

_CLAMPED = "first_mark_clamped"


def say(answer: SwapAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = terms_with(answer.named, answer.moves, answer.first.name)
    told = [text for _, text in _messages(answer, terms)]
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.lines(_purpose(answer)),
        _table(answer, terms),
        "\n".join([layout.lines(_first_mark(answer, terms)), *_commands(answer)]),
        layout.listing(
            cautions.heading("Before you start", answer.cautions),
            told + cautions.sentences(answer.cautions),
        ),
        layout.numbered("Steps:", [text for _, text in _steps(answer, terms)]),
        layout.lines(
            _untested(answer),
            ends.told(answer.ends),
            _margin(answer, terms),
            moves.finer(answer.vernier, terms),
            evidence.loads(answer.loads, terms),
            evidence.worn(answer.worn_kg, terms),
            evidence.remembered(answer.remembered, terms),
            evidence.rests_on(answer.evidence),
            evidence.next_rung(answer.next_rung, terms),
            f"Saved as {answer.saved}." if answer.saved else "",
        ),
    )


def tell(answer: SwapAnswer) -> Json:
    """Where everything goes, as one object.

    ``{"build", "version", "entry", "head", "after", "drop_s", "mass_kg", "gyration_mm", "settings",
    "first", "at_mark", "margin_g", "steps", "passages", "vernier", "loads", "carried_kg", "also",
    "ends", "cautions", "evidence", "next", "saved", "warnings"}``

    ``settings`` holds every adjuster, as ``{"adjuster", "from_mm", "to_mm", "move_mm", "low_mm",
    "high_mm", "set_mm", "toward", "free"}``: ``to_mm`` is unrounded, ``set_mm`` as the scale can
    be set; ``low_mm`` and ``high_mm`` bound the true position at 95 %, without the error of
    setting it, and null is no bound: so of one that is set where it is told and leaves the rest to
    a finer one on its axis, whose bounds lie within its travel. Where each side of a ring was told,
    ``from_left_mm`` and ``from_right_mm`` are there too, and both go to ``to_mm``. ``first`` is the
    safe mark to start from, as ``{"pivot_mm", "settings", "drop_s", "drop_low_s",
    "drop_high_s"}``: ``settings`` holds what else is set there, ``pivot_mm`` is null where another
    adjuster sets the drop time on guides that lie fore and aft, and ``drop_s`` is null where
    nothing does and it turns over. ``margin_g`` more at the camera makes it neutral, in low mode
    that much less, in a ring more on top of it.
    ``ends`` tells how it leans and drops in the end states of parts such as a zoom, each ``{"part",
    "state", "lean_deg", "drop_s"}``.
    ``steps`` holds what is to be done and the sentence for it; ``passages`` every state in
    between, of which ``warnings``, each ``{"code", "message"}``, repeats those that lean far or
    turn over.
    """
    terms = terms_with(answer.named, answer.moves, answer.first.name)
    return {
        **objects.named(answer.named),
        "head": answer.named.head or None,
        "after": answer.after,
        "drop_s": objects.number(answer.wanted_s, "s"),
        "mass_kg": objects.number(answer.mass_kg, "kg"),
        "gyration_mm": objects.number(answer.gyration_m, "mm"),
        "settings": [readings.setting(move) for move in answer.moves],
        "first": _first(answer),
        "at_mark": {"drop_s": objects.value(answer.drop_at_mark_s, "s")},
        "margin_g": objects.number(answer.margin_kg, "g"),
        "steps": [_step(step, text) for step, text in _steps(answer, terms)],
        "passages": _passages(answer),
        "vernier": objects.vernier(answer.vernier),
        "loads": objects.loads(answer.loads),
        "ends": ends.tell(answer.ends),
        "carried_kg": objects.number(answer.worn_kg, "kg"),
        "also": objects.remembered(answer.remembered),
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "next": objects.next_rung(answer.next_rung),
        "saved": answer.saved,
        "warnings": objects.warnings(_messages(answer, terms)),
    }


def _messages(answer: SwapAnswer, terms: Terms) -> list[warned.Message]:
    return warned.messages(answer.warnings, terms, answer.passages)


def _steps(answer: SwapAnswer, terms: Terms) -> list[tuple[Step, str]]:
    job = steps.Job(terms, answer.first.drop_s)
    return [(step, steps.sentence(step, job)) for step in answer.steps]


def _marked(answer: SwapAnswer) -> Move:
    """What sets the drop time, the gimbal as a rule; where nothing does, the pivot."""
    return next(move for move in answer.moves if move.name == (answer.first.name or PIVOT))


def _spoken(answer: SwapAnswer, terms: Terms) -> str:
    """Gimbal first and always, the others where they move, then the mark to start from."""
    marked = _marked(answer)
    others = [move for move in answer.moves if move is not marked and not moves.stands_still(move)]
    called = [moves.called_out(move, terms) for move in [marked, *others]]
    start = ""
    if answer.first.name:
        at = figures.spoken(answer.first.set_m, marked.adjuster)
        start = f", start at {at}{moves.beside(answer.first, terms)}"
    return layout.capital(f"{', '.join(called)}{start}.")


def _purpose(answer: SwapAnswer) -> str:
    is_said = answer.named.mode == "low" or any(step.do == "turn-over" for step in answer.steps)
    mode = f" in {answer.named.mode} mode" if is_said else ""
    head = f", head {answer.named.head}" if answer.named.head else ""
    swapped = f" with {layout.harmless(answer.after)}" if answer.after else ""
    return (
        f"{answer.named.build}{mode}{swapped}{head}, {_aim(answer)};"
        f" {masses.on_rig(answer.mass_kg, _marked(answer).adjuster.unit)} in all."
    )


def _aim(answer: SwapAnswer) -> str:
    if answer.wanted_s is None:
        return "which turns over"
    if not answer.first.name:
        return "trimmed, its drop time as it comes"
    return f"to drop in {figures.seconds(answer.wanted_s)}"


def _margin(answer: SwapAnswer, terms: Terms) -> str:
    if answer.wanted_s is None:
        return ""
    return evidence.margin(answer.margin_kg, answer.wanted_s, terms)


def _table(answer: SwapAnswer, terms: Terms) -> str:
    units = {move.adjuster.unit for move in answer.moves}
    unit = next(iter(units)) if len(units) == 1 else ""
    heading = [f"in {unit}" if unit else "", "from", "to", "move", "between (95 %)"]
    rows = [
        moves.row(move, terms, "" if unit else f" ({move.adjuster.unit})") for move in answer.moves
    ]
    return layout.table([heading, *rows], "<>><<")


def _first_mark(answer: SwapAnswer, terms: Terms) -> str:
    """Where to start, why there, and what to expect."""
    expected = figures.drop_time(answer.first.drop_s)
    if not answer.first.name:
        return (
            "The guides lie fore and aft, and no adjuster moves a part up and down: nothing sets"
            f" the drop time. Expected: {expected}. {_once(answer)}, and log it:"
        )
    mark = figures.setting(answer.first.set_m, _marked(answer).adjuster)
    return (
        f"Start the {terms.lift} at {mark}{moves.beside(answer.first, terms)}"
        f"{_why(answer, terms)}. Expected there: {expected}. {_once(answer)}, then move:"
    )


def _why(answer: SwapAnswer, terms: Terms) -> str:
    if any(each.code == _CLAMPED for each in answer.warnings):
        return ", the end of the travel"
    marked = _marked(answer)
    away_m = answer.first.set_m - moves.goes_to(marked)
    safe = "the rig is surely bottom heavy"
    if moves.is_less_than_half_a_step(away_m, marked.adjuster):
        return f", where {safe}"
    far = f"{figures.distance(away_m, marked.adjuster)} {marked.adjuster.unit}"
    return f", {far} {_end(answer, terms)} than the final mark, so that {safe}"


def _end(answer: SwapAnswer, terms: Terms) -> str:
    """Which way from the final mark the safe end lies."""
    up = answer.first.toward == "up"
    if _marked(answer).adjuster.lean:
        return f"further {answer.first.toward} the {'post' if terms.type == 'post' else 'guides'}"
    if terms.type != "post" or answer.first.name != PIVOT:
        return "higher" if up else "lower"
    return "nearer the camera" if up == (terms.mode == "high") else "further from the camera"


def _once(answer: SwapAnswer) -> str:
    """The drop, after the swap was saved."""
    saved = "Save the swap once it is made, drop it once"
    return "Drop it once" if _to_be_saved(answer) is None else saved


def _to_be_saved(answer: SwapAnswer) -> SwapWords | None:
    """What changes the build itself: of what only moves, a drop tells the place."""
    asked = answer.asked
    return None if asked is None or asked.is_of_another_drop else asked


def _commands(answer: SwapAnswer) -> Iterator[str]:
    """The swap is saved before its drop: else that would count for the build as it was."""
    asked, first = _to_be_saved(answer), answer.first
    if asked is not None:
        yield commands.save_swap(asked, answer.named.build)
    # What was saved stands where it is to start; a mark is told with every drop.
    also = [] if asked is not None or answer.saved else moves.set_beside(first, answer.moves)
    wanted_s = answer.wanted_s if first.name else None
    build, scale = answer.saved or answer.named.build, _marked(answer).adjuster
    yield commands.first_drop(build, first._replace(also=also), scale, wanted_s)


def _untested(answer: SwapAnswer) -> str:
    """What the final mark would give without a drop test: the reason for one."""
    if not answer.first.name:
        return ""
    marked = _marked(answer)
    mark = figures.setting(moves.goes_to(marked), marked.adjuster)
    known = answer.drop_at_mark_s
    risk = ", or it turns over" if known.value is not None and known.high is None else ""
    return f"Set to {mark} without a drop test: {figures.drop_time(known)}{risk}."


def _first(answer: SwapAnswer) -> Json:
    drop_s = answer.first.drop_s
    return {
        **objects.first_mark(answer.first),
        "drop_s": objects.number(drop_s.value, "s"),
        "drop_low_s": objects.number(drop_s.low, "s"),
        "drop_high_s": objects.number(drop_s.high, "s"),
    }


def _step(step: Step, text: str) -> Json:
    to_mm = objects.number(step.to_m, "mm")
    return {"do": step.do, "what": step.what, "to_mm": to_mm, "say": text}


def _passages(answer: SwapAnswer) -> list[Json]:
    return [
        {
            "after": passage.after,
            "parts": list(passage.parts),
            "lean_deg": objects.number(passage.lean_rad, "deg"),
            "turns_over": passage.turns_over,
        }
        for passage in answer.passages
    ]
