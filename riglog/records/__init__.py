"""The nouns: what a person writes down about a rig, as plain frozen dataclasses.

Rig frame: x forward, towards the lens's side; y to the operator's left; z up along the post or the
guides while the rig hangs upright in high mode. Angles are right-handed about these axes. Every
quantity is a float in SI; its unit stands in its annotation (``Annotated[float, Unit("kg")]``),
and an attribute has the name of its key in a kit document, unless ``metadata["key"]`` names
another.

The modules here do not postpone their annotations: whoever reads the log has to evaluate them,
and once as code is a tenth of a swap's time less than one by one as text.

``component`` what is carried, ``rig`` what carries it, ``build`` both put together,
``readings`` what somebody measured on a build, ``stand`` where it stood then; ``body`` turns any of
them into the plain JSON object that the logbook keeps, and back.
"""

from typing import TYPE_CHECKING, Any

from riglog.records import readings
from riglog.records.body import from_body, to_body
from riglog.records.build import Build, Part, PivotPair, Setting, Turn
from riglog.records.component import Component, Spread, State
from riglog.records.rig import LoadRange, Rig
from riglog.records.stand import Stand
from riglog.records.support import Adjuster, Mount, Scale, Vector

if TYPE_CHECKING:
    from riglog.records.readings import (
        BalancePoint,
        Drop,
        HangsUpright,
        Hold,
        Lean,
        Reading,
        Spin,
        Swing,
        Weight,
    )

__all__ = [
    "Adjuster",
    "BalancePoint",
    "Build",
    "Component",
    "Drop",
    "HangsUpright",
    "Hold",
    "Lean",
    "LoadRange",
    "Mount",
    "Part",
    "PivotPair",
    "Reading",
    "Rig",
    "Scale",
    "Setting",
    "Spin",
    "Spread",
    "Stand",
    "State",
    "Swing",
    "Turn",
    "Vector",
    "Weight",
    "from_body",
    "to_body",
]


def __getattr__(name: str) -> Any:
    return getattr(readings, name)
