"""SI to text: rounded for people, or exact enough to be read back."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from riglog.units.parsing import GREATEST, LEAST
from riglog.units.symbols import factor

if TYPE_CHECKING:
    from decimal import Decimal

    from riglog.units.kinds import Unit

_USUAL = {
    "kg": "kg", "m": "mm", "s": "s", "rad": "deg", "N": "N", "N m": "N m", "kg m2": "kg m2",
    "m/s": "m/s", "m/s2": "m/s2", "rad/s": "rpm", "1": "%",
}  # fmt: skip


def convert(value_si: float, symbol: str) -> float:
    """A value in SI as a number of the symbol's unit."""
    multiplier, divisor = _scale(symbol)
    return value_si * multiplier / divisor


def show(value_si: float, symbol: str, decimals: int = 1, *, signed: bool = False) -> str:
    """Figure and symbol at so many decimals; nothing is ever shown as -0.

    Parameters
    ----------
    value_si
        In SI.
    symbol
        Any that ``parse`` knows.
    decimals
        Digits behind the point.
    signed
        Put a plus sign before what is more than nothing.

    Raises
    ------
    ValueError
        If the value is not finite: an answer says in words why it has no figure.

    Examples
    --------
    >>> show(0.4871, "mm")
    '487.1 mm'
    >>> show(-0.00001, "mm", 0)
    '0 mm'
    """
    if not math.isfinite(value_si):
        raise ValueError(f"{value_si} has no figure")
    figure = f"{convert(value_si, symbol):.{decimals}f}"
    if float(figure) == 0:
        figure = figure.lstrip("-")
    elif signed and value_si > 0:
        figure = f"+{figure}"
    return f"{figure} {symbol}"


def show_at_step(value_si: float, symbol: str, step_si: float) -> str:
    """A setting as a scale with that step shows it: ``487.5 mm``, ``18 3/8 in``.

    The value is not moved to the step; it is shown at its decimals, or for steps such as 1/16 in
    as the nearest such part of an inch.

    Examples
    --------
    >>> show_at_step(0.4875, "mm", 0.0005)
    '487.5 mm'
    >>> show_at_step(0.466725, "in", 0.0254 / 16)
    '18 3/8 in'
    """
    parts = round(1 / convert(step_si, symbol))
    binary = parts in {2, 4, 8, 16, 32, 64} and math.isclose(convert(step_si, symbol) * parts, 1)
    if symbol == "in" and binary:
        return f"{_mixed(round(convert(value_si, symbol) * parts), parts)} in"
    return show(value_si, symbol, decimals_for(step_si, symbol))


def decimals_for(step_si: float, symbol: str) -> int:
    """Decimals that tell neighboring steps of a scale apart: 1 for 0.5 mm, 0 for 1 mm."""
    step = convert(step_si, symbol)
    exact = (n for n in range(4) if math.isclose(round(step, n), step, rel_tol=1e-9))
    return next(exact, 4)


def exact(value_si: float, unit: Unit, symbol: str = "") -> str:
    """The shortest text that ``parse`` reads back as the very same float.

    Parameters
    ----------
    value_si
        Finite, in ``unit.si``.
    unit
        What it is.
    symbol
        One of the unit's; by default the usual one, and g for less than a kilogram.

    Raises
    ------
    ValueError
        If the value is none that ``parse`` takes: not finite, or of an absurd size.

    Examples
    --------
    >>> from riglog.units import METER
    >>> exact(0.482, METER)
    '482 mm'
    """
    # Imported here: most commands show rounded figures only.
    from decimal import Decimal, localcontext
    from fractions import Fraction

    _check(value_si)
    symbol = symbol or ("g" if unit.si == "kg" and abs(value_si) < 1 else _USUAL[unit.si])
    scale = factor(symbol)
    with localcontext(prec=60):
        figure = Decimal(value_si) * scale.denominator / scale.numerator
    # 17 digits tell any two floats apart, whatever exact number both are divided by.
    rounded = (Decimal(f"{figure:.{digits - 1}e}") for digits in range(1, 18))
    same = next(each for each in rounded if float(Fraction(each) * scale) == value_si)
    return f"{_plain(same)} {symbol}"


def _check(value_si: float) -> None:
    if value_si and not LEAST <= abs(value_si) <= GREATEST:
        raise ValueError(f"{value_si} is no quantity of a rig")


def _plain(figure: Decimal) -> str:
    """Without an exponent, unless it is very small or large."""
    if not figure:
        return "0"
    if -8 <= figure.adjusted() <= 15:
        text = f"{figure:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    return f"{figure.normalize():e}".replace("e+", "e")


def _mixed(parts: int, whole: int) -> str:
    """``18 3/8`` of so many parts of a whole."""
    sign = "-" if parts < 0 else ""
    full, rest = divmod(abs(parts), whole)
    if not rest:
        return f"{sign}{full}"
    shared = math.gcd(rest, whole)
    fraction = f"{rest // shared}/{whole // shared}"
    return f"{sign}{full} {fraction}" if full else f"{sign}{fraction}"


@cache
def _scale(symbol: str) -> tuple[float, float]:
    """Multiplier and divisor from SI; 1000 is exact and 0.001 is not."""
    exact_factor = factor(symbol)
    if exact_factor.numerator == 1:
        return float(exact_factor.denominator), 1.0
    return 1.0, float(exact_factor)
