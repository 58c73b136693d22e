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

# What people call commands that go by another name here; the nearest in meaning first.
MEANT = {
    "status": ("show", "history"), "info": ("show",), "get": ("show",), "view": ("show",),
    "cat": ("show",), "print": ("show", "export"), "where": ("predict", "show"),
    "revert": ("undo",), "rollback": ("undo",), "reset": ("undo",), "restore": ("undo", "merge"),
    "delete": ("undo",), "remove": ("undo", "swap"), "rm": ("undo",),
    "edit": ("correct", "add"), "change": ("correct", "swap"), "set": ("swap", "correct"),
    "update": ("add", "correct"), "fix": ("correct", "check"), "mend": ("correct",),
    "search": ("find",), "ls": ("list",), "tags": ("list",), "names": ("list",),
    "notes": ("list",), "compare": ("diff",), "blame": ("who",), "author": ("who",),
    "save": ("swap", "add"), "commit": ("add",), "record": ("drop", "add"), "load": ("add",),
    "push": ("bundle",), "send": ("bundle",), "share": ("bundle", "merge"), "sync": ("merge",),
    "pull": ("merge",), "receive": ("merge",), "resolve": ("settle",), "conflicts": ("settle",),
    "checkout": ("use",), "switch": ("use",), "select": ("use",), "create": ("init", "add"),
    "new": ("init", "add"), "verify": ("audit",), "doctor": ("audit", "check"),
    "repair": ("rebuild",), "copy": ("backup",), "comment": ("note",), "label": ("tag",),
    "exchange": ("swap",), "replace": ("swap",), "lens": ("swap", "lens-table"),
    "time": ("drop",), "test": ("drop",), "timer": ("drop",), "mark": ("find", "predict"),
    "mass": ("weigh",), "weight": ("weigh",), "scale": ("weigh",), "center": ("cg",),
    "balance": ("trim", "cg"), "level": ("lean",), "friction": ("swing", "hold"),
    "pan": ("spin",), "csv": ("export", "import"), "ask": ("predict", "shot"),
}  # fmt: skip


def meant(word: str) -> str:
    """Mend for a word that is no command: the nearest by meaning, or else by letters."""
    from riglog.errors import listed, nearest  # only on the way to a message

    near = nearest(word, MODULES)
    names = MEANT.get(word.casefold()) or ((near,) if near else ())
    asked = f"did you mean {listed(names)}? " if names else ""
    return f"{asked}riglog --help shows all commands"


def command(name: str) -> Entry:
    """The command of that name, which is in the table."""
    found: Entry = import_module(f"riglog.cli.{MODULES[name]}").COMMANDS[name]
    return found


def commands() -> Entries:
    """All commands, in the order in which help shows them."""
    return {name: command(name) for name in MODULES}
