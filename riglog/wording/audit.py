"""What `audit` says of a library in which nothing is wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.wording import layout

if TYPE_CHECKING:
    from riglog.jobs.audit import AuditAnswer


def say(answer: AuditAnswer) -> str:
    """How much was looked at, that it is sound, and the word for it."""
    entries = "1 entry is" if answer.entries == 1 else f"{answer.entries} entries are"
    told = f"{entries} as recorded: ids, parents, tables and the file itself."
    since = f"All of {layout.harmless(answer.against)} is there." if answer.against else ""
    return "\n".join(
        filter(
            None,
            [
                f"Sound: {layout.harmless(answer.path)}",
                layout.lines(told, since),
                f"Fingerprint: {answer.fingerprint}",
            ],
        )
    )


def tell(answer: AuditAnswer) -> dict[str, object]:
    """``{"path", "entries", "fingerprint", "against"}``; damage is an error with findings.

    ``against`` is the fingerprint or bundle of which everything is there, null where none was told.
    """
    return answer._asdict()
