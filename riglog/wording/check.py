"""What `check` says: what stands out, then every reading against what was expected of it."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.units import show
from riglog.wording import check_objects, evidence, figures, kept, layout, masses, objects, readings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from riglog.jobs.answers import Value
    from riglog.jobs.check_answers import (
        CheckAnswer,
        CheckedReading,
        Disputed,
        Said,
        Weighed,
    )
    from riglog.jobs.listing import Read

_HEADING = ("AT", "MARK", "LOGGED", "BEFORE", "NOW", "OFF", "ENTRY")
_ALIGN = "<>>>>><"
_NAMES: Mapping[str, str] = {
    "drop": "drop ",
    "neutral": "edge ",
    "lean": "lean ",
    "side": "side ",
    "hold": "hold ",
    "pan": "pan ",
}
_DECIMALS: Mapping[str, int] = {"drop": 1, "mass": 2, "lean": 1, "side": 1, "hold": 1, "pan": 1}
# Top heavy, in a column.
_TIPS = "tips"
_LOOK = (
    "Look first at what was written down there; else a part may be missing, moved, exchanged or"
    " wrongly weighed."
)


def say(answer: CheckAnswer) -> str:
    """What stands out, and a line for each reading below its version and day."""
    return layout.page(
        layout.lines(_spoken(answer), _LOOK if answer.outstanding else ""),
        *(_weighings(each, answer.pivot.unit) for each in answer.disputed),
        _table(answer),
        layout.lines(_legend(answer), evidence.rests_on(answer.evidence)),
    )


def tell(answer: CheckAnswer) -> dict[str, Any]:
    """What stands out, and every reading against what was expected of it, as one object.

    ``{"build", "version", "entry", "quiet", "outstanding", "limit_deviations", "readings",
    "disputed", "evidence"}``

    ``outstanding`` has the entries of readings that stand out, the furthest first. A reading has
    its ``entry``, the ``version`` and ``name`` of its build's version, ``kind``, ``on``,
    ``author``, its mark, ``stands_out``, the ``conditions`` that keep it out of every estimate, the
    ``slip_probability`` where a slip is likelier than not, and ``said``: for each figure ``what``
    it is, and the figure under a key such as ``drop_s``. It is drop (of swings the drop time that
    they stand for), mass, neutral, lean, side, hold (the tilt at which friction holds it) or pan.
    ``before`` is what was expected of it when it was logged, ``now`` what all other readings
    expect: under the same key ``{"value", "low", "high"}``, and ``deviations``, how many standard
    deviations the figure was more than that. ``disputed`` has each ``component`` whose
    ``weighings`` disagree, with the ``mass_kg`` and ``mass_sd_kg`` that it counts as, and
    ``deviations``, how many times further apart they are than they should be.
    """
    return {
        **objects.named(answer.named),
        "quiet": not (answer.outstanding or answer.disputed),
        "outstanding": [each.read.kept.entry for each in answer.outstanding],
        "limit_deviations": answer.limit,
        "readings": [check_objects.reading(each) for each in answer.readings],
        "disputed": [check_objects.disputed(each) for each in answer.disputed],
        "evidence": objects.evidence(answer.evidence),
    }


def _spoken(answer: CheckAnswer) -> str:
    build, count = answer.named.build, len(answer.readings)
    if answer.disputed and not answer.outstanding:
        names = listed([layout.harmless(each.component) for each in answer.disputed], "and")
        return f"The weighings of {names} do not agree: weigh again."
    if not count:
        return f"{build} has no readings yet: there is nothing to check."
    if not answer.outstanding:
        what = "its one reading is" if count == 1 else f"all its {count} readings are"
        return f"{build} is quiet: {what} as was to be expected."
    first, *others = answer.outstanding
    line = f"Reading {kept.short(first.read.kept.entry)} {_is(first)}: {_against(first)}."
    if not others:
        return line
    more = listed([kept.short(each.read.kept.entry) for each in others], "and")
    return f"{line} {more} {'stands' if len(others) == 1 else 'stand'} out too."


def _is(checked: CheckedReading) -> str:
    return "stands out" if checked.wild is None else "looks like a slip"


def _against(checked: CheckedReading) -> str:
    """``3.1 s at 497.0 mm, where 2.2 s (2.0 to 2.5) was to be expected``."""
    said, read = strangest(checked), checked.read
    at = "" if read.mark is None else f" at {readings.mark(read.mark, read.pivot)}"
    if said.now is None:
        return f"{_logged(said, read)}{at}, where nothing was to be expected"
    if said.now.value is None:
        return f"{_logged(said, read)}{at}, where it was expected to tip over"
    unit = _unit(said, read)
    expected = f"{_figure(said, said.now.value, unit)} {unit}{_ends(said, said.now, unit)}"
    return f"{_logged(said, read)}{at}, where {expected} was to be expected"


def strangest(checked: CheckedReading) -> Said:
    """Of what a reading says, that which is furthest off."""
    return max(checked.said, key=lambda said: abs(said.deviations or 0.0))


def _weighings(disputed: Disputed, unit: str) -> str:
    """Who found which mass, and what is made of it."""
    counts = masses.known(disputed.mass_kg, disputed.sd_kg, unit)
    name = layout.harmless(disputed.component)
    found = (_weighing(each, unit) for each in disputed.weighings)
    return layout.listing(f"{name} counts as {counts}, by", found)


def _weighing(each: Weighed, unit: str) -> str:
    by = f" ({each.by})" if each.by else ""
    found = f"{masses.known(each.mass_kg, each.sd_kg, unit)}{by}"
    return f"{found}, {kept.who(each.author)} {kept.day(each.at)} [{kept.short(each.entry)}]"


def _table(answer: CheckAnswer) -> str:
    """A heading, and below a line for each version and day its readings."""
    if not answer.readings:
        return ""
    rows = layout.table([_HEADING, *map(_cells, answer.readings)], _ALIGN, len(_HEADING) - 1)
    heading, *lines = rows.split("\n")
    found = [heading]
    told = zip(answer.readings, lines, strict=True)
    for group, those in groupby(told, key=lambda each: _group(each[0])):
        found += [group, *(line for _, line in those)]
    return "\n".join(found)


def _group(checked: CheckedReading) -> str:
    read = checked.read
    return f"@{read.kept.version}, {kept.day(read.noun.on)}, {kept.who(read.kept.author)}"


def _cells(checked: CheckedReading) -> tuple[str, ...]:
    read, note = checked.read, _note(checked)
    entry = f"{kept.short(read.kept.entry)} {note}".rstrip()
    start = (read.noun.on[11:16], readings.mark(read.mark, read.pivot).rpartition(" ")[0] or "-")
    if not checked.said:
        return (*start, read.noun.kind, "", "", "", entry)
    said, unit = strangest(checked), _unit(strangest(checked), read)
    off = "" if said.deviations is None else f"{round(said.deviations, 1) + 0.0:+.1f}"
    return (
        *start,
        _named(said, read),
        "-" if said.before is None else _known(said, said.before, unit)
        + _ends(said, said.before, unit),
        "-" if said.now is None else _known(said, said.now, unit),
        off,
        entry,
    )  # fmt: skip


def _note(checked: CheckedReading) -> str:
    """Why a reading is not like the others."""
    if checked.kept_out:
        return ", ".join(checked.kept_out)
    if checked.wild is not None:
        return "slip"
    if not checked.said:
        return "unused"
    return "odd" if checked.stands_out else ""


def _named(said: Said, read: Read) -> str:
    """What was logged, with what it is where its unit does not tell."""
    if read.noun.kind == "hangs-upright":
        return f"{_NAMES[said.what]}0 deg"
    if read.noun.kind == "swing" and said.what == "drop":
        return f"swing, as {_logged(said, read)}"
    return f"{_NAMES.get(said.what, '')}{_logged(said, read)}"


def _logged(said: Said, read: Read) -> str:
    unit = _unit(said, read)
    return f"{_figure(said, said.figure, unit)} {unit}"


def _unit(said: Said, read: Read) -> str:
    unit = read.pivot.unit
    return masses.large(unit) if said.what == "mass" else check_objects.SYMBOLS.get(said.what, unit)


def _known(said: Said, known: Value, unit: str) -> str:
    """An expected figure without its unit."""
    if known.value is not None:
        return _figure(said, known.value, unit)
    return _TIPS


def _ends(said: Said, known: Value, unit: str) -> str:
    """Its 95 %: `` (2.0 to 2.5)``; open above where it may be top heavy."""
    low, high = (None if b is None else _figure(said, b, unit) for b in (known.low, known.high))
    if low is None:
        return ""
    return f" ({low} or more)" if high is None else f" ({low} to {high})"


def _figure(said: Said, value_si: float, unit: str) -> str:
    if said.what == "neutral":
        return figures.fine(value_si, unit)
    return show(value_si, unit, _DECIMALS[said.what]).removesuffix(f" {unit}")


def _legend(answer: CheckAnswer) -> str:
    if not answer.readings:
        return ""
    told = {said.what for each in answer.readings for said in each.said}
    signs = (
        " Lean is + nose down, side + right side low, in deg." if told & {"lean", "side"} else ""
    )
    return (
        "BEFORE is what was expected when it was logged (95 %), NOW what all other readings expect,"
        f" OFF how many standard deviations the figure is more than that: past {answer.limit:.1f}"
        f" it is hardly chance.{signs}"
    )
