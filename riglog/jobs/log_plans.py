"""What becomes of jotted lines: each is read against what those above it left of the build."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError
from riglog.jobs.fitting import fit
from riglog.jobs.jots import Doubt, Jot, words_of
from riglog.jobs.jotting import read_line
from riglog.jobs.log_answers import Line
from riglog.jobs.log_before import Before
from riglog.jobs.log_scene import State, after_swap, scene_of
from riglog.library.adjusters import adjusters_of
from riglog.library.clock import instant, today
from riglog.library.days import day_of
from riglog.library.standing import moment, reading_of
from riglog.logbook.entry import now
from riglog.records import Build, Drop, from_body

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from riglog.library import Library, Standing
    from riglog.logbook import Entry
    from riglog.records import Setting

_LOOKED_AT = 50


class Plan(NamedTuple):
    """What a line becomes: a new version, a reading of one, words; any of them may be missing.

    ``past`` says when the build was read of after the line, where the line makes a new version.
    """

    line: Line
    subject: str
    build: Build | None = None
    reading: Drop | None = None
    version: str | None = None
    words: str = ""
    past: str = ""


class Reader:
    """Reads one line after another, each against what those above it left.

    ``warned`` that lines may not have been logged before, it asks where one says the same as a
    reading of another version.
    """

    def __init__(
        self,
        library: Library,
        standing: Standing,
        day: str,
        ask: Callable[[Doubt], bool] | None,
        *,
        warned: bool = False,
    ) -> None:
        self._library = library
        self._ask = ask
        self._day = day
        self._last = ""
        self._by_clock = False
        self._warned = warned
        self._before = Before(library)
        self._now = self._led_to = standing.name
        self._version: str | None = standing.name
        self._since = _last_reading(library, standing.build.id)
        self._state = State(
            standing.build, standing.settings, adjusters_of(library, standing.build)
        )
        self.scales = dict(self._state.adjusters)

    @property
    def build(self) -> str:
        """The id of the build."""
        return self._state.build.id

    @property
    def is_astray(self) -> bool:
        """Whether lines were taken for former ones that do not lead to where the build is now."""
        return self._led_to != self._now

    def plan(self, number: int, text: str) -> Plan:
        """What becomes of a line.

        Raises
        ------
        CallError
            If it is not understood.
        """
        ask = self._ask
        asked = None if ask is None else lambda doubt: ask(doubt._replace(line=number))
        jot = _day_of(text) or read_line(text, scene_of(self._library, self._state, asked))
        line = Line(number, words_of(jot, self._state.adjusters), jot)
        on = self._when(jot)
        if jot == Jot(day=jot.day):
            return Plan(line._replace(on=self._day, day_only=True), self.build)
        line = line._replace(on=on)
        reading = self._reading(jot, on)
        if reading and (before := self._logged(reading, asked)):
            again = before.body["on"] if before.body["on"] != on else ""
            return Plan(self._resumed(line._replace(again=again), before), self.build)
        return self._understood(line, reading)

    def _when(self, jot: Jot) -> str:
        """When a line was: at its time, else at that of the line above."""
        if jot.day is not None and jot.day != self._day:
            self._day, self._last, self._by_clock = jot.day, "", False
        if jot.time is None:
            self._by_clock = self._by_clock or not (self._last or self._day != today())
            first = now() if self._day == today() else instant(self._day)
            self._last = self._last or first
            return self._last
        on = instant(f"{self._day}T{jot.time}")
        if self._last and moment(on) < moment(self._last):
            raise CallError(
                f"{jot.time} is before {self._last[11:16]}, the line above",
                hint=f"write the day too, as {self._day} {jot.time}, or mend the time",
            )
        self._last, self._by_clock = on, False
        return on

    def _reading(self, jot: Jot, on: str) -> Drop | None:
        if not jot.times_s:
            return None
        mark = {} if jot.mark is None else {"pivot": jot.mark}
        return Drop(
            build=self.build, on=on, times=jot.times_s, settings={**jot.settings, **mark},
            conditions=jot.conditions, note=jot.note,
        )  # fmt: skip

    def _logged(self, reading: Drop, asked: Callable[[Doubt], bool] | None) -> Entry | None:
        """The entry that holds the reading of a line, if it was logged before.

        A line without a time is taken for one that says the same on this day. Of another version
        it is so only as long as all lines of the page lead to where the build is now.

        Raises
        ------
        CallError
            If it is not certain, and nobody says so.
        """
        if (same := self._before.same(reading)) or not self._by_clock:
            return same
        found = self._before.like(reading)
        own = [each for each in found if self._before.version(each) == self._version]
        for each in own if self._warned else found[:1]:
            return self._before.take(each)
        if found and self._warned:
            self._refuse_unless_again(found[0], asked)
        return None

    def _refuse_unless_again(self, entry: Entry, asked: Callable[[Doubt], bool] | None) -> None:
        was = f"{self.build}@{self._before.version(entry)}"
        at = entry.body["on"][11:16]
        if asked is None or not asked(Doubt("again", was, at)):
            raise CallError(
                f"the same was logged of {was} at {at}",
                hint="write its time too, as 14:20, if it is another",
            )

    def _resumed(self, line: Line, before: Entry) -> Line:
        """Go on from where the build stood when the very line was logged before."""
        log = self._library.logbook
        _, stand = reading_of(before)
        version = log.version_of(log.entry(stand.version))
        build = from_body(Build, version.entry.body)
        self._move(build, dict(stand.settings))
        self._version = self._led_to = version.name
        mark = stand.settings.get("pivot")
        return line._replace(
            mark=mark, already=True, version=version.name, entry=stand.version, reading=before.id
        )

    def _understood(self, line: Line, reading: Drop | None) -> Plan:
        jot = line.jot
        told = {**jot.settings, **({} if jot.mark is None else {"pivot": jot.mark})}
        words = "" if reading else " ".join([*jot.conditions, jot.note]).strip()
        if jot.changes:
            line, build = self._swapped(line, told)
        elif told and reading is None:
            build = replace(self._state.build, settings={**self._state.settings, **told})
            self._version = None
        else:
            build = None
        self._move(build or self._state.build, told if build is None else dict(build.settings))
        line = line._replace(mark=self._state.settings.get("pivot"))
        past = self._past(line.on) if build else ""
        return Plan(line, self.build, build, reading, self._version, words, past)

    def _swapped(self, line: Line, told: dict[str, Setting]) -> tuple[Line, Build]:
        """The build with parts exchanged, and where its adjusters stand."""
        fitted = fit(self._library, self._state.build, (), line.jot.changes)
        settings, why = after_swap(self._library, self._state, fitted, told, line.on[:10])
        slides = {
            name: at for name, at in settings.items()
            if name != "pivot" and name not in told and self._state.settings.get(name) != at
        }  # fmt: skip
        self._version = None
        line = line._replace(
            after=fitted.said, gone=fitted.gone, come=fitted.come, slides=slides, untrimmed=why
        )
        return line, replace(fitted.build, settings=settings)

    def _past(self, on: str) -> str:
        """When the build was read of after a line; empty if it was not."""
        late = self._since and moment(self._since) > moment(on)
        return self._since[:16].replace("T", " ") if late else ""

    def _move(self, build: Build, settings: Mapping[str, Setting]) -> None:
        self._state = self._state.after(self._library, build, settings)
        self.scales |= self._state.adjusters


def _day_of(text: str) -> Jot | None:
    """A line that is a day and nothing else: ``friday``, ``last monday:``."""
    try:
        return Jot(day=day_of(text.strip(" \t-*#:"), today()))
    except CallError:
        return None


def _last_reading(library: Library, build: str) -> str:
    """When the newest of the last readings of a build was taken; empty if there is none.

    One that is dated in the future is a slip of who dated it, and says nothing of other lines.
    """
    clock = moment(now())
    times = (each.body["on"] for each in library.logbook.readings_of(build, limit=_LOOKED_AT))
    return max((on for on in times if moment(on) <= clock), key=moment, default="")
