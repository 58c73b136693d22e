"""Rigs: what the camera hangs in, its mounts, its adjusters and what it is rated for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from riglog.records.limits import NOT_NEGATIVE, POSITIVE, Id, Note
from riglog.records.noun import Noun
from riglog.records.support import Adjuster, Length, Mount
from riglog.units import Kilograms, Meters


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class LoadRange(Noun):
    """Least and greatest load that the maker rates a link of the support for."""

    least: Annotated[Kilograms, NOT_NEGATIVE] | None = None
    greatest: Annotated[Kilograms, POSITIVE]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Rig(Noun):
    """A post rig or a ring rig.

    ``mounts`` are the places that parts sit on. Of the ``adjusters``, one is called ``pivot``: it
    tells where the tilt axis is. ``pivot_at`` places that
    axis across the post or guides (x, y); ``pivot_width`` is the distance between a ring's two
    side pivots. ``rated_load`` holds a range for each link that the maker rates; a single figure
    in a document stands for the whole rig under the name ``rig``.
    """

    id: Id
    type: Literal["post", "ring"]
    mounts: Mapping[Id, Mount] = field(default_factory=dict)
    adjusters: tuple[Adjuster, ...] = ()
    rated_load: Mapping[Id, LoadRange] = field(default_factory=dict)
    pivot_at: tuple[Meters, Meters] = (0.0, 0.0)
    pivot_width: Length | None = None
    tags: tuple[str, ...] = ()
    note: Note = ""

    def adjuster(self, name: str) -> Adjuster:
        """The rig's own adjuster of that name.

        Raises
        ------
        KeyError
            If the rig has none.
        """
        for adjuster in self.adjusters:
            if adjuster.id == name:
                return adjuster
        raise KeyError(name)
