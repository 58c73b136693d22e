"""How a person stops the watch."""

from dataclasses import dataclass

from riglog.records.noun import Noun
from riglog.records.readings.drop import Method, TimedTo


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, repr=False)
class Habit(Noun):
    """Where ``author`` stops the watch by one ``method`` of timing a drop, as the person said."""

    author: str
    method: Method
    timed_to: TimedTo
