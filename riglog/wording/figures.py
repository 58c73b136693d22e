"""The one rule for figures shown.

A setting is shown as the scale of its adjuster shows it, at the step that it can be set to. What
is not set but known, such as a bound, has one decimal in millimeters and two in the other units.
Drop times have tenths of a second, angles whole degrees; masses are in ``masses``.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from riglog.units import convert, decimals_for, show, show_at_step

if TYPE_CHECKING:
    from riglog.jobs.answers import Value
    from riglog.records import Adjuster

_INEXACT = 4
_USUAL = 2.0  # standard deviations that nobody looks at twice
_RAREST = 10_000
_SMALL_DEG = 9.95  # less is below 10 when shown to a tenth
_FINE = {"mm": 1, "cm": 2, "in": 2}


def reading(value_m: float, scale: Adjuster) -> str:
    """A setting as its scale shows it, without the unit: ``487.5``, ``18 3/8``."""
    if _has_fractions(scale):
        text = show_at_step(value_m, scale.unit, scale.step)
    else:
        text = show(value_m, scale.unit, _decimals(scale))
    return text.removesuffix(f" {scale.unit}")


def setting(value_m: float, scale: Adjuster) -> str:
    """A setting with its unit: ``487.5 mm``."""
    return f"{reading(value_m, scale)} {scale.unit}"


def spoken(value_m: float, scale: Adjuster) -> str:
    """A setting as one calls it across a set: ``487``, ``487.5``."""
    return _short(reading(value_m, scale))


def typed(value_m: float, scale: Adjuster) -> str:
    """A setting as a word of a command: ``487.5mm``, ``18.375in``."""
    decimals = 6 if _has_fractions(scale) else _decimals(scale)
    return _short(_figure(value_m, scale.unit, decimals)) + scale.unit


def distance(value_m: float, scale: Adjuster) -> str:
    """How far a setting moves, whichever way: ``2.0``, ``3/8``."""
    return reading(abs(value_m), scale)


def fine(value_m: float, unit: str) -> str:
    """A length that is known and not set, without the unit: ``1.9``, ``0.07``."""
    return _figure(value_m, unit, _FINE[unit])


def span(low_m: float | None, high_m: float | None, unit: str) -> str:
    """From where to where a length lies, without the unit: ``487.1 to 490.9``."""
    low, high = (None if b is None else fine(b, unit) for b in (low_m, high_m))
    return _span(low, high)


def finer(value_m: float, unit: str) -> str:
    """A length that a lean tells, without the unit: ``0.16``; hundredths of a millimeter count."""
    return _figure(value_m, unit, _FINE[unit] + 1)


def apart(unit: str) -> str:
    """How far apart two marks tell neutral: 8 to 10 mm, or that in inches."""
    least, most = (_short(fine(apart_m, unit)) for apart_m in (0.008, 0.010))
    return f"{least} to {most} {unit}"


def length(known: Value, unit: str) -> str:
    """A length and its 95 %: ``340.0 mm (310.2 to 372.9)``; nothing known is ``unknown``."""
    if known.value is None:
        return "unknown"
    return _with_span(f"{fine(known.value, unit)} {unit}", span(known.low, known.high, unit))


def seconds(time_s: float) -> str:
    """A drop time: ``3.0 s``."""
    return show(time_s, "s", 1)


def hundredths(time_s: float) -> str:
    """Drop times whose difference counts: ``2.95 s``."""
    return show(time_s, "s", 2)


def timing(sd_s: float) -> str:
    """How well one timing is known: ``0.3 s``, ``17 ms``."""
    return show(sd_s, "s", 1) if sd_s >= 0.1 else show(sd_s, "ms", 0)


def typed_seconds(time_s: float) -> str:
    """A drop time as a word of a command: ``3s``, ``3.25s``."""
    return _short(_figure(time_s, "s", 2)) + "s"


def as_written(value_si: float, symbol: str) -> str:
    """A figure that a command repeats as it was given, without the unit: ``19.1875``."""
    return _short(_figure(value_si, symbol, 4))


def drop_time(time_s: Value) -> str:
    """A drop time and its 95 %: ``3.0 s (2.8 to 3.3)``, or why there is none."""
    if time_s.value is None:
        return "no drop, it turns over"
    decimals = 1
    if time_s.low is not None and time_s.high is not None:
        decimals = 1 if _figure(time_s.low, "s", 1) != _figure(time_s.high, "s", 1) else 2
    low, high = (
        None if b is None else _figure(b, "s", decimals) for b in (time_s.low, time_s.high)
    )
    return _with_span(show(time_s.value, "s", decimals), _span(low, high))


def inertia_between(known: Value) -> str:
    """A moment of inertia and its bounds: ``1492 kg cm2 (1471 to 1513)``."""
    return with_bounds(known, "kg cm2", 0 if (known.value or 0.0) >= 0.01 else 2)


def with_bounds(known: Value, symbol: str, decimals: int) -> str:
    """A figure and its bounds, all in one unit: ``1118 g (1116 to 1120)``."""
    low, high = (
        None if each is None else _figure(each, symbol, decimals)
        for each in (known.low, known.high)
    )
    return _with_span(show(known.value or 0.0, symbol, decimals), _span(low, high))


def degrees(angle_rad: float) -> str:
    """An angle, whichever way: ``38 deg``; a small one to a tenth."""
    small = abs(convert(angle_rad, "deg")) < _SMALL_DEG
    return show(abs(angle_rad), "deg", 1 if small else 0)


def whole_degrees(angle_rad: float) -> str:
    """An angle as it is called out, whichever way: ``1 deg``."""
    return show(abs(angle_rad), "deg", 0)


def angle(known_rad: Value) -> str:
    """An angle with its sign, and its 95 %: ``1.0 deg (-0.2 to 2.2)``."""
    if known_rad.value is None:
        return ""
    low, high = (
        None if b is None else _figure(b, "deg", 1) for b in (known_rad.low, known_rad.high)
    )
    return _with_span(show(known_rad.value, "deg", 1), _span(low, high))


def torque(torque_n_m: float) -> str:
    """A torque: ``0.35 N m``."""
    return show(torque_n_m, "N m", 2)


def friction(known_n_m: Value) -> str:
    """A friction torque and its 95 %: ``0.012 N m (0.010 to 0.014)``."""
    if known_n_m.value is None:
        return "unknown"
    low, high = (
        None if b is None else _figure(b, "N m", 3) for b in (known_n_m.low, known_n_m.high)
    )
    return _with_span(show(known_n_m.value, "N m", 3), _span(low, high))


def pan_rate(rate_rad_s: float) -> str:
    """A pan rate in turns per minute: ``6.2 rpm``."""
    turns = convert(rate_rad_s, "rpm")
    return show(rate_rad_s, "rpm", 1 if turns < _SMALL_DEG else 0)


def inertia(inertia_kg_m2: float) -> str:
    """A moment of inertia, without the unit: ``1.92``."""
    return show(inertia_kg_m2, "kg m2", 2).removesuffix(" kg m2")


def percent(share: float) -> str:
    """A probability: ``93 %``; never certain."""
    return show(min(max(share, 0.01), 0.99), "%", 0)


def how_unusual(deviations: float, of: str) -> str:
    """How rarely chance alone is so far off (two-sided normal tail), to one digit."""
    if abs(deviations) < _USUAL:
        return "nothing unusual"
    chance = math.erfc(abs(deviations) / math.sqrt(2))
    if chance * _RAREST < 1:
        return f"chance does that less than once in {_RAREST} {of}"
    return f"chance does that about once in {float(f'{1 / chance:.0e}'):.0f} {of}"


def _figure(value_si: float, symbol: str, decimals: int) -> str:
    return show(value_si, symbol, decimals).removesuffix(f" {symbol}")


def _has_fractions(scale: Adjuster) -> bool:
    """Whether a scale is engraved in halves, quarters, ... of an inch."""
    parts = round(1 / convert(scale.step, "in"))
    exact = math.isclose(parts * convert(scale.step, "in"), 1)
    return scale.unit == "in" and exact and parts in {2, 4, 8, 16, 32, 64}


def _decimals(scale: Adjuster) -> int:
    """Decimals of a step; a step that no short decimal writes (1 mm in inches) is told apart."""
    decimals = decimals_for(scale.step, scale.unit)
    if decimals < _INEXACT:
        return decimals
    return min(max(math.ceil(-math.log10(convert(scale.step, scale.unit))), 0), _INEXACT)


def _short(figure: str) -> str:
    return figure.rstrip("0").rstrip(".") if "." in figure else figure


def _span(low: str | None, high: str | None) -> str:
    if low is None:
        return "" if high is None else f"{high} or less"
    return f"{low} or more" if high is None else f"{low} to {high}"


def _with_span(figure: str, bounds: str) -> str:
    return f"{figure} ({bounds})" if bounds else figure
