"""A table put into a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import CallError

if TYPE_CHECKING:
    from pathlib import Path


class WrittenTable(NamedTuple):
    """The file, and how many rows of which kind it holds."""

    path: str
    kind: str
    rows: int


def written_table(path: Path, text: str, kind: str, rows: int) -> WrittenTable:
    """Write a table; the byte-order mark makes spreadsheets read it as UTF-8.

    Raises
    ------
    CallError
        If the file cannot be written.
    """
    try:
        path.write_text(f"{text}\n", encoding="utf-8-sig", newline="\r\n")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        message = f"cannot write {path}: {reason}"
        raise CallError(message, hint="check the name and the rights of the folder") from error
    return WrittenTable(str(path), kind, rows)
