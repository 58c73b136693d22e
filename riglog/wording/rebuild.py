"""What `rebuild` says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import layout
from riglog.wording.kept import many

if TYPE_CHECKING:
    from riglog.jobs.rebuild import RebuildAnswer


def say(answer: RebuildAnswer) -> str:
    """What was made anew, and from how much."""
    made = f"Made anew from {many(answer.entries, 'entry')}: tables, views and triggers."
    return f"{made}\nThe library: {layout.harmless(answer.path)}"


def tell(answer: RebuildAnswer) -> dict[str, object]:
    """``{"path", "entries"}``."""
    return answer._asdict()
