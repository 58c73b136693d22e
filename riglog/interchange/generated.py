"""Files of the tree that are written by the program, and compared with what it would write."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path


def keep(
    file: Path, text: Callable[[], str], source: str, module: str, arguments: Sequence[str]
) -> int:
    """Write a file or compare it, as the arguments say; the exit status.

    Parameters
    ----------
    file, text
        The file, and what it should hold.
    source
        What it follows from, for whoever finds it out of date.
    module
        What to run with ``--check`` or ``--write``.
    """
    if list(arguments) == ["--write"]:
        file.parent.mkdir(exist_ok=True)
        file.write_text(text(), encoding="utf-8")
        return 0
    if list(arguments) != ["--check"]:
        sys.stderr.write(f"usage: python -m {module} --check | --write\n")
        return 2
    if file.exists() and file.read_text(encoding="utf-8") == text():
        return 0
    sys.stderr.write(f"{file.name} is not what {source} say; run it with --write\n")
    return 1
