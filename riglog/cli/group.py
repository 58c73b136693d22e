"""Commands that all take --db, --author and --json, and explain themselves by example."""

from __future__ import annotations

import re
from inspect import cleandoc
from typing import TYPE_CHECKING, Any, NamedTuple

from typer.core import TyperCommand, TyperGroup, TyperOption

from riglog.cli.call import Call
from riglog.errors import CallError, quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable

    from typer import Context, Typer

_MINUS = "\u2212"


def _shared() -> list[TyperOption]:
    """Options of every command. They are added here, so that no command can lack one."""
    return [
        _option("--db", "PATH", "The library; else RIGLOG_DB, else yours."),
        _option("--author", "NAME", "Who records; else RIGLOG_AUTHOR, else you."),
        TyperOption(
            param_decls=["--json"],
            is_flag=True,
            default=False,
            expose_value=False,
            callback=_note,
            help="Answer in JSON, failures too.",
        ),
    ]


def _option(name: str, metavar: str, words: str) -> TyperOption:
    return TyperOption(
        param_decls=[name], metavar=metavar, expose_value=False, callback=_note, help=words
    )


def _note(ctx: Context, option: Any, value: str | bool | None) -> None:
    """Keep what was said; before the command or behind it is the same, the last word counts."""
    call = ctx.ensure_object(Call)
    if value:
        setattr(call, option.name, value)


class Command(TyperCommand):
    """A command with the shared options, which takes ``-5mm`` for a figure."""

    def __init__(self, *args: Any, params: list[Any] | None = None, **settings: Any) -> None:
        super().__init__(*args, params=[*(params or []), *_shared()], **settings)

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """Arguments as they are typed: typer puts braces around those that must be given."""
        return [piece.strip("{}") for piece in super().collect_usage_pieces(ctx)]

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the words; no option begins with a digit, and scales go below zero."""
        rest = super().parse_args(ctx, [_hidden(word) for word in args])
        ctx.params = {name: _shown(value) for name, value in ctx.params.items()}
        return rest


def _hidden(word: str) -> str:
    """A figure below zero, so that it does not look like an option."""
    return _MINUS + word[1:] if re.match(r"-[0-9.]", word) else word


def _shown(value: Any) -> Any:
    """What was typed."""
    if isinstance(value, str):
        return f"-{value[1:]}" if value.startswith(_MINUS) else value
    return [_shown(each) for each in value] if isinstance(value, list | tuple) else value


class Group(TyperGroup):
    """The program: the shared options may stand before the command too.

    ``known`` names all commands; those that the words do not begin with are not built.
    """

    known: Collection[str] = ()

    def __init__(self, *, params: list[Any] | None = None, **settings: Any) -> None:
        super().__init__(params=[*(params or []), *_shared()], **settings)

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """The command of that name.

        Raises
        ------
        CallError
            If there is none; the hint names the nearest.
        """
        if args[0] not in self.known:
            message = f"there is no command {quoted(args[0])}"
            from riglog.cli.commands import meant

            raise CallError(message, hint=meant(args[0]))
        return super().resolve_command(ctx, args)


class Entry(NamedTuple):
    """A command, as the program will have it."""

    name: str
    function: Callable[..., None]
    help: str
    summary: str


Entries = dict[str, Entry]


def command(into: Entries, *examples: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Make a function a command, named as it is; its help shows the examples first."""

    def add(function: Callable[..., None]) -> Callable[..., None]:
        name = function.__name__.rstrip("_").replace("_", "-")
        summary, _, rest = cleandoc(function.__doc__ or "").partition("\n\n")
        # \b keeps the lines of a paragraph as they are.
        shown = "\n".join(["\b", "Example:", *(f"  {example}" for example in examples)])
        words = "\n\n".join(filter(None, [summary, shown, rest]))
        into[name] = Entry(name, function, words, summary)
        return function

    return add


def add_commands(app: Typer, entries: Iterable[Entry]) -> None:
    """Give the program its commands, or some: typer takes half a millisecond for each."""
    for entry in entries:
        add = app.command(entry.name, cls=Command, help=entry.help, short_help=entry.summary)
        add(entry.function)
