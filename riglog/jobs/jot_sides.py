"""Both side pivots of a ring in a jotted line, where a stroke may part drop times as well."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.jobs.common import LONGEST_S
from riglog.library.adjusters import reach
from riglog.library.sides import parse_sides

if TYPE_CHECKING:
    from riglog.jobs.jot_scene import Scene, Words

_SIDE = r"[-+\u2212]?(?:[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*|\.[0-9]+)"
_UNIT = r" ?(?:mm|cm|in)"
# A comma with a space behind it parts sides only where the first has its unit: it may end a list.
_SIDES = re.compile(
    rf"(?P<left>{_SIDE})(?P<unit>{_UNIT})?(?:[/,]|(?(unit), |(?!)))(?P<right>{_SIDE})(?:{_UNIT})?"
)
_DECIMAL = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
# Words behind the first one of 3 1/8 in, 3 1/4 in.
_MOST = 5


def sides_text(word: str, words: Words, scene: Scene, *, named: bool) -> str | None:
    """The words that tell both sides, which are read; None where the next ones do not.

    Parameters
    ----------
    word
        The first one, which was taken.
    named
        Whether the pivot was named before it, so that no figure is a drop time.

    Raises
    ------
    CallError
        If the figures could be drop times as well, or one reading.
    """
    if scene.type != "ring":
        return None
    runs = ((count, words.run(word, count)) for count in range(_MOST, -1, -1))
    found = next(((count, run) for count, run in runs if _SIDES.fullmatch(run)), None)
    if found is None or not _are_sides(found[1], scene, named=named):
        return None
    words.skip(found[0])
    return found[1]


def _are_sides(text: str, scene: Scene, *, named: bool) -> bool:
    match = _SIDES.fullmatch(text)
    if match is None:
        return False
    if (
        not named
        and not re.search("[a-z]", text)
        and not _are_bare(match["left"], match["right"], scene)
    ):
        return False
    return parse_sides(text, scene.pivot.unit, reach(scene.pivot)) is not None


def _are_bare(left: str, right: str, scene: Scene) -> bool:
    """Whether two figures without a unit are sides: they may be drop times, which a stroke parts.

    Raises
    ------
    CallError
        If they could be both.
    """
    if not all(scene.fits(side) for side in (left, right)):
        return False
    if not all(_DECIMAL.fullmatch(side) and 0 < float(side) <= LONGEST_S for side in (left, right)):
        return True
    unit = scene.pivot.unit
    message = f"{quoted(f'{left}/{right}')} could be both sides or two drop times"
    raise CallError(message, hint=f"write {left}{unit},{right}{unit} or {left}s {right}s")
