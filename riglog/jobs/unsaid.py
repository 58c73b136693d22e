"""What nobody said of a conversion: cameras and monitors that may stay as they are, or not."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import UnsaidError, listed
from riglog.jobs.turning import can_turn_over, told

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from riglog.jobs.exchange import Lookup
    from riglog.records import Build, Part

_ASKED = frozenset({"camera", "monitor"})
# What looks through a mount says that no rig hangs by it.
_OPTICAL = frozenset({"lens", "matte-box", "filter"})


class Way(NamedTuple):
    """A mount of its own that a part could hang by, "" for its base, and what is on that now."""

    part: str
    mount: str
    off: tuple[str, ...]

    @property
    def call(self) -> str:
        """What could be typed."""
        return " ".join([*(f"{name}=" for name in self.off), f"--by {self.part}={self.mount}"])

    @property
    def said(self) -> str:
        """What could be typed, in a sentence."""
        return self.call if self.mount else f"{self.call} for its base"


class Unsaid(NamedTuple):
    """A part of which nobody said what becomes of it.

    ``ways`` are those it could hang by instead, the likeliest first; without any it is turned
    where it sits. ``turn`` is what it is turned by now, in words. ``stuck`` says why nothing but
    leaving it can be called for.
    """

    part: str
    ways: Sequence[Way]
    turn: str = ""
    stuck: str = ""

    @property
    def words(self) -> str:
        """What could be typed, with the first of its mounts as an example."""
        if self.stuck:
            return ""
        return self.ways[0].call if self.ways else f"--turn {self.part}=180deg"

    @property
    def free(self) -> list[str]:
        """Mounts that nothing has to come off."""
        return [way.mount for way in self.ways if not way.off]

    @property
    def can_be_asked(self) -> bool:
        """Whether one word says what becomes of it."""
        return not self.stuck and (not self.ways or bool(self.free))


def refuse_unsaid(build: Build, said: Collection[str], mode: str, component: Lookup) -> None:
    """Name every camera and monitor that nothing was said of.

    Raises
    ------
    UnsaidError
        If there are any.
    """
    parts = [part for part in build.parts if component(part.component).kind in _ASKED]
    unsaid = [_unsaid(build, part, mode, component) for part in parts if part.id not in said]
    if unsaid:
        names = [each.part for each in unsaid]
        message = (
            f"nobody said how {listed(names, 'and')} hang{'s' * (len(names) == 1)} in {mode} mode"
        )
        raise UnsaidError(message, hint="; ".join(_mends(unsaid)), asked=unsaid)


def _mends(unsaid: Sequence[Unsaid]) -> Iterator[str]:
    ways = [each.words for each in unsaid if each.words]
    if ways:
        yield f"add {' '.join(ways)}"
    yield from (each.stuck for each in unsaid if each.stuck)
    as_they_are = "as it is" if len(unsaid) == 1 else "as they are"
    yield f"or, left {as_they_are}, {' '.join(f'--keep {each.part}' for each in unsaid)}"


def _unsaid(build: Build, part: Part, mode: str, component: Lookup) -> Unsaid:
    """A monitor is turned where it sits, unless it hangs by a mount; a camera hangs another way."""
    is_turned = component(part.component).kind == "monitor" and part.by is None
    ways = () if is_turned else ways_to_hang(build, part, component)
    turn = told(part.turn) if part.turn else ""
    stuck = ""
    if not can_turn_over(part):
        stuck = f"{part.id} is {turn}: write its turn in {mode} mode into a document"
    elif not (is_turned or ways):
        stuck = f"{part.id} has nothing to hang by: add a mount, such as top, to its document"
    return Unsaid(part.id, ways, turn, stuck)


def ways_to_hang(build: Build, part: Part, component: Lookup) -> tuple[Way, ...]:
    """By its base if it does not, by free mounts, by others; one called top before its like."""
    on = {
        name: [each for each in build.parts if each.on == f"{part.id}.{name}"]
        for name in component(part.component).mounts
        if name != part.by
    }
    ways = [
        Way(part.id, name, tuple(each.id for each in there))
        for name, there in on.items()
        if not any(component(each.component).kind in _OPTICAL for each in there)
    ]
    base = () if part.by is None else (Way(part.id, "", ()),)
    return (*base, *sorted(ways, key=lambda way: (way.off, way.mount != "top", way.mount)))
