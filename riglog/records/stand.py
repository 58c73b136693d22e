"""Where a rig stood when something was measured on it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from riglog.records.build import Head, Setting
from riglog.records.noun import Noun


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Stand(Noun):
    """Where the rig stood when a reading was taken: the build's version and every setting.

    ``states`` and ``head`` are what was last said of them, by the build or by a reading of it.
    """

    version: str
    settings: Mapping[str, Setting]
    states: Mapping[str, str] = field(default_factory=dict)
    head: Head | None = None
