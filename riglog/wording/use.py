"""What `use` says."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riglog.jobs.use import UseAnswer


def say(answer: UseAnswer) -> str:
    """Which build is meant from now on."""
    return f"In use: {answer.build}. Commands that name no build mean it."


def tell(answer: UseAnswer) -> dict[str, str]:
    """``{"build", "author"}``."""
    return {"build": answer.build, "author": answer.author}
