"""What a noun's fields can hold, as marks in their annotations.

``Annotated[Kilograms, POSITIVE]`` is a mass above zero. A ``Limit`` has ``fault(value)``: what is
wrong with a value and the mend, or nothing; a ``Text`` says how words are written. Whoever fills a
noun from words asks the marks: documents for every field, commands for what was typed.
"""

from __future__ import annotations

import re
from enum import Enum
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, Protocol, runtime_checkable

if TYPE_CHECKING:
    from collections.abc import Sequence

Fault = tuple[str, str]

# Less is a slip of the unit, and its square would vanish beside anything else.
LEAST = 1e-9
LONGEST_ID = 64
ID_PATTERN = r"[a-z0-9]+(?:-[a-z0-9]+)*"


class Text(Enum):
    """How the words of a field are written."""

    ID = "id"
    PLACE = "place"  # a name, or two joined by a point: body-north.lens
    INSTANT = "instant"  # RFC 3339, with offset
    DAY = "day"  # ISO 8601
    NOTE = "note"  # may have several lines


Id = Annotated[str, Text.ID]
Place = Annotated[str, Text.PLACE]
Instant = Annotated[str, Text.INSTANT]
Day = Annotated[str, Text.DAY]
Note = Annotated[str, Text.NOTE]


def is_id(text: str) -> bool:
    """Whether a text can name a record: small letters, digits, single hyphens, at most 64."""
    return len(text) <= LONGEST_ID and re.fullmatch(ID_PATTERN, text, re.ASCII) is not None


@runtime_checkable
class Limit(Protocol):
    """A mark that knows which values a field cannot have."""

    def fault(self, value: Any) -> Fault | None:
        """What is wrong with a value, and the mend."""


class Positive:
    """More than nothing."""

    def fault(self, value: float) -> Fault | None:
        """What is wrong with a value, and the mend."""
        if value >= LEAST:
            return None
        if value > 0:
            return "is next to nothing", "check the figure and its unit"
        return "is not more than zero", "write a positive figure"


class NotNegative:
    """Nothing or more."""

    def fault(self, value: float) -> Fault | None:
        """What is wrong with a value, and the mend."""
        return None if value >= 0 else ("is less than zero", "write zero or more")


class Between(NamedTuple):
    """Above one value and not above another.

    Parameters
    ----------
    above, most
        The bounds.
    words
        Both as a person writes them.
    """

    above: float
    most: float
    words: str

    def fault(self, value: float) -> Fault | None:
        """What is wrong with a value, and the mend."""
        if self.above < value <= self.most:
            return None
        return "is out of range", f"write {self.words}"


class Ascending:
    """The least first, the greatest last."""

    def fault(self, value: Sequence[float]) -> Fault | None:
        """What is wrong with a value, and the mend."""
        if value[0] < value[-1]:
            return None
        return "does not rise", "write the least reading first, then the greatest"


class AtLeastOne:
    """Not an empty list."""

    def fault(self, value: Sequence[Any]) -> Fault | None:
        """What is wrong with a value, and the mend."""
        return None if value else ("is empty", "write at least one")


class InertiaTensor:
    """A tensor that some spread of mass can have.

    Its principal moments are positive and none exceeds the sum of the other two. That holds if
    and only if the tensor and half its trace minus the tensor have no negative eigenvalue: the
    latter is the second moment of the mass (H. Goldstein, Classical Mechanics, section 5.3).
    """

    def fault(self, value: tuple[float, float, float, float, float, float]) -> Fault | None:
        """What is wrong with a value, and the mend."""
        xx, yy, zz, xy, xz, yz = value
        if min(xx, yy, zz) <= 0:
            return "has a moment that is not above zero", _TENSOR
        half = (xx + yy + zz) / 2
        moments = (half - xx, half - yy, half - zz, -xy, -xz, -yz)
        # Sheets are rounded, and a thin plate has a second moment of zero.
        slack = 1e-6
        if any(_least_invariant(each, half) < -slack for each in (value, moments)):
            return "is the inertia of no solid thing", _TENSOR
        return None


_TENSOR = "write xx, yy, zz, xy, xz, yz about the center of gravity"


def _least_invariant(tensor: Sequence[float], scale: float) -> float:
    """Least of trace, sum of principal minors and determinant, each without unit.

    A symmetric matrix has no negative eigenvalue if and only if none of the three is negative
    (Descartes' rule of signs on its characteristic polynomial).
    """
    xx, yy, zz, xy, xz, yz = (element / scale for element in tensor)
    minors = xx * yy - xy * xy + xx * zz - xz * xz + yy * zz - yz * yz
    determinant = xx * (yy * zz - yz * yz) - xy * (xy * zz - yz * xz) + xz * (xy * yz - yy * xz)
    return min(xx + yy + zz, minors, determinant)


POSITIVE = Positive()
NOT_NEGATIVE = NotNegative()
HALF_TURN = Between(0.0, 3.141592653589794, "an angle above 0 deg, up to 180 deg")
