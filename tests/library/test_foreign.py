from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from riglog.errors import DocumentError
from riglog.jobs.merge import merge
from riglog.library.foreign import record_fault
from riglog.logbook import Draft, Logbook, aside

if TYPE_CHECKING:
    from pathlib import Path

LENS = {"id": "lens-35", "kind": "lens", "mass": 1.12}
DROP = {
    "build": "a-cam",
    "kind": "drop",
    "on": "2026-03-14T09:10:00Z",
    "times": [3.1],
    "stand": {"version": "ab", "settings": {"pivot": 0.487}},
}


def test_records_of_ours_and_kinds_of_a_newer_program_pass() -> None:
    assert record_fault("component", "lens-35", LENS) == ""
    assert record_fault("reading", "a-cam", DROP) == ""
    assert record_fault("kits", "north", {"anything": ["at", "all"]}) == ""


@pytest.mark.parametrize(
    ("kind", "subject", "body", "told"),
    [
        ("component", "lens-75", LENS, "its id is not that of what it is about"),
        ("component", "lens-35", {**LENS, "mass": "heavy"}, "mass is no number"),
        ("reading", "b-cam", DROP, "its build is not what it is about"),
        ("reading", "a-cam", {**DROP, "kind": "weighing"}, "'weighing' is no kind of reading"),
        ("reading", "a-cam", {**DROP, "kind": ["drop"]}, "['drop'] is no kind of reading"),
        ("reading", "a-cam", {**DROP, "stand": None}, "where it stood: is no object"),
        (
            "reading",
            "a-cam",
            {**DROP, "stand": {"version": "ab"}},
            "where it stood: settings is missing",
        ),
        ("reading", "a-cam", {**DROP, "times": [-1]}, "times is not more than zero"),
    ],
)
def test_what_no_command_could_read_is_told(
    kind: str, subject: str, body: dict[str, object], told: str
) -> None:
    assert record_fault(kind, subject, body) == told


@pytest.mark.parametrize("python", [sys.executable, "/bin/false", "/nowhere/python"])
def test_much_is_looked_at_by_a_process_of_its_own_and_no_less_strictly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, python: str
) -> None:
    """Where there can be none, this one looks at it."""
    monkeypatch.setattr(aside, "LARGE", 0)
    monkeypatch.setattr(aside.sys, "executable", python)
    theirs, ours = tmp_path / "theirs.db", tmp_path / "ours.db"
    _record(theirs, LENS)
    assert merge(ours, [theirs]).plan.new == 1
    _record(theirs, {**LENS, "id": "lens-75", "mass": "heavy"})
    with pytest.raises(DocumentError) as caught:
        merge(ours, [theirs])
    (finding,) = caught.value.findings
    assert str(finding).startswith(f'{theirs}:2: the entry on "lens-75": mass is no number')
    with Logbook.open(ours) as log:
        assert [entry.subject for entry in log.log()] == ["lens-35"]


def test_what_rests_on_entries_that_are_nowhere_is_told_by_a_process_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(aside, "LARGE", 0)
    theirs, ours = tmp_path / "theirs.db", tmp_path / "ours.db"
    _record(theirs, DROP | {"stand": {"version": "ab" * 32, "settings": {}}})
    with pytest.raises(DocumentError, match="rests on entries that are not here") as caught:
        merge(ours, [theirs])
    assert f"entry {'ab' * 4}, which is neither here nor in it" in str(caught.value.findings[0])


def _record(library: Path, body: dict[str, object]) -> None:
    kind = "reading" if "build" in body else "component"
    subject = str(body.get("build") or body["id"])
    draft = Draft(kind=kind, subject=subject, at="2026-03-14T09:10:00Z", author="kim", body=body)
    with Logbook.create(library) as log, log.writing() as transaction:
        transaction.append([draft])
