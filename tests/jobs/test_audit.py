from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from riglog.errors import CallError, LibraryError
from riglog.jobs.audit import audit
from riglog.jobs.bundle import bundle
from riglog.jobs.merge import merge
from riglog.jobs.rebuild import RebuildAnswer, rebuild
from riglog.logbook import Draft, Logbook, schema
from riglog.records import Component

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from riglog.library import Library


TRIGGER = schema.expected()["trigger", "entries_are_never_removed"]


def tamper(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            connection.execute(statement)


def test_a_library_as_it_was_recorded_is_sound(logged: Library, path: Path) -> None:
    logged.use("a-cam")
    found = audit(path)
    assert found[:2] == (str(path), 9)
    assert found.fingerprint.startswith("9-")


def test_all_damage_is_told_and_nothing_is_changed(logged: Library, path: Path) -> None:
    with logged:
        pass
    tamper(
        path,
        "DROP TRIGGER entries_are_never_changed",
        "UPDATE entries SET author = 'somebody' WHERE seq IN (2, 5)",
    )
    before = path.read_bytes()
    with pytest.raises(LibraryError) as caught:
        audit(path)
    told = [finding.file for finding in caught.value.findings]
    assert [where[:7] for where in told if where.startswith("entry")] == ["entry 2", "entry 5"]
    assert caught.value.status == 4
    assert "7 entries are sound" in caught.value.message
    assert path.read_bytes() == before


def test_tables_that_follow_from_the_entries_are_made_anew(logged: Library, path: Path) -> None:
    with logged:
        pass
    tamper(path, "DELETE FROM uses")
    with pytest.raises(LibraryError, match="1 thing is wrong"):
        audit(path)
    assert rebuild(path) == RebuildAnswer(str(path), 9)
    assert audit(path).entries == 9


def test_a_fingerprint_of_before_holds_while_the_log_grows(logged: Library, path: Path) -> None:
    with logged:
        before = audit(path).fingerprint
        (lens,) = logged.record(Component(id="lens-99", kind="lens"))
        assert lens.what == "new"
    after = audit(path, against=before)
    assert (after.entries, after.against) == (10, before)
    assert after.fingerprint != before
    assert audit(path, against=after.fingerprint.upper()).entries == 10


def shorten(path: Path) -> None:
    """As somebody would who takes out the last entry and hides that well."""
    tamper(path, "DROP TRIGGER entries_are_never_removed", "DELETE FROM entries WHERE seq = 9")
    tamper(path, TRIGGER)
    rebuild(path)


def rewrite(path: Path) -> None:
    """As somebody would who writes the log anew, every id fitting."""
    with Logbook.open(path) as log:
        entries = list(log.log())
    path.unlink()
    with Logbook.create(path) as log, log.writing() as transaction:
        names: dict[str, str] = {}
        for entry in entries:
            body = json.loads(json.dumps(entry.body).replace("3.1", "2.9"))
            if "stand" in body:
                body["stand"]["version"] = names[body["stand"]["version"]]
            draft = Draft(
                kind=entry.kind, subject=entry.subject, at=entry.at, author=entry.author,
                parents=tuple(names[each] for each in entry.parents), body=body,
            )  # fmt: skip
            names[entry.id] = transaction.append([draft])[0].id


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (shorten, "has 8 entries, and had 9 when the fingerprint was taken"),
        (rewrite, "its first 9 entries are not those that the fingerprint was taken of"),
    ],
)
def test_a_log_that_was_cut_or_rewritten_without_a_trace_is_betrayed_by_its_fingerprint(
    logged: Library, path: Path, tmp_path: Path, change: Callable[[Path], None], told: str
) -> None:
    with logged:
        known = audit(path).fingerprint
        bundle(logged, [], tmp_path / "all.bundle")
    change(path)
    assert audit(path).entries in {8, 9}
    with pytest.raises(LibraryError) as caught:
        audit(path, against=known)
    (finding,) = caught.value.findings
    assert (finding.file, finding.message.partition(";")[0]) == ("log", told)
    with pytest.raises(LibraryError, match="1 thing is wrong") as caught:
        audit(path, against=str(tmp_path / "all.bundle"))
    assert "riglog merge" in caught.value.findings[0].mend
    merge(path, [tmp_path / "all.bundle"])
    assert audit(path, against=str(tmp_path / "all.bundle")).entries >= 9


def test_what_is_neither_a_fingerprint_nor_a_bundle_is_refused(
    logged: Library, path: Path, tmp_path: Path
) -> None:
    assert logged
    (tmp_path / "notes.txt").write_text("the gimbal was at 487")
    for words in ("1234", "9-xyz", str(tmp_path / "notes.txt"), "nowhere.bundle"):
        with pytest.raises(CallError):
            audit(path, against=words)
