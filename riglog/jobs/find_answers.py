"""What `find` answers with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.jobs.answers import Move
    from riglog.records import Adjuster, Setting


class Compared(NamedTuple):
    """The build that finds are held against.

    ``after`` says what is taken to be on it beyond its log, ``lens-75 for lens-35``, and ``why``
    what could not be put on it.
    """

    build: str
    version: str
    type: Literal["post", "ring"]
    mode: Literal["high", "low"]
    after: str
    why: str


class Now(NamedTuple):
    """The mark at which the build compared with drops in the time that was logged.

    ``marked``, the pivot or what else sets the drop, and the other adjusters that go elsewhere are
    as a swap puts them; ``first_m`` is the safe mark to start from. ``drop_s`` is that time, and
    ``as_wanted`` says that nobody timed it and it is what the build is wanted to have.
    ``disputed`` are components whose weighings disagree.
    """

    marked: Move
    others: tuple[Move, ...]
    first_m: float
    drop_s: float
    as_wanted: bool
    disputed: tuple[str, ...] = ()


class Found(NamedTuple):
    """A logged version of a build, and the mark at which it was left.

    ``times_s`` are the drop times there, none where nobody timed it; ``plain`` says that nothing
    pulled or pushed meanwhile. ``wanted_s`` is what was wanted of that version. ``reading`` is the
    entry of that reading, empty where the build alone tells the mark; ``on`` is when that was.
    ``common`` counts the parts that it shares with the build compared with, its rig among them.
    ``gone`` are parts that it had and that one has not, ``come`` the other way round, ``moved``
    those that sit elsewhere; ``other`` is rig or mode where those differ. ``why`` tells why there
    is no mark for now.
    """

    build: str
    version: str
    entry: str
    on: str
    author: str
    rig: str
    pivot: Adjuster
    mark: Setting | None
    note: str
    tags: tuple[str, ...]
    reading: str = ""
    times_s: tuple[float, ...] = ()
    plain: bool = False
    wanted_s: float | None = None
    common: int = 0
    gone: tuple[str, ...] = ()
    come: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    other: tuple[str, ...] = ()
    now: Now | None = None
    why: str = ""


class FindAnswer(NamedTuple):
    """The nearest first. ``apart`` says that nothing has all the components asked for."""

    found: Sequence[Found]
    compared: Compared | None
    apart: bool = False
