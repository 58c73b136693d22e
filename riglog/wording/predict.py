"""The answer to how a build hangs where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.jobs.answers import Value
from riglog.units import convert
from riglog.wording import (
    evidence,
    figures,
    friction,
    layout,
    margins,
    masses,
    objects,
    readings,
    warned,
    ways,
)
from riglog.wording.terms import Terms, terms_of

if TYPE_CHECKING:
    from riglog.jobs.drop_curve import DropCurve
    from riglog.jobs.predict_answers import PredictAnswer
    from riglog.wording.objects import Json

_UPRIGHT_DEG = 0.5
_WAYS = (("forward", "back"), ("left", "right"), ("up", "down"))


def say(answer: PredictAnswer) -> str:
    """The answer as a page of text; its first line can be called across a set."""
    terms = terms_of(answer.named, answer.pivot)
    # The first line says already that it is top heavy.
    told = [each for each in warned.messages(answer.warnings, terms) if each[0] != "top_heavy"]
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        layout.facts(_rows(answer, terms)),
        layout.listing("Mind:", [text for _, text in told]),
        layout.lines(
            evidence.loads(answer.loads, terms),
            evidence.worn(answer.worn_kg, terms),
            evidence.remembered(answer.remembered, terms),
            evidence.rests_on(answer.evidence),
            evidence.next_rung(answer.next_rung, terms),
        ),
    )


def plotted(answer: PredictAnswer) -> DropCurve | None:
    """What a plot shows beside it."""
    return answer.curve


def tell(answer: PredictAnswer) -> Json:
    """What is to be expected where it stands, as one object.

    ``{"build", "version", "entry", "head", "pivot_mm", "mass_kg", "mass_sd_kg", "cg_mm",
    "gyration_mm", "drop_s", "lean_deg", "side_deg", "depth_mm", "margin_g", "friction", "loads",
    "carried_kg", "also", "evidence", "next", "warnings"}``

    ``head`` is what a powered head does, null where nothing sits on one.
    ``drop_s``, ``lean_deg``, ``side_deg`` and ``depth_mm`` are each ``{"value", "low", "high"}``;
    a drop time that is null comes with the warning ``top_heavy``. ``cg_mm`` is in the rig frame,
    whose left and up are the operator's right and down in low mode, ``depth_mm`` below the
    pivot. A positive lean is nose down, a positive side lean right side
    low; a ring's is the cant of its two pivots, of which ``pivot_mm`` is the mean, with
    ``pivot_left_mm`` and ``pivot_right_mm`` beside it where each was told. ``friction`` is
    ``{"torque_n_m", "hold_deg", "told", "adds_s"}``: the torque at the pivot, the tilt within which
    it stays put, whether readings told them, and by how much that lengthens the drop.
    ``carried_kg`` is all that a person carries, where arm or vest are listed; ``also`` holds
    settings that the physics ignores, of builds on the rig with about this mass, each ``{"key",
    "value", "mass_kg", "build"}``.
    """
    terms = terms_of(answer.named, answer.pivot)
    return {
        **objects.named(answer.named),
        "head": answer.named.head or None,
        **readings.mark_json(answer.sides or answer.pivot_m),
        "mass_kg": objects.number(answer.mass_kg, "kg"),
        "mass_sd_kg": objects.number(answer.mass_sd_kg, "kg"),
        "cg_mm": [objects.number(along, "mm") for along in answer.cg_m],
        "gyration_mm": objects.number(answer.gyration_m, "mm"),
        "drop_s": objects.value(answer.drop_s, "s"),
        "lean_deg": objects.value(answer.lean_rad, "deg"),
        "side_deg": objects.value(answer.side_rad, "deg"),
        "depth_mm": objects.value(answer.depth_m, "mm"),
        "margin_g": objects.number(answer.margin_kg, "g"),
        "friction": None if answer.friction is None else friction.known_json(answer.friction),
        "loads": objects.loads(answer.loads),
        "carried_kg": objects.number(answer.worn_kg, "kg"),
        "also": objects.remembered(answer.remembered),
        "evidence": objects.evidence(answer.evidence),
        "next": objects.next_rung(answer.next_rung),
        "warnings": objects.warnings(warned.messages(answer.warnings, terms)),
    }


def _spoken(answer: PredictAnswer, terms: Terms) -> str:
    build = answer.named.build
    if answer.pivot_m is None:
        unset = f"its {terms.pivot} {'have' if terms.plural else 'has'} no mark yet"
        return f"{build} weighs {masses.on_rig(answer.mass_kg, terms.unit)}; {unset}."
    if answer.drop_s.value is None:
        return f"{build} is top heavy where it stands: do not let go."
    margin = ""
    if answer.margin_kg is not None:
        margin = f", neutral with {margins.neutral(answer.margin_kg, terms)}"
    risk = "; it may be top heavy, keep a hand on it" if answer.drop_s.high is None else ""
    return f"{build} drops in {figures.drop_time(answer.drop_s)}, {_hangs(answer)}{margin}{risk}."


def _hangs(answer: PredictAnswer) -> str:
    lean = answer.lean_rad.value
    if lean is None or abs(convert(lean, "deg")) < _UPRIGHT_DEG:
        return "hangs upright"
    whole = figures.whole_degrees(lean)
    return f"hangs {whole} nose {'down' if lean > 0 else 'up'}"


def _rows(answer: PredictAnswer, terms: Terms) -> list[tuple[str, str]]:
    return [
        (terms.pivot, _stands(answer)),
        ("mass", masses.known(answer.mass_kg, answer.mass_sd_kg, terms.unit)),
        ("center of gravity", _center(answer, terms)),
        _depth(answer.depth_m, terms),
        ("radius of gyration", f"{figures.fine(answer.gyration_m, terms.unit)} {terms.unit}"),
        ("lean, + nose down", figures.angle(answer.lean_rad)),
        *(friction.facts(answer.friction) if answer.friction else ()),
        ("cant, + right low", figures.angle(answer.side_rad) if terms.plural else ""),
    ]


def _stands(answer: PredictAnswer) -> str:
    mode = f"{answer.named.mode} mode{_head(answer)}"
    if answer.pivot_m is None:
        return f"not set, {mode}"
    return f"at {readings.mark(answer.sides or answer.pivot_m, answer.pivot)}, {mode}"


def _head(answer: PredictAnswer) -> str:
    return f", head {answer.named.head}" if answer.named.head else ""


def _depth(depth_m: Value, terms: Terms) -> tuple[str, str]:
    """How far the center of gravity is below the pivot, or above it."""
    if depth_m.value is None or depth_m.value >= 0:
        return f"below the {terms.pivot}", figures.length(depth_m, terms.unit)
    above = Value(*(None if m is None else -m for m in (depth_m.value, depth_m.high, depth_m.low)))
    return f"above the {terms.pivot}", figures.length(above, terms.unit)


def _center(answer: PredictAnswer, terms: Terms) -> str:
    """Where it is from the rig's datum, as it hangs."""
    x, *across = answer.cg_m
    hangs = [x, *(ways.as_it_hangs(Value(each, None, None), terms).value or 0.0 for each in across)]
    told = (
        f"{figures.fine(abs(along), terms.unit)} {minus if along < 0 else plus}"
        for along, (plus, minus) in zip(hangs, _WAYS, strict=True)
    )
    return f"{', '.join(told)} ({terms.unit} from the rig's zero)"
