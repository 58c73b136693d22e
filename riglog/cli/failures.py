"""Errors to words on standard error, JSON on standard output where asked, and an exit status."""

from __future__ import annotations

from errno import ENOSPC
from typing import TYPE_CHECKING, Any

from typer import TyperException

from riglog.cli import output
from riglog.errors import BusyError, CallError, ForkError, RiglogError, mend_word, quoted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from riglog.errors import Finding


def run(words: Sequence[str]) -> int:
    """Run one command; its exit status."""
    output.tolerate()
    try:
        return _status(words)
    except output.ClosedError:
        return 0  # as after | head: whoever asked has seen enough


def _status(words: Sequence[str]) -> int:
    from riglog.cli.app import program

    try:
        # Nobody who types the name alone has done anything wrong.
        given = list(words) or ["--help"]
        status = program(given).main(given, prog_name="riglog", standalone_mode=False)
    except RiglogError as error:
        return report(error, as_json=_wants_json(words))
    except TyperException as error:
        return report(call_error(error), as_json=_wants_json(words))
    except SystemExit as end:
        if end.code == 1:  # typer's way to say that nobody reads the help any more
            raise output.ClosedError from end
        raise
    except OSError as error:  # help is written by typer, and everything else by us
        if error.errno != ENOSPC:
            raise
        message = f"the help could not be written: {error.strerror}"
        return report(BusyError(message), as_json=False)
    return int(status or 0)


def _wants_json(words: Sequence[str]) -> bool:
    """Whether --json stands among words that could not be read."""
    options = words[: words.index("--")] if "--" in words else words
    return "--json" in options


def report(error: RiglogError, *, as_json: bool) -> int:
    """Say what went wrong; the exit status."""
    if as_json:
        output.tell({"error": described(error), **error.beside})
    for finding in error.findings:
        output.complain(str(finding))
    output.complain(f"riglog: {error.message}")
    if error.hint:
        output.complain(_mend(error))
    return error.status


def _mend(error: RiglogError) -> str:
    """A mend below what is wrong, to be copied; that of a fork names many versions, in lines."""
    if not isinstance(error, ForkError):
        return f"  {error.hint}"
    from riglog.wording import layout  # only on the way to a message

    return layout.wrapped(error.hint, "  ", "  ")


def described(error: RiglogError) -> dict[str, Any]:
    """An error as JSON has it."""
    return {
        "status": error.status,
        "message": error.message,
        "hint": error.hint,
        "findings": [_finding(finding) for finding in error.findings],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "file": finding.file,
        "line": finding.line,
        "message": finding.message,
        "mend": finding.mend,
    }


def call_error(error: Any) -> CallError:
    """What typer found wrong with the words, as we say it."""
    context = getattr(error, "ctx", None)
    help_words = f"{context.command_path if context else 'riglog'} --help shows how it is written"
    name = type(error).__name__
    if name == "NoSuchOption" and context:
        option = error.option_name
        known = [
            each
            for one in context.command.get_params(context)
            for each in one.opts
            if each[0] == "-"
        ]
        return CallError(f"there is no option {quoted(option)}", hint=mend_word(option, known))
    if name == "MissingParameter" and error.param:
        is_option = error.param.param_type_name == "option"
        word = error.param.opts[0] if is_option else error.param.human_readable_name
        return CallError(f"{word} is missing", hint=help_words)
    message = error.format_message().strip().rstrip(".")
    return CallError(message[:1].lower() + message[1:], hint=help_words)
