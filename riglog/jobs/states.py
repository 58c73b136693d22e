"""States of parts, such as a zoom's: one of them, or a range whose middle is trimmed for."""

from __future__ import annotations

from dataclasses import replace
from math import atan2
from typing import TYPE_CHECKING

from riglog.errors import CallError, mend_word, quoted
from riglog.estimation.planting import RANGE
from riglog.jobs.drop_times import drop_of
from riglog.jobs.exchange import part_named
from riglog.jobs.states_answers import End

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung
    from riglog.estimation.settle import Settled
    from riglog.jobs.exchange import Lookup
    from riglog.records import Build


def with_states(hung: Hung, words: Sequence[str], component: Lookup) -> Hung:
    """The build with parts in the states of `PART=STATE`, or `PART=STATE..STATE` for the middle.

    Raises
    ------
    CallError
        If there is no such part or state.
    """
    states = dict(hung.build.states)
    for text in words:
        name, equals, state = text.partition("=")
        if not equals or not state:
            hint = "write PART=STATE, as zoom=long, or PART=STATE..STATE for the middle"
            raise CallError(f"{quoted(text)} names no state", hint=hint)
        part = part_named(hung.build, name)
        for each in state.split(RANGE, 1):
            _refuse_unknown(hung.build, part, each, component)
        states[part] = state
    return hung._replace(build=replace(hung.build, states=states)) if words else hung


def _refuse_unknown(build: Build, part: str, state: str, component: Lookup) -> None:
    known = component(build.part(part).component).states
    if state not in known:
        hint = mend_word(state, known) if known else "its document lists none"
        raise CallError(f"{part} has no state {quoted(state)}", hint=hint)


def recordable(build: Build) -> Build:
    """The build without ranges: it stands at no one state then."""
    states = {part: state for part, state in build.states.items() if RANGE not in state}
    return replace(build, states=states)


def ends_of(hung: Hung, component: Lookup) -> Iterator[tuple[str, str, Hung]]:
    """The ends of every range: as said, else the states that lie furthest back and ahead."""
    for part in hung.build.parts:
        states = component(part.component).states
        known = sorted(states, key=lambda name: (states[name].cg[0], name))
        said = hung.build.states.get(part.id)
        if said is None:
            ends = list(dict.fromkeys([*known[:1], *known[-1:]]))
        else:
            ends = said.split(RANGE, 1) if RANGE in said else []
        for state in ends:
            build = replace(hung.build, states={**hung.build.states, part.id: state})
            yield part.id, state, hung._replace(build=build)


def end(part: str, state: str, hanging: Hanging, settled: Settled) -> End:
    """How it hangs in that state, with the adjusters where they were settled."""
    hangs = hanging.at(settled.positions_m)
    tree = hanging.tree
    depth = hanging.depth_m(settled.positions_m, hangs)
    forward = float(hangs.cg_m[0, 0] - tree.pan_axis_m(settled.positions_m)[0])
    below = float(tree.below_m(settled.positions_m, hangs.cg_m[0]))
    return End(part, state, atan2(forward, abs(below)), drop_of(depth, settled))
