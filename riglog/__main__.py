"""``python -m riglog`` is ``riglog``."""

from riglog.cli import program

program()
