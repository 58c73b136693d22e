"""Readings: what somebody measured on a build, one kind a module.

Each holds the words of its writer: ``settings`` are those that differed from where the rig stood.
Where the rig stood in full, and which version of the build it was, is added by the library when
the reading is recorded (``Stand``).

A kind is imported when it is first met: a command meets few, and each costs a person who waits
most of a millisecond.
"""

from functools import reduce
from importlib import import_module
from operator import or_
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from riglog.records.readings.balance_point import BalancePoint
    from riglog.records.readings.drop import Drop
    from riglog.records.readings.hangs_upright import HangsUpright
    from riglog.records.readings.hold import Hold
    from riglog.records.readings.lean import Lean
    from riglog.records.readings.spin import Spin
    from riglog.records.readings.swing import Swing
    from riglog.records.readings.weight import Weight

    Reading = Drop | Weight | BalancePoint | HangsUpright | Lean | Swing | Hold | Spin

__all__ = [
    "KINDS",
    "BalancePoint",
    "Drop",
    "HangsUpright",
    "Hold",
    "Lean",
    "Reading",
    "Spin",
    "Swing",
    "Weight",
    "reading_class",
]

# Each class by its kind, in the order in which documents list them; its module is named alike.
KINDS = {
    "drop": "Drop",
    "weight": "Weight",
    "balance-point": "BalancePoint",
    "hangs-upright": "HangsUpright",
    "lean": "Lean",
    "swing": "Swing",
    "hold": "Hold",
    "spin": "Spin",
}
_KIND_OF = {name: kind for kind, name in KINDS.items()}


def reading_class(kind: str) -> "type[Reading]":
    """The class of a kind of reading.

    Raises
    ------
    KeyError
        If there is no such kind.
    """
    name = KINDS[kind]
    module = import_module(f"{__name__}.{kind.replace('-', '_')}")
    found: type[Reading] = getattr(module, name)
    return found


def __getattr__(name: str) -> Any:
    if name in _KIND_OF:
        return reading_class(_KIND_OF[name])
    if name == "Reading":
        return reduce(or_, map(reading_class, KINDS))
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
