"""`log`: lines as people jot them, into readings and versions of the build in use."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from riglog.errors import CallError, Finding, NoAnswerError
from riglog.jobs.dated import odd_date
from riglog.jobs.log_answers import Line, LogAnswer, OddDate, PageError
from riglog.jobs.log_plans import Plan, Reader
from riglog.library.clock import instant, today
from riglog.library.days import day_of
from riglog.library.recording import record, record_reading
from riglog.library.remarks import say
from riglog.library.targets import Target
from riglog.logbook.entry import now

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from riglog.jobs.jots import Doubt
    from riglog.library import Library, Standing
    from riglog.logbook import Transaction


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
    PageError
        If a line is not understood: one finding each; nothing is recorded.
    CallError
        If the file cannot be read, or no build is meant.
    """
    ask = ask and cache(ask)  # a page may be read twice, and nobody is asked twice
    day = today() if on is None else day_of(on, today())
    lines = _lines(file)
    until = None if day == today() else instant(f"{day}T23:59:59")
    standing = library.standing(build, until)
    reader = Reader(library, standing, day, ask)
    plans, refused = _planned(reader, file, lines)
    if reader.is_astray:
        reader = Reader(library, standing, day, ask, warned=True)
        plans, refused = _planned(reader, file, lines)
    plans, past = _timely(plans, file)
    refused = sorted([*refused, *past], key=lambda each: each.line)
    keep = not (dry_run or (refused and not partly))
    done = _record(library, plans) if keep else [plan.line for plan in plans]
    later = _later(library, standing, day)
    answer = LogAnswer(
        reader.build, file, reader.scales, done, refused, not keep, later, _odd_dates(done)
    )
    if refused and not partly:
        hint = "mend them, or leave them out: add --partly" if plans else ""
        raise PageError(_count(len(refused), len(plans)), hint=hint, answer=answer)
    return answer


def _odd_dates(lines: Sequence[Line]) -> list[OddDate]:
    """Those of new lines, each day once."""
    found: dict[tuple[str, str], OddDate] = {}
    clock = now()
    for line in lines:
        if line.day_only or line.already:
            continue
        for odd in odd_date(line.on, clock):
            key = odd.code, line.on[:10]
            known = found.get(key, OddDate(odd, ()))
            found[key] = known._replace(lines=(*known.lines, line.number))
    return list(found.values())


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
    reader: Reader, file: str, lines: Sequence[tuple[int, str]]
) -> tuple[list[Plan], list[Finding]]:
    plans: list[Plan] = []
    refused: list[Finding] = []
    for number, text in lines:
        try:
            plans.append(reader.plan(number, text))
        except (CallError, NoAnswerError) as error:
            refused.append(Finding(file, number, error.message, error.hint))
    return plans, refused


def _timely(plans: Sequence[Plan], file: str) -> tuple[list[Plan], list[Finding]]:
    """Without what was logged before, and without new versions that would come too late.

    Whoever logs a page again has added to its end: above a reading that is there, all is there.
    """
    last = max((n for n, plan in enumerate(plans) if plan.line.already), default=-1)
    timely: list[Plan] = []
    late: list[Finding] = []
    for number, plan in enumerate(plans):
        if number < last and plan.reading is None:
            timely.append(Plan(plan.line._replace(already=True), plan.subject))
        elif plan.past:
            message = f"{plan.subject} was read of at {plan.past}, after this line"
            hint = "a new version would stand for now; log such lines on a build of their own"
            late.append(Finding(file, plan.line.number, message, hint))
        else:
            timely.append(plan)
    return timely, late


def _record(library: Library, plans: Sequence[Plan]) -> list[Line]:
    """All of it in one transaction; the lines with what was recorded of each."""
    with library.logbook.writing() as log:
        return [_recorded(log, plan, library.author) for plan in plans]


def _recorded(log: Transaction, plan: Plan, author: str) -> Line:
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
