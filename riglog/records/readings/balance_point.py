"""The whole on an edge."""

from dataclasses import dataclass
from typing import Literal

from riglog.records.readings.measured import Measured
from riglog.records.support import Length
from riglog.units import Meters


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class BalancePoint(Measured):
    """Where on the pivot's scale the build balances on an edge, laid horizontal: its neutral."""

    kind: Literal["balance-point"] = "balance-point"
    at: Meters
    sd: Length | None = None
