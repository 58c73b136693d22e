"""What `log` says: each line as it was understood, and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.units import convert
from riglog.wording import figures, kept, layout, objects, readings
from riglog.wording.warned import dated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from riglog.errors import Finding
    from riglog.jobs.jots import Doubt
    from riglog.jobs.log_answers import Line, LogAnswer, OddDate
    from riglog.records import Setting
    from riglog.wording.warned import Message

_QUESTIONS = {
    "mark": "Is {said} the mark?",
    "far": "Is {said} the mark? It stood at {meant}.",
    "time": "Is {said} a drop time?",
    "comma": "Is {said} {meant}?",
    "part": "Is {said} {meant}?",
    "stays": "Does it still stand at {meant} after the swap?",
    "again": "The same was logged of {said} at {meant}. Is this another?",
    "place": "Is {said} on {meant}?",
    "repeats": "Is {said} {meant}?",
    "count": "Is {meant} all that was timed of {said}?",
}
_INDENT = "    "


def question(doubt: Doubt) -> str:
    """What is asked on a terminal: ``line 3: Is 489 the mark?``."""
    words = _QUESTIONS[doubt.kind].format(
        said=layout.harmless(doubt.said), meant=layout.harmless(doubt.meant)
    )
    return f"line {doubt.line}: {words} [y/n]"


def say(answer: LogAnswer) -> str:
    """A count, and each line with what it was taken to say."""
    return layout.page(echoed(answer), layout.listing("Left out:", map(_left_out, answer.refused)))


def echoed(answer: LogAnswer) -> str:
    """The same without the lines that were left out."""
    return layout.page(
        layout.lines(_counted(answer), *(message for _, message in _warnings(answer))),
        "\n".join(row for line in answer.lines for row in _rows(line, answer)),
    )


def _left_out(found: Finding) -> str:
    return f"line {found.line}: {layout.harmless(found.message)}; {layout.harmless(found.mend)}"


def tell(answer: LogAnswer) -> dict[str, Any]:
    """What became of each line: ``{"build", "dry_run", "lines", "refused", "warnings"}``.

    Each of ``lines`` is ``{"line", "meant", "on", "gone", "come", "pivot_mm", "settings",
    "times_s", "conditions", "note", "version", "entry", "reading", "remark", "already"}``:
    ``meant`` is the line in words that mean just this; ``gone`` and ``come`` are the parts that
    were exchanged, ``settings`` where other adjusters were told or are taken to stand after it,
    each ``{"adjuster", "at_mm", "told"}``; ``version`` and ``entry`` are that of the build,
    ``reading`` and ``remark`` the entries of the drop test and the note, null where there is none;
    ``already`` says that the line was logged before. ``refused`` holds lines that were left out,
    each ``{"line", "message", "mend"}``. Where nothing was recorded because lines are not
    understood, ``lines`` stands beside ``error``.
    """
    return {
        "build": answer.build,
        "dry_run": answer.dry_run,
        "lines": [_line(line) for line in answer.lines],
        "refused": [
            {"line": each.line, "message": each.message, "mend": each.mend}
            for each in answer.refused
        ],
        "warnings": objects.warnings(_warnings(answer)),
    }


def _warnings(answer: LogAnswer) -> list[Message]:
    later = _later(answer)
    return [
        *([("later_version", later)] if later else []),
        *((each.warned.code, _dated(each)) for each in answer.odd),
    ]


def _dated(odd: OddDate) -> str:
    """``Lines 1 and 2 are dated 2031-01-01, which cannot be right``, and what to do."""
    numbers = listed(map(str, odd.lines), "and")
    lines = f"Lines {numbers} are" if len(odd.lines) > 1 else f"Line {numbers} is"
    return f"{lines} {dated(odd.warned).removeprefix('It is ')}"


def _counted(answer: LogAnswer) -> str:
    """How many readings and versions; what a dry run would record."""
    new = [line for line in answer.lines if not line.already]
    counts = {
        "drop test": sum(bool(line.jot.times_s) for line in new),
        "new version": sum(_is_version(line) for line in new),
        "note": sum(_is_remark(line) for line in new),
    }
    told = [kept.many(count, noun) for noun, count in counts.items() if count]
    if not told:
        return f"Nothing new for {answer.build}."
    done = "Would record" if answer.dry_run else "Recorded"
    return f"{done} {listed(told, 'and')} of {answer.build}."


def _later(answer: LogAnswer) -> str:
    if not answer.later:
        return ""
    return (
        f"Read against {answer.build}@{answer.later}, which was recorded after that day; if another"
        f" version stood then, name it: riglog history {answer.build}."
    )


def _is_version(line: Line) -> bool:
    """Whether a line changes the build: parts, or readings of its scales without a drop test."""
    jot = line.jot
    return bool(jot.changes) or (not jot.times_s and bool(jot.settings or jot.mark is not None))


def _is_remark(line: Line) -> bool:
    return not line.jot.times_s and bool(line.jot.note or line.jot.conditions)


def _rows(line: Line, answer: LogAnswer) -> Iterator[str]:
    """The line in words that mean just this, then what was made of it."""
    start = f"{line.number:>3} "
    yield layout.wrapped(layout.harmless(line.meant), start, _INDENT)
    for told in _made(line, answer):
        if told:
            yield layout.wrapped(told, _INDENT, _INDENT)


def _made(line: Line, answer: LogAnswer) -> Iterator[str]:
    if line.already:
        other = f", at {line.again[11:16]}; if it is another, write its time too"
        yield f"logged before{other if line.again else ''}"
        return
    if line.day_only:
        return
    if line.after:
        yield f"{layout.harmless(line.after)}{_slides(line, answer)}"
    if line.jot.times_s:
        yield f"{kept.minute(line.on)}, {_where(line.mark, answer)}: {_drop(line)}{_kept_as(line)}"
    elif _is_version(line):
        yield f"{kept.minute(line.on)}, {_where(line.mark, answer)}"
    if line.untrimmed:
        yield f"where the other adjusters went is not known: {line.untrimmed}"


def _slides(line: Line, answer: LogAnswer) -> str:
    """Where adjusters that were not told are taken to stand."""
    at = [
        f"{layout.harmless(name)} {readings.mark(setting, answer.adjusters[name])}"
        for name, setting in (line.slides or {}).items()
    ]
    return f", and trimmed: {', '.join(at)}" if at else ""


def _where(mark: Setting | None, answer: LogAnswer) -> str:
    return "no mark" if mark is None else readings.mark(mark, answer.adjusters["pivot"])


def _drop(line: Line) -> str:
    times = line.jot.times_s
    mean = figures.seconds(sum(times) / len(times))
    told = mean if len(times) == 1 else f"{mean}, the mean of {len(times)}"
    apart = f", kept out of estimates: {listed(line.jot.conditions, 'and')}"
    return f"{told}{apart if line.jot.conditions else ''}"


def _kept_as(line: Line) -> str:
    return f" [{kept.short(line.reading)}]" if line.reading else ""


def _line(line: Line) -> dict[str, Any]:
    return {
        "line": line.number,
        "meant": line.meant,
        "on": line.on,
        "gone": list(line.gone),
        "come": list(line.come),
        **readings.mark_json(line.mark),
        "settings": [
            *_settings(line.jot.settings, told=True), *_settings(line.slides or {}, told=False),
        ],
        "times_s": [convert(each, "s") for each in line.jot.times_s],
        "conditions": list(line.jot.conditions),
        "note": line.jot.note,
        "version": kept.number(line.version) if line.version else None,
        "entry": line.entry or None,
        "reading": line.reading or None,
        "remark": line.remark or None,
        "already": line.already,
    }  # fmt: skip


def _settings(settings: Mapping[str, Setting], *, told: bool) -> Iterator[dict[str, Any]]:
    for name, at in settings.items():
        assert isinstance(at, float)
        yield {"adjuster": name, "at_mm": objects.number(at, "mm"), "told": told}
