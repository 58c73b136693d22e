"""A damaged library gives up what is sound of it, and nothing is merged into one unnoticed."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

pytestmark = pytest.mark.usefixtures("kit")


@pytest.fixture
def new(db: Path) -> Path:
    return db.with_name("new.db")


@pytest.fixture
def whole(riglog: Riglog, db: Path) -> Path:
    """A bundle of all that the library held before anything happened to it."""
    bundle = db.with_name("all.bundle")
    assert riglog("bundle", "-o", str(bundle)).status == 0
    return bundle


def spoil(library: Path, written: bytes, instead: bytes) -> None:
    content = library.read_bytes()
    assert len(written) == len(instead)
    assert content.count(written) == 1
    library.write_bytes(content.replace(written, instead))


def subjects(library: Path) -> list[str]:
    with closing(sqlite3.connect(library)) as connection:
        rows = connection.execute("SELECT subject FROM entries ORDER BY seq").fetchall()
        return [row[0] for row in rows]


def test_what_is_sound_is_taken_and_the_rest_is_told(riglog: Riglog, db: Path, new: Path) -> None:
    before = subjects(db)
    spoil(db, b'"mass":1.45', b'"mass":1.54')
    refused = riglog("merge", str(db), "--db", str(new))
    assert refused.status == 2
    assert "riglog merge --rescue" in refused.err
    assert not new.exists()
    audited = riglog("audit")
    assert audited.status == 4
    assert "riglog merge --rescue takes what is sound into a new library" in audited.err
    done = riglog("merge", "--rescue", str(db), "--db", str(new))
    assert done.status == 0
    assert "Left out 1 entry, which a backup or a bundle can bring in:" in done.out
    assert '"lens-75": it is not what was recorded' in done.out.replace("\n  ", " ")
    assert subjects(new) == [each for each in before if each != "lens-75"]
    assert riglog("audit", "--db", str(new)).status == 0


def test_beside_a_bundle_nothing_is_lost(riglog: Riglog, db: Path, new: Path, whole: Path) -> None:
    before = json.loads(riglog("audit", "--json").out)["fingerprint"]
    spoil(db, b'"mass":1.45', b'"mass":1.54')
    done = riglog("merge", "--rescue", str(db), str(whole), "--db", str(new), "--json")
    told = json.loads(done.out)
    assert (told["left_out"], told["fingerprint"]) == ([], before)
    assert riglog("audit", "--db", str(new)).status == 0


def test_what_rests_on_a_damaged_entry_waits_for_it(
    riglog: Riglog, db: Path, new: Path, whole: Path
) -> None:
    with closing(sqlite3.connect(db)) as connection:
        (version,) = connection.execute("SELECT id FROM entries WHERE kind = 'build'").fetchone()
    assert riglog("drop", "a-cam", "3.1", "--mark", "487mm").status == 0
    before = subjects(db)
    spoil(db, b'"wanted_drop":3', b'"wanted_drop":4')
    told = json.loads(riglog("merge", "--rescue", str(db), "--db", str(new), "--json").out)
    # The build itself, and all that was read of it.
    lost = [each["message"] for each in told["left_out"]]
    assert len(lost) == before.count("a-cam") >= 3
    assert sum("it rests on an entry that is damaged or missing" in each for each in lost) >= 2
    assert version not in riglog("history", "lens-35", "--db", str(new), "--json").out
    # With what was lost from elsewhere, and the same library again, all is there.
    done = riglog("merge", "--rescue", str(whole), str(db), "--db", str(new))
    assert "Left out" not in done.out
    assert sorted(subjects(new)) == sorted(before)
    assert riglog("audit", "--db", str(new)).status == 0


def test_of_a_library_whose_end_is_missing_the_beginning_is_taken(
    riglog: Riglog, db: Path, new: Path
) -> None:
    for n in range(60):
        assert riglog("note", "lens-35", f"{n} {'x' * 300}").status == 0
    before = subjects(db)
    content = db.read_bytes()
    db.write_bytes(content[: len(content) * 7 // 10])
    assert riglog("merge", str(db), "--db", str(new)).status == 4
    done = riglog("merge", "--rescue", str(db), "--db", str(new))
    assert done.status == 0
    assert "cannot be read" in done.out
    there = subjects(new)
    assert there == before[: len(there)]
    assert len(there) >= 9
    assert riglog("audit", "--db", str(new)).status == 0


def test_a_dry_run_of_a_rescue_tells_the_same_and_makes_nothing(
    riglog: Riglog, db: Path, new: Path
) -> None:
    spoil(db, b'"mass":1.45', b'"mass":1.54')
    planned = riglog("merge", "--rescue", "--dry-run", str(db), "--db", str(new))
    assert not new.exists()
    done = riglog("merge", "--rescue", str(db), "--db", str(new))
    assert planned.out.splitlines()[0] == done.out.splitlines()[0].replace("Merged", "Would merge")
    assert "Would leave out 1 entry" in planned.out


def test_a_damaged_bundle_is_refused_all_the_same(riglog: Riglog, new: Path, whole: Path) -> None:
    spoil(whole, b'"mass":1.45', b'"mass":1.54')
    done = riglog("merge", "--rescue", str(whole), "--db", str(new))
    assert done.status == 2
    assert "a bundle is damaged: nothing was merged" in done.err
    assert not new.exists()


def test_nothing_is_merged_into_a_library_that_says_something_else_under_an_id(
    riglog: Riglog, db: Path, whole: Path
) -> None:
    spoil(db, b'"mass":1.45', b'"mass":1.54')
    before = db.read_bytes()
    done = riglog("merge", str(whole))
    assert done.status == 4
    assert "is damaged" in done.err
    assert db.read_bytes() == before


def test_a_fork_that_a_damaged_id_seems_to_make_is_none(
    riglog: Riglog, db: Path, whole: Path
) -> None:
    with closing(sqlite3.connect(db)) as connection:
        (named,) = connection.execute("SELECT id FROM entries WHERE kind = 'build'").fetchone()
        # What came of it names it too, and so the id stands in several places of the file.
        connection.execute("DROP TRIGGER entries_are_never_changed")
        other = ("0" if named[0] != "0" else "1") + named[1:]
        connection.execute("UPDATE entries SET id = ? WHERE id = ?", (other, named))
        from riglog.logbook import schema

        trigger = next(each for each in schema.LOG if "never_changed" in each)
        connection.execute(trigger)
        connection.commit()
    done = riglog("merge", str(whole))
    assert done.status == 4
    assert "is damaged" in done.err


@pytest.mark.parametrize("text", [b"", b"lens-75", b"kim", b'"mass"'])
def test_a_flipped_bit_that_leaves_no_text_is_told_as_any_other(
    riglog: Riglog, db: Path, new: Path, text: bytes
) -> None:
    """In an id, with which its row begins, a subject, an author, or a body."""
    with closing(sqlite3.connect(db)) as connection:
        (named,) = connection.execute("SELECT id FROM entries WHERE subject = 'lens-75'").fetchone()
    content = bytearray(db.read_bytes())
    content[content.index(text, content.index(f"{named}componentlens-75".encode()))] ^= 0x80
    db.write_bytes(content)
    assert riglog("merge", str(db), "--db", str(new)).status == 2
    done = riglog("merge", "--rescue", str(db), "--db", str(new))
    assert done.status == 0
    assert "Left out 1 entry" in done.out
    assert riglog("audit", "--db", str(new)).status == 0
