"""pydantic's errors to findings: where in the file, what is wrong, and the mend."""

from __future__ import annotations

import re
from collections.abc import Mapping as AnyMapping
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Annotated, Any, get_args, get_origin, get_type_hints

from riglog.errors import Finding, listed, mend_word, quoted
from riglog.interchange.adapters import SHAPES, key_of
from riglog.interchange.nodes import Faulty, Node, Path, follow, line_of, path_words, shown

if TYPE_CHECKING:
    from pydantic import ValidationError


def findings(
    error: ValidationError, noun: type, node: Node, file: str, title: str
) -> list[Finding]:
    """What pydantic refused in one noun, without what was found wrong before."""
    return [
        _finding(problem, noun, node, file, title)
        for problem in error.errors(include_url=False, include_input=False)
        if not isinstance(follow(node, problem["loc"]), Faulty)
    ]


def _finding(problem: Any, noun: type, node: Node, file: str, title: str) -> Finding:
    # What stands in angle brackets is the name of a choice, which nobody wrote.
    path = tuple(step for step in problem["loc"] if not str(step).startswith("<"))
    message, mend = _words(problem, noun, path, node)
    owner = path[:-1] if problem["type"] in {"missing", "extra_forbidden"} else path
    where = " ".join(filter(None, (title, path_words(node, owner))))
    return Finding(file, line_of(node, path), f"{where}: {message}", mend)


def _words(problem: Any, noun: type, path: Path, node: Node) -> tuple[str, str]:
    """Message and mend for one of the errors that our models can raise."""
    context = problem.get("ctx", {})
    match problem["type"]:
        case "missing":
            return f"{path[-1]} is missing", f"add {path[-1]}"
        case "extra_forbidden":
            return _unknown_key(noun, path)
        case "union_tag_invalid":
            stands = SHAPES[context["tag"]]
            wanted = [SHAPES[tag] for tag in re.findall(r"<\w+>", context["expected_tags"])]
            return f"{stands} cannot stand here", f"write {listed(wanted)}"
        case "riglog":
            about = f"{shown(follow(node, path))} " if context["about_input"] else ""
            return f"{about}{context['message']}", context["mend"]
        case other:
            raise AssertionError(other)


def _unknown_key(noun: type, path: Path) -> tuple[str, str]:
    owner = noun_at(noun, path[:-1])
    known = [key_of(spec) for spec in fields(owner)]
    return f"{quoted(str(path[-1]))} is no key of {named(owner)}", mend_word(str(path[-1]), known)


def named(noun: type) -> str:
    """A noun in the middle of a sentence: ``a balance point``."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", noun.__name__).lower()
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def noun_at(noun: type, path: Path) -> Any:
    """The class of the noun that a path inside another leads to."""
    hint: Any = noun
    for step in path:
        hint = _step(hint, step)
    return _noun_in(hint)


def _step(hint: Any, step: str | int) -> Any:
    hint = _noun_in(hint)
    if is_dataclass(hint):
        hints = get_type_hints(hint)
        return next(hints[spec.name] for spec in fields(hint) if key_of(spec) == step)
    return get_args(hint)[0 if get_origin(hint) is tuple else 1]


def _noun_in(hint: Any) -> Any:
    """A hint without its marks; of a choice, what has keys or items."""
    if get_origin(hint) is Annotated:
        return _noun_in(get_args(hint)[0])
    if is_dataclass(hint) or get_origin(hint) in {tuple, AnyMapping}:
        return hint
    return next((arg for arg in map(_noun_in, get_args(hint)) if arg is not None), None)
