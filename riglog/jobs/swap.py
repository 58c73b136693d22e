"""`swap`: where does everything go after parts are exchanged."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from riglog.errors import CallError, quoted
from riglog.estimation.inference import Inference
from riglog.jobs.answers import Warned
from riglog.jobs.cant import canted
from riglog.jobs.common import (
    NEAR_NEUTRAL_S,
    drop_cautions,
    left_lean,
    named,
    near_ends,
    wanted_where_set,
)
from riglog.jobs.evidence import doubts, evidence_of
from riglog.jobs.free import free_adjusters
from riglog.jobs.heads import head_named, live, not_rebalanced, payload_changes, refuse_head
from riglog.jobs.loads import load_warnings, loads_of, worn_kg
from riglog.jobs.margin import margin_kg
from riglog.jobs.passage import passage
from riglog.jobs.placing import Placed, drop_at_mark, first_mark, place
from riglog.jobs.remembered import remembered
from riglog.jobs.rungs import next_rung
from riglog.jobs.states import end as end_at
from riglog.jobs.states import recordable
from riglog.jobs.swap_answers import Passage, SwapAnswer
from riglog.jobs.swap_question import Asked, ask, said
from riglog.jobs.swap_steps import HeadWork, order_of_work
from riglog.jobs.swap_words import NONE, Conversion, SwapWords
from riglog.jobs.vernier import vernier
from riglog.library.evidence import kit_for
from riglog.records.limits import is_id

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.jobs.exchange import Exchanged
    from riglog.library import Library


def swap(
    library: Library,
    build: str | None,
    changes: Sequence[str],
    *,
    wanted: str | None = None,
    free: Sequence[str] = (),
    hold: Sequence[str] = (),
    set_: Sequence[str] = (),
    save: str | None = None,
    head: str | None = None,
    rebalanced: bool = True,
    conversion: Conversion = NONE,
    states: Sequence[str] = (),
) -> SwapAnswer:
    """Answer where every adjuster goes once parts are exchanged.

    Parameters
    ----------
    build
        Words for the build; None means the one in use.
    changes
        `OLD=NEW` and its like.
    wanted
        Drop time; None means the build's own, else what it has where it stands.
    free, hold
        Adjusters that may move beside the usual ones, and those that may not.
    set_
        `ADJUSTER=READING`, where an adjuster stands before the swap.
    save
        Id to record the result under.
    head
        What a powered head does, if not what was last said of it.
    rebalanced
        Whether what sits on a leveled head is balanced on it anew, as usual.
    conversion
        To the other mode, and what becomes of cameras and monitors then.
    states
        `PART=STATE`, or `PART=STATE..STATE` to trim for the middle of a range.

    Raises
    ------
    CallError
        If a word is wrong; then nothing is recorded.
    NoAnswerError
        If its powered head is switched off, or the wanted drop time lies beyond the travel.
    """
    if save is not None:
        _refuse_name(library, save)
    does = head_named(head)
    asked = ask(
        library, build, changes, set_, hold, head=does, rebalanced=rebalanced,
        conversion=conversion, states=states,
    )  # fmt: skip
    on_the_way, at_ends = ([each for _, _, each in some] for some in (asked.states, asked.ends))
    stands = [asked.before, asked.after, *on_the_way, *at_ends]
    inference = Inference(kit_for(library.logbook, stands, asked.parts), stands)
    start, end, *others = inference.stands
    ways, ended = others[: len(on_the_way)], others[len(on_the_way) :]
    refuse_head(end, does)
    if not (rebalanced or end.tree.aside):
        raise CallError(
            f"nothing on {asked.standing.build.id} is balanced on a leveled head",
            hint="leave out --not-rebalanced",
        )
    wanted_s = wanted_where_set(wanted, asked.standing.build, start, end.tree)
    placed = place(end, free_adjusters(end.tree, free, hold), wanted_s)
    off_head = payload_changes(start, end, asked.exchanged)
    passages = [
        passage(after, parts, way, limp=off_head and (rebalanced or after != "fit"))
        for (after, parts, _), way in zip(asked.states, ways, strict=True)
    ]
    answer = _answer(asked, (start, end), placed, passages, wanted_s)
    if off_head:
        on = [(after, way) for (after, *_), way in zip(asked.states, ways, strict=True)]
        answer = answer._replace(warnings=(*live(on), *answer.warnings))
    rig = asked.standing.build.rig
    answer = answer._replace(
        remembered=remembered(library, rig, answer.mass_kg),
        ends=tuple(
            end_at(part, state, hanging, placed.settled)
            for (part, state, _), hanging in zip(asked.ends, ended, strict=True)
        ),
    )
    if save:
        return answer._replace(saved=_save(library, asked, answer, save))
    version = "@".join([asked.standing.build.id, *(build or "").split("@", 1)[1:]])
    words = SwapWords(
        version, changes, wanted, free, hold, set_, head, rebalanced, conversion, states
    )
    return answer._replace(asked=words)


def _answer(
    asked: Asked,
    hung: tuple[Hanging, Hanging],
    placed: Placed,
    passages: list[Passage],
    wanted_s: float | None,
) -> SwapAnswer:
    start, end = hung
    first, clamped = first_mark(end, placed)
    if end.tree.lift not in placed.settled.moved and first.drop_s.value is not None:
        wanted_s = first.drop_s.value
    pivot = placed.moves[end.tree.pivot]
    marked = pivot if end.tree.lift is None else placed.moves[end.tree.lift]
    hangs = placed.settled.hangs
    loads = loads_of(end)
    depth = end.depth_m(placed.settled.positions_m, hangs)
    evidence = evidence_of(end)
    work = HeadWork(
        end.hung.build.head or "level",
        payload_changes(start, end, asked.exchanged),
        end.hung.balanced_with is None,
        bool(end.tree.payload) and asked.head_before != (end.hung.build.head or "level"),
    )
    warnings = [
        *([Warned("first_mark_clamped")] if clamped else []),
        *([Warned("top_heavy")] if depth <= 0 else []),
        *left_lean(end, placed),
        *near_ends(placed.moves),
        *(() if pivot.free else canted(end)),
        *load_warnings(loads),
        *not_rebalanced(end, placed.settled),
        *doubts(evidence),
    ]
    return SwapAnswer(
        named=named(asked.standing, end),
        after=", ".join(said(asked.exchanged)),
        wanted_s=wanted_s,
        mass_kg=float(hangs.weight_kg),
        gyration_m=float(hangs.gyration_m2[0]) ** 0.5,
        moves=placed.moves,
        first=first,
        drop_at_mark_s=drop_at_mark(end, placed.settled, marked.set_m),
        margin_kg=margin_kg(end, depth, placed.settled.positions_m),
        passages=passages,
        steps=tuple(order_of_work(asked.exchanged, placed.moves, first, passages, work)),
        vernier=vernier(end, placed.settled, depth),
        next_rung=next_rung(end, placed.settled, wanted_s, start),
        loads=loads,
        evidence=evidence,
        cautions=tuple(_cautions(end, asked.exchanged, wanted_s, evidence.drops)),
        warnings=tuple(warnings),
        worn_kg=worn_kg(end),
    )


def _cautions(
    end: Hanging, exchanged: Exchanged, wanted_s: float | None, drops: int
) -> Iterator[str]:
    if exchanged.off:
        yield "takes-off"
    if exchanged.over:
        yield "turns-over"
    yield "clamp-under-load" if end.tree.rig.type == "post" else "ring-sides"
    yield from drop_cautions(end, drops)
    if end.tree.payload:
        yield "headed-off"
    if wanted_s is not None and wanted_s >= NEAR_NEUTRAL_S:
        yield "near-neutral"


def _refuse_name(library: Library, name: str) -> None:
    if not is_id(name):
        hint = "write it like a-cam: a to z, 0 to 9, -"
        raise CallError(f"{quoted(name)} is no name for a build", hint=hint)
    kind = library.logbook.kind_of(name)
    if kind not in {None, "build"}:
        raise CallError(f"{name} is a {kind} already", hint="save it under another name")


def _save(library: Library, asked: Asked, answer: SwapAnswer, name: str) -> str:
    """Record the build after the swap, its adjusters where the answer puts them."""
    moved = {move.name: move.set_m for move in answer.moves if move.free}
    if answer.first.name in moved:
        moved |= {answer.first.name: answer.first.set_m}
        moved |= {move.name: move.set_m for move in answer.first.also}
    settings = {**asked.after.settings, **moved}
    stands = recordable(asked.after.build)
    build = replace(stands, id=name, settings=settings, wanted_drop=answer.wanted_s)
    return library.record(build)[0].id
