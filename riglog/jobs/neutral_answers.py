"""What `neutral` answers with."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from riglog.jobs.answers import Value, Warned


class NeutralAnswer(NamedTuple):
    """Neutral mark, radius of gyration and wanted mark from marks alone.

    ``unit`` is the one that the marks were written in, ``lean_rad`` by how much the guides lean.
    """

    marks_m: tuple[float, ...]
    times_s: tuple[float, ...]
    wanted_s: float | None
    neutral_m: Value
    gyration_m: Value
    mark_m: Value | None
    first_m: float | None
    first_drop_s: Value | None
    warnings: Sequence[Warned] = ()
    unit: Literal["mm", "cm", "in"] = "mm"
    lean_rad: float = 0.0
