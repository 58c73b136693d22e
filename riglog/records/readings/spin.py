"""How it hung in a steady pan."""

from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import Between
from riglog.records.readings.measured import Measured, Time

TURNS = Between(0.0, 1e3, "whole turns or parts of one, as 2.5")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Spin(Measured):
    """What the lens end did in a steady pan, by ``turns`` in a ``time``: the rig was let spin."""

    kind: Literal["spin"] = "spin"
    lens_end: Literal["dips", "rises", "flat"]
    turns: Annotated[float, TURNS]
    time: Time = field(metadata={"key": "in"})
