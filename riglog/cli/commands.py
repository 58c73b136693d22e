"""Which module holds which command; it is imported when the command is called."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riglog.cli.group import Entries, Entry

# In the order in which help shows them.
MODULES = {
    "swap": "questions",
    "drop": "questions",
    "predict": "questions",
    "lens-table": "balance",
    "shot": "balance",
    "sensitivity": "balance",
    "trim": "balance",
    "spin": "balance",
    "find": "search",
    "log": "search",
    "neutral": "questions",
    "lean": "readings",
    "swing": "readings",
    "hold": "readings",
    "weigh": "measures",
    "cg": "measures",
    "inertia": "measures",
    "demo": "kit",
    "init": "kit",
    "add": "kit",
    "import": "spreadsheets",
    "export": "spreadsheets",
    "list": "kit",
    "show": "kit",
    "history": "kit",
    "diff": "versions",
    "who": "versions",
    "note": "said",
    "tag": "said",
    "name": "said",
    "undo": "said",
    "correct": "said",
    "use": "kit",
    "check": "checking",
    "bundle": "transfer",
    "merge": "transfer",
    "settle": "transfer",
    "audit": "keeping",
    "rebuild": "keeping",
    "backup": "keeping",
}


def command(name: str) -> Entry:
    """The command of that name, which is in the table."""
    found: Entry = import_module(f"riglog.cli.{MODULES[name]}").COMMANDS[name]
    return found


def commands() -> Entries:
    """All commands, in the order in which help shows them."""
    return {name: command(name) for name in MODULES}
