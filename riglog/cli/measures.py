"""Commands about one component by itself: what it weighs, where it balances, how it turns."""

from __future__ import annotations

from typing import Annotated

from typer import Argument, Context, Option

from riglog.cli.group import Entries, command

COMMANDS: Entries = {}

Component = Annotated[str, Argument(metavar="COMPONENT", help="Its id, or a part of it.")]
On = Annotated[
    str | None,
    Option(metavar="WHEN", help='As "friday 14:20" or 2026-03-14T09:10; else now.'),
]
Note = Annotated[str | None, Option(metavar="TEXT", help="A word to remember.")]
Scale = Annotated[str | None, Option(metavar="SCALE", help="A scale that the library lists.")]


@command(
    COMMANDS,
    "riglog weigh lens-75 1.118kg 1.119kg --scale bench-one",
    "riglog weigh lens-75 17.640kg --without 16.520kg",
    "riglog weigh a-cam 17.2kg --scale crane",
)
def weigh(
    ctx: Context,
    thing: Annotated[str, Argument(metavar="COMPONENT|BUILD", help="What is on the scale.")],
    shown: Annotated[
        list[str] | None, Argument(metavar="[MASS]...", help="What the scale showed.")
    ] = None,
    scale: Scale = None,
    without: Annotated[
        str | None,
        Option(metavar="MASS", help="Shown without it: its case, or the rig it came off."),
    ] = None,
    by: Annotated[
        str | None, Option(metavar="SOURCE", help='"bench scale", "luggage scale", or other.')
    ] = None,
    sd: Annotated[
        str | None, Option(metavar="MASS", help="How well it is known, if you know better.")
    ] = None,
    on: On = None,
    note: Note = None,
) -> None:
    """Record what a scale shows of a component or a whole build.

    Without a mass it tells what is known. Several weighings count together, each by how well it is
    known; a whole build is held against the sum of its parts.
    """
    from riglog.jobs.weigh import WeighQuestion, weigh

    question = WeighQuestion(thing, tuple(shown or ()), without, scale, by, sd, on, note)
    with ctx.obj.writing() if shown else ctx.obj.reading() as library:
        answer = weigh(library, question)
    ctx.obj.answer(answer)


@command(
    COMMANDS,
    "riglog cg lens-75 --edge 62mm --datum 0mm",
    "riglog cg body-north --supports 300mm --front 1.22kg --rear 0.87kg",
)
def cg(
    ctx: Context,
    component: Component,
    edge: Annotated[
        str | None, Option(metavar="READING", help="Where it balances on an edge, on a ruler.")
    ] = None,
    datum: Annotated[
        str | None, Option(metavar="READING", help="Its datum on that ruler; else 0mm.")
    ] = None,
    supports: Annotated[
        str | None, Option(metavar="LENGTH", help="How far apart two supports are.")
    ] = None,
    front: Annotated[
        str | None, Option(metavar="MASS", help="What the front (left, upper) one carries.")
    ] = None,
    rear: Annotated[str | None, Option(metavar="MASS", help="What the other one carries.")] = None,
    rear_at: Annotated[
        str | None, Option(metavar="LENGTH", help="The other one, from the datum; else 0mm.")
    ] = None,
    axis: Annotated[
        str, Option(metavar="x|y|z", help="Along which: fore and aft, across, up.")
    ] = "x",
    scale: Scale = None,
    sd: Annotated[
        str | None, Option(metavar="LENGTH", help="How well it is known, if you know better.")
    ] = None,
    on: On = None,
    note: Note = None,
) -> None:
    """Record where a component balances along one axis.

    On an edge, on two scales, or with one scale and a fixed support where its mass is known. Turn
    it onto another side for each axis. Positions are from its own datum, forward, left and up
    positive.
    """
    from riglog.jobs.cg import CgQuestion, cg

    question = CgQuestion(
        component, axis, edge, datum, supports, front, rear, rear_at, scale, sd, on, note
    )
    with ctx.obj.writing() as library:
        answer = cg(library, question)
    ctx.obj.answer(answer)


@command(COMMANDS, "riglog inertia block-battery --swings 10 --in 8.4s --hung 120mm --about y")
def inertia(
    ctx: Context,
    component: Component,
    swings: Annotated[int, Option(metavar="N", help="Full swings, there and back.")],
    time: Annotated[str, Option("--in", metavar="TIME", help="The time they took.")],
    hung: Annotated[str, Option(metavar="LENGTH", help="From the axis to its center of gravity.")],
    about: Annotated[str, Option(metavar="x|y|z", help="The axis that it swung about.")] = "y",
    on: On = None,
    note: Note = None,
) -> None:
    """Record a component's moment of inertia, by letting it swing.

    Hang it from a thin axis away from its center of gravity and let it swing a little, less than
    10 degrees to each side.
    """
    from riglog.jobs.inertia import InertiaQuestion, inertia

    question = InertiaQuestion(component, swings, time, hung, about, on, note)
    with ctx.obj.writing() as library:
        answer = inertia(library, question)
    ctx.obj.answer(answer)
