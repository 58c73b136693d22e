"""Where a rig stands: by its build's version, and by the readings that were taken of that version.

Readings of a version are later than the version itself, whatever the clocks say. Among them the
newest by when it was taken counts, then the latest in the log. Its entry holds every setting in
full; what it says of the head and of zooms holds until another says something else.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from riglog.records.body import from_body
from riglog.records.build import Build
from riglog.records.readings import reading_class
from riglog.records.stand import Stand

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from riglog.estimation.kit import Hung
    from riglog.logbook.entry import Entry
    from riglog.logbook.versions import Version
    from riglog.records import Reading, Setting
    from riglog.records.build import Head


class Standing(NamedTuple):
    """A version of a build, and how it stands.

    ``build`` is as it was recorded, ``entry`` its version's entry, ``number`` and ``name`` what
    people call that version. ``settings`` has every adjuster that somebody set, ``states`` and
    ``head`` what was last said of them, ``since`` when it was that told the settings.
    """

    build: Build
    entry: str
    number: int
    name: str
    settings: Mapping[str, Setting]
    states: Mapping[str, str]
    head: Head | None
    since: str

    def hung(self, day: str) -> Hung:
        """The build as it hangs on a day, for an estimate."""
        from riglog.estimation.kit import Hung  # numpy, which listing does without

        build = replace(self.build, states=self.states, head=self.head)
        return Hung(build=build, version=self.entry, settings=self.settings, day=day)


class Meant(NamedTuple):
    """The version of a thing that words mean, and how it stood if they say when.

    ``until`` is a day, or a month or an hour: what was read later does not count. ``named`` is the
    entry that names a state, which holds how a build stood then.
    """

    version: Version
    until: str = ""
    named: Entry | None = None


def is_by(at: str, until: str) -> bool:
    """Whether a time is not later than a day or hour, both as where it was recorded.

    Examples
    --------
    >>> is_by("2026-03-14T23:59:00+01:00", "2026-03-14"), is_by("2026-04-01T00:01:00Z", "2026-03")
    (True, False)
    """
    return at[: len(until)] <= until


def moment(on: str) -> float:
    """An RFC 3339 time in seconds, by which times of different offsets compare."""
    return datetime.fromisoformat(on).timestamp()


def reading_of(entry: Entry) -> tuple[Reading, Stand]:
    """The reading that an entry holds, and where the rig stood when it was taken."""
    body = dict(entry.body)
    stand = from_body(Stand, body.pop("stand"))
    return from_body(reading_class(body["kind"]), body), stand


def where(version: Version, readings: Iterable[Entry], until: str | None = None) -> Standing:
    """Where a version of a build stands.

    Parameters
    ----------
    version
        Of a build.
    readings
        Entries of readings of that build, in any order; those of other versions are passed over.
    until
        Leave out what was taken after that time.
    """
    entry, past = version.entry, _past(version.ids, readings, until)
    build = from_body(Build, entry.body)
    # Only the newest is made a noun: a build may have hundreds.
    settings = reading_of(past[-1])[1].settings if past else build.settings
    head, states = build.head, dict(build.states)
    for each in past:
        head = each.body.get("head", head)
        states |= each.body.get("states", {})
    return Standing(
        build=build,
        entry=entry.id,
        number=version.number,
        name=version.name,
        settings=settings,
        states=states,
        head=head,
        since=past[-1].body["on"] if past else entry.at,
    )


def as_named(version: Version, name: Entry) -> Standing:
    """How a version of a build stood when somebody named that state."""
    stand = from_body(Stand, name.body["stand"])
    return Standing(
        build=from_body(Build, version.entry.body),
        entry=version.entry.id,
        number=version.number,
        name=version.name,
        settings=stand.settings,
        states=stand.states,
        head=stand.head,
        since=name.at,
    )


def _past(versions: Collection[str], readings: Iterable[Entry], until: str | None) -> list[Entry]:
    """Readings of a version, by when they were taken, then recorded, then by their place."""
    latest = moment(until) if until else float("inf")
    own = (each for each in readings if each.body["stand"]["version"] in versions)
    past = [(moment(each.body["on"]), moment(each.at), each.seq, each) for each in own]
    return [each for when, *_, each in sorted(past) if when <= latest]
