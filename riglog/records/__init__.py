"""The nouns: what a person writes down about a rig, as plain frozen dataclasses.

Rig frame: x forward, towards the lens's side; y to the operator's left; z up along the post or the
guides while the rig hangs upright in high mode. Angles are right-handed about these axes. Every
quantity is a float in SI; its unit stands in its annotation (``Annotated[float, Unit("kg")]``),
and an attribute has the name of its key in a kit document, unless ``metadata["key"]`` names
another.

The modules here do not postpone their annotations: whoever reads the log has to evaluate them,
and once as code is a tenth of a swap's time less than one by one as text.

``component`` what is carried, ``rig`` what carries it, ``build`` both put together,
``reading`` what somebody measured on a build; ``body`` turns any of them into the plain JSON
object that the logbook keeps, and back.
"""

from riglog.records.body import from_body, to_body
from riglog.records.build import Build, Part, PivotPair, Setting, Turn
from riglog.records.component import Component, Spread, State
from riglog.records.reading import (
    BalancePoint,
    Drop,
    HangsUpright,
    Lean,
    Reading,
    Swing,
    Weight,
)
from riglog.records.rig import LoadRange, Rig
from riglog.records.support import Adjuster, Mount, Scale, Vector

__all__ = [
    "Adjuster",
    "BalancePoint",
    "Build",
    "Component",
    "Drop",
    "HangsUpright",
    "Lean",
    "LoadRange",
    "Mount",
    "Part",
    "PivotPair",
    "Reading",
    "Rig",
    "Scale",
    "Setting",
    "Spread",
    "State",
    "Swing",
    "Turn",
    "Vector",
    "Weight",
    "from_body",
    "to_body",
]
