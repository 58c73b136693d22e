"""The reference of all commands, made from them: ``python -m riglog.cli.reference``.

``--write`` puts it into the docs; ``--check`` ends with status 1 where the page there is not what
the commands say.
"""

from __future__ import annotations

import sys
from inspect import cleandoc
from pathlib import Path
from typing import TYPE_CHECKING, Any

from typer import Context

from riglog import wording
from riglog.cli.app import program
from riglog.cli.call import Call
from riglog.cli.commands import commands
from riglog.interchange.generated import keep

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.cli.group import Entry, Group

FILE = Path(__file__).parents[2] / "docs" / "commands.md"
_HEAD = """\
# Commands

Made from the program by `make docs`; `riglog COMMAND --help` says the same.

Quantities take their unit: `487mm`, `18 3/8in`, `3.1s`. A bare figure is seconds, or what the rig's
scale is engraved in, and the answer repeats what was understood. An exact id wins over a part of
one; a part that fits several is answered with what it could mean.

Answers go to standard output and everything else to standard error. Quantities in JSON are
numbers whose key ends in its unit; `list`, `history` and `find` print an array, all others one
object. With `--json` a failure prints `{"error": {"status", "message", "hint", "findings"}}` on
standard output as well.

| exit status | means |
| --- | --- |
| 0 | done |
| 2 | the words of the call or of a document are wrong, or an id is ambiguous |
| 3 | the question has no answer: no such record, a drop time out of reach, a fork not settled |
| 4 | the library cannot be used, is foreign, read-only or damaged |
| 5 | busy, or the disk is full: try again |
| 130 | interrupted; nothing was half recorded |

Status 1 is Python's own, so it is always a fault of the program.
"""


def text() -> str:
    """The page as its file holds it."""
    group = program([])
    names = [each.name for each in _shared(group)]
    sections = [_section(group, entry, names) for entry in commands().values()]
    every = "\n".join(["## Every command", "", *_table(_shared(group))])
    return "\n".join([_HEAD, f"{every}\n", *sections])


def _shared(group: Group) -> list[Any]:
    """Options that stand behind any command or before it."""
    return [each for each in group.params if each.name in Call.OPTIONS]


def _section(group: Group, entry: Entry, shared: Sequence[str | None]) -> str:
    command = group.commands[entry.name]
    _, *arguments = command.collect_usage_pieces(Context(command))
    own = [each for each in command.params if each.name not in shared]
    lines = [
        f"## {entry.name}",
        "",
        f"`{' '.join(['riglog', entry.name, *arguments])}`",
        "",
        *_words(entry.help),
        *([*_table(own), ""] if own else []),
        f"With `--json`: {_object(entry.name)}",
        "",
    ]
    return "\n".join(lines)


def _words(told: str) -> list[str]:
    """What help says, its examples as a block."""
    summary, examples, *rest = told.split("\n\n")
    shown = [f"  {line}" for line in examples.splitlines()[2:]]
    return [summary, "", *shown, "", *(line for part in rest for line in (part, ""))]


def _table(params: Sequence[Any]) -> list[str]:
    rows = [f"| {_called(each)} | {each.help} |" for each in params]
    return ["| word | is |", "| --- | --- |", *rows]


def _called(param: Any) -> str:
    """An argument or option as it is typed, safe in a table."""
    words = param.metavar or ""
    if param.param_type_name == "option":
        words = f"{', '.join([*param.opts, *param.secondary_opts])} {words}".strip()
    return f"`{words}`".replace("|", "\\|")


def _object(name: str) -> str:
    """What the command prints with ``--json``, in the words of whoever makes it."""
    answer = "".join(word.capitalize() for word in name.split("-"))
    told = cleandoc(wording.module(f"{answer}Answer").tell.__doc__)
    return (told[:1].lower() + told[1:]).replace("``", "`")


def main(arguments: Sequence[str]) -> int:
    """Write the file, or compare it."""
    return keep(FILE, text, "the commands", "riglog.cli.reference", arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
