"""The command line: words in, one job, its answer out.

``app`` the commands; ``group`` and ``call`` what they share; ``output`` the only place that
prints; ``failures`` errors to words, JSON and exit status.
"""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from collections.abc import Sequence

INTERRUPTED = 130


def program() -> NoReturn:
    """Run the command that this process was called with, and end the process.

    What was recorded is on the disk and what was printed has been flushed; taking the interpreter
    apart piece by piece would be a tenth of the time that a person waits.
    """
    os._exit(main())


def main(words: Sequence[str] | None = None) -> int:
    """Run one command; its exit status.

    Parameters
    ----------
    words
        What follows the program's name; by default what this process was called with.
    """
    # One answer and then the end: what is garbage goes with the process, and looking for it
    # while modules are read takes a tenth of the time that a person waits.
    gc.disable()
    try:
        from riglog.cli.failures import run

        return run(list(sys.argv[1:] if words is None else words))
    except KeyboardInterrupt:
        return INTERRUPTED
