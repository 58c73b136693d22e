"""The words of a swap as they are typed, so that the same swap can be asked for again."""

from collections.abc import Sequence
from typing import NamedTuple


class Conversion(NamedTuple):
    """A conversion as typed: the mode, and for parts what becomes of each.

    ``by`` holds `PART=MOUNT`, or `PART=` for its own base; ``turn`` holds `PART=ANGLE`; ``keep``
    the parts that stay on the rig as they are.
    """

    mode: str | None = None
    by: Sequence[str] = ()
    turn: Sequence[str] = ()
    keep: Sequence[str] = ()


NONE = Conversion()


class SwapWords(NamedTuple):
    """A swap as typed, but for what it is saved under: see ``riglog.jobs.swap.swap``.

    ``build`` is the id, or `ID@VERSION` of one that is not the newest.
    """

    build: str
    changes: Sequence[str] = ()
    wanted: str | None = None
    free: Sequence[str] = ()
    hold: Sequence[str] = ()
    set_: Sequence[str] = ()
    head: str | None = None
    rebalanced: bool = True
    conversion: Conversion = NONE
    states: Sequence[str] = ()

    @property
    def is_of_another_drop(self) -> bool:
        """Whether the build stays what it is, and is only set anew."""
        changed = self.changes or self.states or self.head or self.conversion != NONE
        return not changed
