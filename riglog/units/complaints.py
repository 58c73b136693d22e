"""What is wrong with a text that is no quantity, and the mend."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import listed, nearest, quoted
from riglog.units.symbols import FACTORS, NAMES, SYNONYMS, symbols_for, unit_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.units.kinds import Unit

_FIGURE = r"[+-]?[0-9]*[.,]?[0-9]+"

Complaint = tuple[str, str]


def complaint(plain: str, unit: Unit) -> Complaint:
    """Message and mend for a text that ``parse`` refused, the most telling first."""
    return next(found for check in _CHECKS for found in check(plain, unit))


def _empty(plain: str, unit: Unit) -> Iterator[Complaint]:
    if not plain:
        yield "there is no figure", f"write one, as {_example(unit)}"


def _long(plain: str, unit: Unit) -> Iterator[Complaint]:
    if len(plain) > 64 or re.search(r"[eE][+-]?[0-9]{3}", plain):
        yield f"{quoted(plain)} has too many digits", f"write it as {_example(unit)}"


def _not_a_number(plain: str, unit: Unit) -> Iterator[Complaint]:
    if re.match(r"[+-]?(nan|inf|infinity)\b", plain, re.IGNORECASE):
        yield f"{quoted(plain)} is no number", f"write a figure, as {_example(unit)}"


def _hexadecimal(plain: str, unit: Unit) -> Iterator[Complaint]:
    if re.match(r"[+-]?0[xXoObB][0-9a-fA-F]", plain):
        yield f"{quoted(plain)} is no decimal number", f"write it as {_example(unit)}"


def _foreign_digit(plain: str, unit: Unit) -> Iterator[Complaint]:
    strange = next((c for c in plain if c.isnumeric() and not c.isascii()), "")
    if strange and strange not in "²³":
        mend = f"write it with the digits 0 to 9, as {_example(unit)}"
        yield f"{quoted(plain)} holds {quoted(strange)}", mend


def _comma(plain: str, _unit: Unit) -> Iterator[Complaint]:
    if not re.search(r"[0-9],[0-9]", plain):
        return
    with_points = re.sub(r"(?<![0-9.,])([0-9]+),([0-9]+)(?![0-9.,])", r"\1.\2", plain)
    readings = [] if re.search("[0-9],[0-9]", with_points) else [with_points]
    if re.search(r"(?<![0-9.,])[0-9]{1,3}(,[0-9]{3})+(?![0-9,])", plain):
        readings.append(re.sub("(?<=[0-9]),(?=[0-9])", "", plain))
    yield f"{quoted(plain)} has a comma", f"write {listed(readings or ['one figure'])}"


def _grouped(plain: str, _unit: Unit) -> Iterator[Complaint]:
    if re.match(r"[+-]?[0-9]{1,3}( [0-9]{3})+(?![0-9/])", plain):
        mend = f"write {re.sub(r'(?<=[0-9]) (?=[0-9])', '', plain)}"
        yield f"{quoted(plain)} has its digits in groups", mend


def _division(plain: str, unit: Unit) -> Iterator[Complaint]:
    if re.search(r"/ *0+(?![0-9])", plain):
        yield f"{quoted(plain)} divides by zero", f"write it as {_example(unit)}"


def _bare(plain: str, unit: Unit) -> Iterator[Complaint]:
    if re.fullmatch(rf"{_FIGURE}([eE][+-]?[0-9]+)?|[+-]?([0-9]+ )?[0-9]+/[0-9]+", plain):
        if unit.si == "1":  # 0.5 can be half of it or half a percent
            yield f"{quoted(plain)} has no unit", "write a share in %, as 0.5 %"
            return
        symbols = symbols_for(unit)
        mend = f"write {listed(symbols)} behind it, as {plain} {_example(unit).partition(' ')[2]}"
        yield f"{quoted(plain)} has no unit", mend


def _misfit(plain: str, unit: Unit) -> Iterator[Complaint]:
    """A unit that exists and measures something else."""
    symbols = sorted(unit_of(), key=len, reverse=True)
    symbol = next((s for s in symbols if re.search(rf"[0-9.] *{re.escape(s)}$", plain)), "")
    if symbol and symbol not in FACTORS[unit.si]:
        message = f"{quoted(plain)} is {NAMES[unit_of()[symbol]]} and {NAMES[unit.si]} is wanted"
        yield message, f"the units that fit are {listed(symbols_for(unit), 'and')}"


def _unknown(plain: str, unit: Unit) -> Iterator[Complaint]:
    """A word that is no unit: what it is likely to mean."""
    match = re.match(rf"{_FIGURE} *(?P<words>[^0-9\s].*)$", plain)
    word = match["words"] if match else ""
    known = symbols_for(unit)
    if not word or word in known or re.search(r"[0-9] |\s[0-9]", word):
        return
    meant = SYNONYMS.get(word) or SYNONYMS.get(word.lower()) or _same_letters(word, known)
    meant = meant if meant in known else nearest(word.lower(), known)
    fit = f"the units that fit are {listed(known, 'and')}"
    yield f"{quoted(word)} is no unit", f"did you mean {meant}?" if meant else fit


def _same_letters(word: str, known: tuple[str, ...]) -> str:
    return next((symbol for symbol in known if symbol.lower() == word.lower()), "")


def _several(plain: str, unit: Unit) -> Iterator[Complaint]:
    """Terms that do not add up to one quantity."""
    known = "|".join(map(re.escape, sorted(symbols_for(unit), key=len, reverse=True)))
    terms = re.findall(rf"[0-9.] *(?:{known})(?![^\s0-9])", plain)
    if len(terms) > 1 and re.match(_FIGURE, plain):
        mend = "write whole figures from the large unit down to the small, one sign before all"
        yield f"{quoted(plain)} is more than one quantity", mend


def _senseless(plain: str, unit: Unit) -> Iterator[Complaint]:
    yield f"{quoted(plain)} is no {NAMES[unit.si].split()[1]}", f"write it as {_example(unit)}"


def _example(unit: Unit) -> str:
    return EXAMPLES[unit.si]


EXAMPLES = {
    "kg": "4.21 kg", "m": "482 mm", "s": "3.1 s", "rad": "90 deg", "N": "12 N", "N m": "0.4 N m",
    "kg m2": "0.013 kg m2", "m/s": "1.4 m/s", "m/s2": "1.5 m/s2", "rad/s": "20 rpm", "1": "0.5 %",
}  # fmt: skip

_CHECKS: tuple[Callable[[str, Unit], Iterator[Complaint]], ...] = (
    _empty, _long, _not_a_number, _hexadecimal, _foreign_digit, _comma, _grouped, _division,
    _bare, _misfit, _unknown, _several, _senseless,
)  # fmt: skip
