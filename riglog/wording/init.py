"""What `init` says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import layout

if TYPE_CHECKING:
    from riglog.jobs.init import InitAnswer


def say(answer: InitAnswer) -> str:
    """Where the library lies, and what to do next."""
    path = layout.harmless(answer.path)
    if not answer.made:
        return f"There is a library at {path} already. Nothing was changed."
    return f"A new library: {path}\nNext: riglog add FILE, or riglog drop NAME SECONDS."


def tell(answer: InitAnswer) -> dict[str, object]:
    """``{"path", "made"}``."""
    return {"path": answer.path, "made": answer.made}
