"""Answers to text for people or to plain JSON values; the one rule for what a figure looks like.

A module here words the answers of one job. It has two functions: ``say(answer)`` gives the text,
without a newline at its end, and ``tell(answer)`` what ``--json`` prints. Which module words an
answer stands in one table; it is imported when an answer of its type is first met.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_MODULES = {
    "SwapAnswer": "swap",
    "PredictAnswer": "predict",
    "DropAnswer": "drop",
    "NeutralAnswer": "neutral",
    "InitAnswer": "init",
    "AddAnswer": "add",
    "ListAnswer": "listing",
    "ShowAnswer": "show",
    "HistoryAnswer": "history",
    "UseAnswer": "use",
    "AuditAnswer": "audit",
    "DemoAnswer": "demo",
}


def say(answer: object) -> str:
    """The answer as text for people, without a newline at its end."""
    text: str = _module(answer).say(answer)
    return text


def tell(answer: object) -> Any:
    """The answer as what JSON can hold; a quantity's key ends in its unit."""
    return _module(answer).tell(answer)


def _module(answer: object) -> Any:
    return import_module(f"riglog.wording.{_MODULES[type(answer).__name__]}")
