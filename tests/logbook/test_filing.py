"""Many entries filed at once are filed as each would be alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logbook.acts import ACTS, START, Act, drafts
from logbook.carried import merged
from logbook.kit import component, record, rig

from riglog.errors import NotFoundError
from riglog.logbook import Logbook
from riglog.logbook.connection import connect
from riglog.logbook.filing import file_after

TABLES = ("edges", "uses", "versions", "days", "about", "words_docsize")
# What the words are is in the index alone.
WORDS = """
SELECT v.term, v.doc, v.offset FROM vocabulary AS v ORDER BY 1, 2, 3"""


def filed(library: Path) -> dict[str, list[tuple[object, ...]]]:
    """All that is derived from the entries."""
    with closing(sqlite3.connect(library)) as connection:
        found = {name: connection.execute(f"SELECT * FROM {name}").fetchall() for name in TABLES}
        connection.execute(
            "CREATE VIRTUAL TABLE temp.vocabulary USING fts5vocab (main, words, instance)"
        )
        return {**found, "words": connection.execute(WORDS).fetchall()}


@settings(max_examples=40, deadline=None)
@given(ACTS, st.integers(0, 12))
def test_what_is_merged_is_filed_as_if_it_had_been_appended(acts: list[Act], there: int) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        with Logbook.create(folder / "kit.db") as log:
            parts = component("lens-35"), component("lens-75"), rig("post-one")
            _, _, _, version = record(log, *parts, START)
            (folder / "copy.db").write_bytes((folder / "kit.db").read_bytes())
            made = drafts(acts, version, folder)
            record(log, *made)
        with Logbook.open(folder / "copy.db", write=True) as log:
            record(log, *made[:there])
        merged(folder / "copy.db", folder / "kit.db")
        assert filed(folder / "copy.db") == filed(folder / "kit.db")


def test_a_child_before_its_parent_is_not_filed(path: Path) -> None:
    first = component("lens-35")
    child = component("lens-35", first.envelope.id, note="new strap").envelope
    Logbook.create(path).close()
    with closing(connect(path, write=True)) as database:
        database.run(
            "INSERT INTO entries (id, kind, subject, at, author, parents, body)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            (child.id, *child),
        )
        with pytest.raises(NotFoundError, match=f"supersedes {first.envelope.id[:8]}"):
            file_after(database, 0)
