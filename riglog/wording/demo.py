"""The demonstration: the commands that a person can repeat, and what the last of them says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import swap

if TYPE_CHECKING:
    from riglog.jobs.demo import DemoAnswer
    from riglog.wording.objects import Json


def say(answer: DemoAnswer) -> str:
    """The commands and the swap's own text."""
    place = f" in {answer.folder}" if answer.folder else ""
    where = (
        f"cd {answer.folder} and try more: riglog --db {answer.library} list builds"
        if answer.folder
        else "To keep it and try more: riglog demo --keep demo-library"
    )
    return "\n".join([
        f"Two shooting days of an invented production{place}, then yesterday's lens goes back on:",
        "",
        f"  riglog init --db {answer.library}",
        *(f"  riglog add {name} --db {answer.library}" for name in answer.documents),
        (f"  riglog swap {answer.build} {answer.change} --drop {answer.wanted} "
        f"--db {answer.library}"),
        "",
        swap.say(answer.swap),
        "",
        where,
    ])  # fmt: skip


def tell(answer: DemoAnswer) -> Json:
    """As JSON: the folder (null if temporary), what was recorded, and the swap's object."""
    return {
        "folder": answer.folder or None,
        "library": answer.library,
        "documents": list(answer.documents),
        "recorded": answer.recorded,
        "swap": swap.tell(answer.swap),
    }
