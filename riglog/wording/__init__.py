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
    "LeanAnswer": "lean",
    "SwingAnswer": "friction",
    "HoldAnswer": "friction",
    "InitAnswer": "init",
    "AddAnswer": "add",
    "ListAnswer": "listing",
    "RemarksAnswer": "listing_said",
    "ShowAnswer": "show",
    "HistoryAnswer": "history",
    "UseAnswer": "use",
    "AuditAnswer": "audit",
    "WeighAnswer": "weigh",
    "WholeAnswer": "weigh_whole",
    "CgAnswer": "cg",
    "InertiaAnswer": "inertia",
    "DemoAnswer": "demo",
    "ImportAnswer": "spreadsheet_rows",
    "ExportAnswer": "export",
    "WrittenTable": "written_table",
    "CheckAnswer": "check",
    "LensTableAnswer": "lens_table",
    "BundleAnswer": "bundle",
    "MergeAnswer": "merge",
    "FindAnswer": "find",
    "SettleAnswer": "settle",
    "RebuildAnswer": "rebuild",
    "BackupAnswer": "backup",
    "TrimAnswer": "trim",
    "SpinAnswer": "spin",
    "DiffAnswer": "diff",
    "WhoAnswer": "who",
    "SaidAnswer": "said",
    "NoteAnswer": "note",
    "TagAnswer": "tag",
    "NameAnswer": "naming",
    "UndoAnswer": "undo",
    "CorrectAnswer": "correct",
    "LogAnswer": "log",
    "ShotAnswer": "shot",
    "SensitivityAnswer": "sensitivity",
}


def say(answer: object) -> str:
    """The answer as text for people, without a newline at its end."""
    text: str = module(type(answer).__name__).say(answer)
    return text


def tell(answer: object) -> Any:
    """The answer as what JSON can hold; a quantity's key ends in its unit."""
    return module(type(answer).__name__).tell(answer)


def table(answer: object) -> str:
    """The answer as comma-separated values, where it is a table."""
    text: str = module(type(answer).__name__).table(answer)
    return text


def plotted(answer: object) -> Any:
    """The curve that a plot beside the answer shows; None where there is none."""
    return module(type(answer).__name__).plotted(answer)


def module(answer_type: str) -> Any:
    """The module that words answers of a type, by the name of the type."""
    return import_module(f"riglog.wording.{_MODULES[answer_type]}")
