"""How a rig hangs at the ends of a range that it was trimmed for."""

from typing import NamedTuple


class End(NamedTuple):
    """One state of a part, such as a zoom's long end, with every adjuster where it was settled.

    ``lean_rad`` is positive with the nose down; ``drop_s`` is None where it turns over.
    """

    part: str
    state: str
    lean_rad: float
    drop_s: float | None
