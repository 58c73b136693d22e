"""Settings that the physics ignores, as they were once made."""

from typing import NamedTuple


class Remembered(NamedTuple):
    """What was set when this much hung there: ``said`` as it was written down."""

    key: str
    said: str
    mass_kg: float
    build: str
