"""What `backup` says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import layout
from riglog.wording.kept import many

if TYPE_CHECKING:
    from riglog.jobs.backup import BackupAnswer


def say(answer: BackupAnswer) -> str:
    """Where the copy is, and that it was looked at."""
    return "\n".join(
        [
            f"A copy, checked: {layout.harmless(answer.path)}",
            f"{many(answer.entries, 'entry')}, fingerprint {answer.fingerprint}.",
        ]
    )


def tell(answer: BackupAnswer) -> dict[str, object]:
    """``{"path", "library", "entries", "fingerprint"}``."""
    return answer._asdict()
