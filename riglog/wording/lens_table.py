"""The lens set on one page: where everything goes for each lens and each drop time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.errors import listed
from riglog.wording import cautions, evidence, figures, layout, masses, objects, spreadsheet, warned
from riglog.wording.terms import ALONG, Terms

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.jobs.lens_table_answers import LensRow, LensTableAnswer, Mark, Slide
    from riglog.wording.objects import Json

_BEYOND, _ON, _NONE = "!", "*", "-"
_LEAST_NAME = 12


def say(answer: LensTableAnswer) -> str:
    """The tables, as many drop times beside each other as a page holds."""
    terms = _terms(answer)
    told = [text for _, text in warned.messages(answer.warnings, terms)]
    return layout.page(
        layout.lines(_spoken(answer, terms)),
        *_tables(answer, terms),
        layout.lines(*_notes(answer, terms)),
        _command(answer),
        layout.listing(
            cautions.heading("Before you start", answer.cautions),
            told + cautions.sentences(answer.cautions),
        ),
        layout.lines(evidence.rests_on(answer.evidence)),
    )


def tell(answer: LensTableAnswer) -> Json:
    """Every lens in the order of the kit, as one object.

    ``{"build", "version", "entry", "old", "drops_s", "lenses", "left_out", "cautions",
    "evidence", "warnings"}``

    Each of ``lenses`` is ``{"lens", "on", "why", "mass_kg", "slides", "marks"}``: ``on`` says it
    is the one on the build, ``why`` what keeps it off, else null. ``marks`` has one for each of
    ``drops_s``, null where no mark drops so soon, as ``{"drop_s", "to_mm", "low_mm", "high_mm",
    "set_mm", "first_mm", "beyond_mm"}``: ``to_mm`` is unrounded, ``low_mm`` and ``high_mm`` bound
    the true position at 95 %, ``first_mm`` is the safe mark to start from, and ``beyond_mm`` how
    far ``to_mm`` lies past the end of the travel, 0 within. ``slides`` are the same with
    ``adjuster`` and without ``first_mm``, for the first of the drop times.
    """
    return {
        **objects.named(answer.named),
        "old": answer.old,
        "drops_s": [objects.number(each, "s") for each in answer.wanted_s],
        "lenses": [_lens(row, answer.wanted_s) for row in answer.rows],
        "left_out": list(answer.left_out),
        "cautions": list(answer.cautions),
        "evidence": objects.evidence(answer.evidence),
        "warnings": objects.warnings(warned.messages(answer.warnings, _terms(answer))),
    }


def table(answer: LensTableAnswer) -> str:
    """The same as comma-separated values: one line for each lens and drop time, lengths in mm."""
    slides = [name for name in answer.scales if name != _sets(answer)]
    told = ("mm", "low_mm", "high_mm", "first_mm", "beyond_mm")
    marks = (f"{_sets(answer)}_{end}" for end in told)
    heading = [
        "lens", "drop_s", "mass_kg", *marks,
        *(f"{name}_{end}" for name in slides for end in ("mm", "low_mm", "high_mm", "beyond_mm")),
        "why",
    ]  # fmt: skip
    return spreadsheet.text(heading, _lines(answer, slides))


def _lines(answer: LensTableAnswer, slides: Sequence[str]) -> Iterator[list[spreadsheet.Cell]]:
    for row in answer.rows:
        known = {slide.name: slide for slide in row.slides}
        across = [cell for name in slides for cell in _slide_cells(known.get(name))]
        marks = row.marks or [None] * len(answer.wanted_s)
        for drop_s, mark in zip(answer.wanted_s, marks, strict=True):
            why = row.why or ("" if mark else "no mark drops so soon")
            yield [row.lens, drop_s, row.mass_kg, *_mark_cells(mark), *across, why]


def _mark_cells(mark: Mark | None) -> list[spreadsheet.Cell]:
    if mark is None:
        return [None] * 5
    shown = (mark.to_m, mark.low_m, mark.high_m, mark.first_m, mark.beyond_m)
    return [objects.number(each, "mm") for each in shown]


def _slide_cells(slide: Slide | None) -> list[spreadsheet.Cell]:
    if slide is None:
        return [None] * 4
    shown = (slide.to_m, slide.low_m, slide.high_m, slide.beyond_m)
    return [objects.number(each, "mm") for each in shown]


def _terms(answer: LensTableAnswer) -> Terms:
    return Terms(answer.named.type, answer.named.mode, answer.scales, _sets(answer))


def _sets(answer: LensTableAnswer) -> str:
    """What sets the drop time."""
    return next(iter(answer.scales))


def _spoken(answer: LensTableAnswer, terms: Terms) -> str:
    able = [row for row in answer.rows if not row.why]
    count = f"{len(able)} {'lens' if answer.kind == 'lens' else answer.kind}"
    if len(able) != 1:
        count = f"{len(able)} {'lenses' if answer.kind == 'lens' else f'{answer.kind} parts'}"
    drops = listed(map(_for, answer.wanted_s))
    low = " in low mode" if answer.named.mode == "low" else ""
    return f"{answer.named.build}{low}, {count} in place of {answer.old}: {terms.lift} for {drops}."


def _tables(answer: LensTableAnswer, terms: Terms) -> Iterator[str]:
    """One table, or several under each other where the drop times do not fit beside each other."""
    able = [row for row in answer.rows if not row.why]
    unit = _one_unit(answer)
    corner = f"in {unit}" if unit else ""
    heading = [corner, masses.large(terms.unit), *_axes(answer, terms).values()]
    left = [heading, *(_left(row, answer) for row in able)]
    drops = [
        [[_for(drop_s), "+/-", "start"], *(_columns(row.marks[number], answer) for row in able)]
        for number, drop_s in enumerate(answer.wanted_s)
    ]
    room = layout.WIDTH - _LEAST_NAME - _wide([row[1:] for row in left])
    while drops:
        taken = [drops.pop(0)]
        while drops and sum(_wide(each) for each in [*taken, drops[0]]) <= room:
            taken.append(drops.pop(0))
        rows = [
            [*begin, *(cell for group in taken for cell in group[line])]
            for line, begin in enumerate(left)
        ]
        yield layout.table(rows, "<" + ">" * (len(rows[0]) - 1))


def _for(drop_s: float) -> str:
    return figures.typed_seconds(drop_s).replace("s", " s")


def _one_unit(answer: LensTableAnswer) -> str:
    """The unit of all scales, if they have one."""
    units = {scale.unit for scale in answer.scales.values()}
    return next(iter(units)) if len(units) == 1 else ""


def _axes(answer: LensTableAnswer, terms: Terms) -> dict[str, str]:
    """What heads the column of each slide: its axis alone where no other moves along it."""
    slides = {name: scale for name, scale in answer.scales.items() if name != _sets(answer)}
    along = [scale.axis for scale in slides.values()]
    unit = "" if _one_unit(answer) else " ({})"
    return {
        name: (ALONG[scale.axis] if along.count(scale.axis) == 1 else terms.labeled(name))
        + unit.format(scale.unit)
        for name, scale in slides.items()
    }


def _wide(rows: Sequence[Sequence[str]]) -> int:
    """Columns of the page that columns of the table take."""
    columns = zip(*rows, strict=True)
    return sum(max(layout.width(cell) for cell in column) + 2 for column in columns)


def _left(row: LensRow, answer: LensTableAnswer) -> list[str]:
    slides = [name for name in answer.scales if name != _sets(answer)]
    known = {slide.name: slide for slide in row.slides}
    symbol = masses.large(answer.scales[_sets(answer)].unit)
    mass = "" if row.mass_kg is None else masses.alone(row.mass_kg, symbol, 1)
    return [
        f"{layout.harmless(row.lens)}{' ' + _ON if row.on else ''}",
        mass,
        *(_slide(known.get(name), answer) for name in slides),
    ]


def _slide(slide: Slide | None, answer: LensTableAnswer) -> str:
    if slide is None:
        return _NONE
    flag = _BEYOND if slide.beyond_m else ""
    return f"{flag}{figures.reading(slide.set_m, answer.scales[slide.name])}"


def _columns(mark: Mark | None, answer: LensTableAnswer) -> list[str]:
    if mark is None:
        return [_NONE, "", ""]
    scale = answer.scales[_sets(answer)]
    sure = figures.fine((mark.high_m - mark.low_m) / 2, scale.unit)
    if mark.beyond_m:
        return [f"{_BEYOND}{figures.reading(mark.set_m, scale)}", sure, ""]
    return [figures.reading(mark.set_m, scale), sure, figures.reading(mark.first_m, scale)]


def _notes(answer: LensTableAnswer, terms: Terms) -> Iterator[str]:
    yield (
        f"Start the {terms.lift} at the mark under start, where the rig is surely bottom heavy,"
        " drop it once, then move. +/- is 95 %."
    )
    if axes := _axes(answer, terms):
        moved = [f"{axis} is {layout.harmless(name)}" for name, axis in axes.items()]
        yield f"{layout.capital(listed(moved, 'and'))}."
    if any(row.on for row in answer.rows):
        yield f"{_ON} is on the build now."
    if _beyond(answer):
        yield f"{_BEYOND} lies past the end of the travel: move weight, or ask for another drop."
    if any(mark is None for row in answer.rows for mark in row.marks):
        yield f"{_NONE} means that no mark drops so soon."
    yield from (f"{layout.harmless(row.lens)}: {row.why}." for row in answer.rows if row.why)
    if answer.left_out:
        yield f"Left out, as {answer.old} is a {answer.kind}: {listed(answer.left_out, 'and')}."


def _command(answer: LensTableAnswer) -> str:
    """A drop counts for the build as it is recorded, so the swap is recorded first."""
    build = answer.named.build
    swapped = f"{layout.harmless(answer.old)}={answer.kind.upper()}"
    return "\n".join([
        "Whichever goes on, save its swap before the drop:",
        layout.command("riglog swap", build, swapped, f"--save {build}"),
    ])  # fmt: skip


def _beyond(answer: LensTableAnswer) -> bool:
    places = [place for row in answer.rows for place in (*row.slides, *row.marks) if place]
    return any(place.beyond_m for place in places)


def _lens(row: LensRow, wanted_s: Sequence[float]) -> Json:
    return {
        "lens": row.lens,
        "on": row.on,
        "why": row.why or None,
        "mass_kg": objects.number(row.mass_kg, "kg"),
        "slides": [{"adjuster": slide.name, **_place(slide)} for slide in row.slides],
        "marks": [
            mark
            and {
                "drop_s": objects.number(drop_s, "s"),
                **_place(mark),
                "first_mm": objects.number(mark.first_m, "mm"),
            }
            for drop_s, mark in zip(wanted_s, row.marks, strict=False)
        ],
    }


def _place(place: Mark | Slide) -> Json:
    return {
        "to_mm": objects.number(place.to_m, "mm"),
        "low_mm": objects.number(place.low_m, "mm"),
        "high_mm": objects.number(place.high_m, "mm"),
        "set_mm": objects.number(place.set_m, "mm"),
        "beyond_mm": objects.number(place.beyond_m, "mm"),
    }
