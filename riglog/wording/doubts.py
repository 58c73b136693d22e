"""Warnings about measurements and scales: the sentence for each code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.units import show
from riglog.wording import masses
from riglog.wording.warned import dated

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from riglog.jobs.answers import Warned
    from riglog.wording.warned import Message


def messages(warnings: Iterable[Warned], unit: str = "mm") -> list[Message]:
    """Code and sentence of each; masses as ``masses`` has them."""
    return [(each.code, _SENTENCES[each.code](each, unit)) for each in warnings]


def sentences(warnings: Iterable[Warned], unit: str = "mm") -> Iterator[str]:
    """Each as a sentence."""
    return (text for _, text in messages(warnings, unit))


def _than_before(off: str, deviations: float | None) -> str:
    return (
        f"That is {off} off what was known ({abs(deviations or 0):.0f} standard deviations):"
        " measure again; if it was altered, say so with modified: DAY in its document."
    )


def _mass(warned: Warned, unit: str) -> str:
    return _than_before(masses.off(warned.figure or 0, unit), warned.other)


def _center(warned: Warned, _: str) -> str:
    return _than_before(show(abs(warned.figure or 0), "mm", 1), warned.other)


def _shape(warned: Warned, _: str) -> str:
    return (
        f"That is {warned.figure or 0:.1f} times what its shape and size say: count full swings,"
        " measure from the axis to the center of gravity, or check the size in its document."
    )


def _disagree(warned: Warned, _: str) -> str:
    return (
        f"Its weighings lie {warned.figure or 0:.1f} times further apart than they should: one is"
        " wrong, or it was altered; the spread was widened by as much."
    )


def _unchecked(warned: Warned, _: str) -> str:
    return f"{warned.what} was never held against a reference mass, as far as its record says."


def _old(warned: Warned, _: str) -> str:
    return f"{warned.what} was last held against a reference mass more than a year before."


def _off(warned: Warned, unit: str) -> str:
    showed, reference = (masses.finely(each or 0, unit) for each in (warned.figure, warned.other))
    return f"{warned.what} showed {showed} for {reference} when it was checked: have it adjusted."


def _drifts(warned: Warned, _: str) -> str:
    share = warned.figure or 0
    way = "more" if share > 0 else "less"
    return (
        f"{warned.what} shows {100 * abs(share):.1f} % {way} than everything else says of what was"
        " weighed on it: hold it against a reference mass."
    )


def _dated(warned: Warned, _: str) -> str:
    return dated(warned)


_SENTENCES: Mapping[str, Callable[[Warned, str], str]] = {
    "unlike_before": _mass,
    "center_unlike_before": _center,
    "inertia_unlike_shape": _shape,
    "weighings_disagree": _disagree,
    "scale_unchecked": _unchecked,
    "scale_check_old": _old,
    "scale_off": _off,
    "scale_drifts": _drifts,
    "untimed_year": _dated,
    "clock_ahead": _dated,
}
