"""The demonstration: the commands that a person can repeat, and what the last of them says."""

from __future__ import annotations

from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from riglog.wording import layout, swap

if TYPE_CHECKING:
    from riglog.jobs.demo import DemoAnswer
    from riglog.jobs.demo_steps import Step
    from riglog.wording.objects import Json

_TITLE = (
    "Three shooting days of an invented production, by two people on two machines; a fork is"
    " settled; then yesterday's lens goes back on:"
)


def say(answer: DemoAnswer) -> str:
    """The commands, the swap's own text, and how to go on."""
    return layout.page(
        layout.lines(_TITLE),
        "\n".join(_commands(answer)),
        swap.say(answer.swap),
        _more(answer),
    )


def _commands(answer: DemoAnswer) -> list[str]:
    db = f"--db {answer.library}"
    return [
        layout.command("riglog init", db),
        *map(_command, answer.steps),
        layout.command(
            "riglog swap", answer.build, answer.change, f"--drop {answer.wanted}", db
        ),
    ]  # fmt: skip


def _command(step: Step) -> str:
    db = f"--db {step.library}"
    if step.do == "merge":
        return layout.command("riglog merge", step.what, db)
    join = ["--join"] if step.do == "settle" else []
    return layout.command(f"riglog {step.do}", step.what, *join, db, f"--author {step.author}")


def _more(answer: DemoAnswer) -> str:
    """The folder and what to ask there; or how to get one."""
    if not answer.folder:
        keep = layout.command("riglog demo", "--keep salt-road")
        return f"{layout.lines('To keep the documents and the library, and ask more:')}\n{keep}"
    questions = ("list builds", f"history {answer.build}", f"predict {answer.build}")
    return "\n".join([
        layout.lines("The documents and the library were kept. To ask more:"),
        f"  cd {layout.harmless(quote(answer.folder))}",
        *(layout.command("riglog", each, f"--db {answer.library}") for each in questions),
    ])  # fmt: skip


def tell(answer: DemoAnswer) -> Json:
    """``{"folder", "library", "documents", "entries", "swap"}``.

    ``library`` is where the file lies; it and ``folder`` are null if nothing was kept. ``entries``
    counts those of the library, and ``swap`` is the swap's own object.
    """
    kept = answer.folder
    return {
        "folder": kept or None,
        "library": str(Path(kept) / answer.library) if kept else None,
        "documents": [step.what for step in answer.steps if step.do == "add"],
        "entries": answer.entries,
        "swap": swap.tell(answer.swap),
    }
