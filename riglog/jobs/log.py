"""`log`: lines as people jot them, into readings and versions of the build in use."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError, DocumentError, Finding, NoAnswerError
from riglog.jobs.fitting import fit
from riglog.jobs.jots import Jot, words_of
from riglog.jobs.jotting import read_line
from riglog.jobs.log_answers import Line, LogAnswer
from riglog.jobs.log_scene import State, after_swap, scene_of
from riglog.library.adjusters import adjusters_of
from riglog.library.clock import instant, today
from riglog.library.days import day_of
from riglog.library.recording import key_of, record, record_reading
from riglog.library.remarks import say
from riglog.library.standing import moment, reading_of
from riglog.library.targets import Target
from riglog.logbook.entry import now
from riglog.logbook.search import Sought
from riglog.records import Build, Drop, from_body, to_body

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from riglog.jobs.jots import Doubt
    from riglog.library import Library, Standing
    from riglog.logbook import Entry, Transaction
    from riglog.records import Setting

_OF_A_DAY, _LOOKED_AT = 1000, 50


class _Plan(NamedTuple):
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


def log(
    library: Library,
    file: str,
    build: str | None = None,
    *,
    on: str | None = None,
    dry_run: bool = False,
    partly: bool = False,
    ask: Callable[[Doubt], bool] | None = None,
) -> LogAnswer:
    """Read jotted lines against a build, and record all of them or nothing.

    Parameters
    ----------
    file
        Its name; ``-`` is standard input.
    build
        Words for the build; None means the one in use.
    on
        Words for the day of the lines; None means today.
    partly
        Record what is understood, and leave out the other lines.
    ask
        Whether a doubtful thing is meant; None where nobody can be asked.

    Raises
    ------
    DocumentError
        If a line is not understood: one finding each; nothing is recorded.
    CallError
        If the file cannot be read, or no build is meant.
    """
    day = today() if on is None else day_of(on, today())
    lines = _lines(file)
    until = None if day == today() else instant(f"{day}T23:59:59")
    standing = library.standing(build, until)
    reader = _Reader(library, standing, day, ask)
    plans, refused = _planned(reader, file, lines)
    plans, past = _timely(plans, file)
    refused = sorted([*refused, *past], key=lambda each: each.line)
    if refused and not partly:
        raise DocumentError(_count(len(refused), len(plans)), findings=tuple(refused))
    done = [plan.line for plan in plans] if dry_run else _record(library, plans)
    later = _later(library, standing, day)
    return LogAnswer(reader.build, file, reader.scales, done, refused, dry_run, later)


def _later(library: Library, standing: Standing, day: str) -> str:
    """The version that the lines are read against, if it may not have stood on that day."""
    recorded = library.logbook.entry(standing.entry)
    return standing.name if recorded.parents and recorded.at[:10] > day else ""


def _count(refused: int, understood: int) -> str:
    if refused + understood == 1:
        return "the line is not understood: nothing was recorded"
    of = f"{refused} of {refused + understood} lines"
    return f"{of} {'is' if refused == 1 else 'are'} not understood: nothing was recorded"


def _lines(file: str) -> list[tuple[int, str]]:
    """Lines that say something, with their numbers; what begins with # does not."""
    from riglog.interchange.source import LARGEST, read_bytes

    content = _standard_input(LARGEST) if file == "-" else read_bytes(file)
    if len(content) > LARGEST:
        raise CallError(f"{file} is too large to have been jotted", hint="give it in parts")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise CallError(f"{file} is no text in UTF-8", hint="save it as UTF-8") from error
    numbered = enumerate(text.splitlines(), 1)
    return [(n, line) for n, line in numbered if line.strip() and not line.lstrip().startswith("#")]


def _standard_input(most: int) -> bytes:
    import sys

    return sys.stdin.buffer.read(most + 1)


def _planned(
    reader: _Reader, file: str, lines: Sequence[tuple[int, str]]
) -> tuple[list[_Plan], list[Finding]]:
    plans: list[_Plan] = []
    refused: list[Finding] = []
    for number, text in lines:
        try:
            plans.append(reader.plan(number, text))
        except (CallError, NoAnswerError) as error:
            refused.append(Finding(file, number, error.message, error.hint))
    return plans, refused


def _timely(plans: Sequence[_Plan], file: str) -> tuple[list[_Plan], list[Finding]]:
    """Without what was logged before, and without new versions that would come too late.

    Whoever logs a page again has added to its end: above a reading that is there, all is there.
    """
    last = max((n for n, plan in enumerate(plans) if plan.line.already), default=-1)
    timely: list[_Plan] = []
    late: list[Finding] = []
    for number, plan in enumerate(plans):
        if number < last and plan.reading is None:
            timely.append(_Plan(plan.line._replace(already=True), plan.subject))
        elif plan.past:
            message = f"{plan.subject} was read of at {plan.past}, after this line"
            hint = "a new version would stand for now; log such lines on a build of their own"
            late.append(Finding(file, plan.line.number, message, hint))
        else:
            timely.append(plan)
    return timely, late


class _Reader:
    """Reads one line after another, each against what those above it left."""

    def __init__(
        self,
        library: Library,
        standing: Standing,
        day: str,
        ask: Callable[[Doubt], bool] | None,
    ) -> None:
        self._library = library
        self._ask = ask
        self._day = day
        self._last = ""
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

    def plan(self, number: int, text: str) -> _Plan:
        """What becomes of a line.

        Raises
        ------
        CallError
            If it is not understood.
        """
        ask = self._ask
        asked = None if ask is None else lambda doubt: ask(doubt._replace(line=number))
        jot = read_line(text, scene_of(self._library, self._state, asked))
        line = Line(number, words_of(jot, self._state.adjusters), jot)
        on = self._when(jot)
        if jot == Jot(day=jot.day):
            return _Plan(line._replace(on=self._day, day_only=True), self.build)
        line = line._replace(on=on)
        reading = self._reading(jot, on)
        if reading and (before := self._logged(reading)):
            return _Plan(self._resumed(line, before), self.build)
        return self._understood(line, reading)

    def _when(self, jot: Jot) -> str:
        """When a line was: at its time, else at that of the line above."""
        if jot.day is not None and jot.day != self._day:
            self._day, self._last = jot.day, ""
        if jot.time is None:
            first = now() if self._day == today() else instant(self._day)
            self._last = self._last or first
            return self._last
        on = instant(f"{self._day}T{jot.time}")
        if self._last and moment(on) < moment(self._last):
            raise CallError(
                f"{jot.time} is before {self._last[11:16]}, the line above",
                hint=f"write the day too, as {self._day} {jot.time}, or mend the time",
            )
        self._last = on
        return on

    def _reading(self, jot: Jot, on: str) -> Drop | None:
        if not jot.times_s:
            return None
        mark = {} if jot.mark is None else {"pivot": jot.mark}
        return Drop(
            build=self.build, on=on, times=jot.times_s, settings={**jot.settings, **mark},
            conditions=jot.conditions, note=jot.note,
        )  # fmt: skip

    def _logged(self, reading: Drop) -> Entry | None:
        """The entry that holds the very same reading."""
        day = reading.on[:10]
        key = key_of(to_body(reading))
        there = self._library.logbook.found(Sought(("reading",), days=(day, day)), _OF_A_DAY)
        same = (e for e in there if e.subject == self.build and key_of(e.body) == key)
        return next(same, None)

    def _resumed(self, line: Line, before: Entry) -> Line:
        """Go on from where the build stood when the very line was logged before."""
        log = self._library.logbook
        _, stand = reading_of(before)
        version = log.version_of(log.entry(stand.version))
        build = from_body(Build, version.entry.body)
        self._move(build, dict(stand.settings))
        self._version = version.name
        mark = stand.settings.get("pivot")
        return line._replace(
            mark=mark, already=True, version=version.name, entry=stand.version, reading=before.id
        )

    def _understood(self, line: Line, reading: Drop | None) -> _Plan:
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
        return _Plan(line, self.build, build, reading, self._version, words, past)

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


def _last_reading(library: Library, build: str) -> str:
    """When the newest of the last readings of a build was taken; empty if there is none."""
    times = (each.body["on"] for each in library.logbook.readings_of(build, limit=_LOOKED_AT))
    return max(times, key=moment, default="")


def _record(library: Library, plans: Sequence[_Plan]) -> list[Line]:
    """All of it in one transaction; the lines with what was recorded of each."""
    with library.logbook.writing() as log:
        return [_recorded(log, plan, library.author) for plan in plans]


def _recorded(log: Transaction, plan: _Plan, author: str) -> Line:
    line = plan.line
    if plan.build:
        made = record(log, plan.build, author)
        line = line._replace(version=made.name, entry=made.entry)
    if plan.reading:
        read = record_reading(log, plan.reading, author, plan.version)
        line = line._replace(version=read.name, reading=read.entry)
    if plan.words:
        about = Target("build", plan.subject, None)
        kept = say(log, "note", about, {"note": plan.words}, author)
        nothing_else = not (plan.build or plan.reading or kept.new)
        line = line._replace(remark=kept.entry.id, already=nothing_else)
    return line
