"""What a powered head does: as the call says it, and what an answer has to mind of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from riglog.errors import CallError, NoAnswerError, mend_word, quoted
from riglog.jobs.answers import Warned
from riglog.jobs.passage import aside_m
from riglog.mechanics.arrays import STANDARD_GRAVITY
from riglog.records.build import Head

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung
    from riglog.estimation.settle import Settled
    from riglog.jobs.exchange import Exchanged

# A torque that turns a frame near neutral [N m].
FELT_N_M = 0.02


def head_named(words: str | None) -> Head | None:
    """What a call says that the head does.

    Raises
    ------
    CallError
        If a head does no such thing.
    """
    for head in get_args(Head):
        if words == head:
            found: Head = head
            return found
    if words is None:
        return None
    hint = mend_word(words, get_args(Head))
    raise CallError(f"{quoted(words)} is nothing that a head does", hint=hint)


def with_head(hung: Hung, head: Head | None) -> Hung:
    """The build with its head as the call says, if it says."""
    return hung if head is None else hung._replace(build=replace(hung.build, head=head))


def refuse_head(hanging: Hanging, asked: Head | None) -> None:
    """Refuse a head that is not there, and one that is switched off.

    Raises
    ------
    CallError
        If the call says what a head does, and nothing sits on one.
    NoAnswerError
        If it is switched off: then nothing is known of how the rig would move.
    """
    build = hanging.hung.build
    if not hanging.tree.payload:
        if asked is not None:
            raise CallError(
                f"nothing on {build.id} sits on a powered head", hint="leave out --head"
            )
        return
    if build.head == "off":
        raise NoAnswerError(
            f"the powered head of {build.id} is switched off: what sits on it is limp,"
            " and a drop means nothing",
            hint="balance the head switched off first, then switch it on and say --head level",
        )


def payload_changes(start: Hanging, end: Hanging, exchanged: Exchanged) -> bool:
    """Whether what sits on a powered head is another payload than before."""
    touched = {*exchanged.off, *exchanged.fitted}
    return bool(touched & {*start.tree.payload, *end.tree.payload})


def live(ways: Sequence[tuple[str, Hanging]]) -> Iterator[Warned]:
    """What the frame would do with parts off a head that nobody switched off: its torque [N m]."""
    for after, hanging in ways:
        torque = abs(aside_m(hanging)) * float(hanging.hangs.mass_kg) * STANDARD_GRAVITY
        if after == "take-off" and torque >= FELT_N_M:
            yield Warned("live_head", figure=torque)


def not_rebalanced(end: Hanging, settled: Settled) -> Iterator[Warned]:
    """What a payload does that was not balanced anew: the servo's torque [N m], and two drops."""
    if end.hung.balanced_with is None or settled.hangs.asides is None:
        return
    aside = float(settled.hangs.asides.whole_m[0, 0])
    torque = abs(aside) * float(settled.hangs.mass_kg) * STANDARD_GRAVITY
    yield Warned("not_rebalanced", figure=torque, other=_drops_apart(end, settled, aside))


def _drops_apart(end: Hanging, settled: Settled, aside_m: float) -> float | None:
    """By how much the drops of both noses differ [s], trimmed; None where one does not come up."""
    from riglog.mechanics.friction import drop_time_with_friction  # seldom needed, slow to read

    depth, k2 = end.depth_m(settled.positions_m, settled.hangs), settled.hangs.gyration_m2[0]
    try:
        down, up = (
            drop_time_with_friction(depth, k2, nose * aside_m, x_m=-aside_m, nose=nose)
            for nose in (1, -1)
        )
    except ValueError:
        return None
    return abs(float(down - up))
