from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from logbook.kit import AT, build, draft, reading, record

from riglog.logbook import Logbook, schema
from riglog.logbook.creation import empty_library

if TYPE_CHECKING:
    from riglog.logbook import Entry

COLUMNS = "kind, subject, at, author, parents, body"
ATTACKS = [
    "UPDATE entries SET author = 'x' WHERE seq = 1",
    "UPDATE OR IGNORE entries SET author = 'x'",
    "UPDATE OR REPLACE entries SET seq = 2 WHERE seq = 1",
    "DELETE FROM entries WHERE seq = 1",
    "DELETE FROM entries",
    "REPLACE INTO entries SELECT * FROM entries WHERE seq = 1",
    f"INSERT OR REPLACE INTO entries SELECT seq, 'new', {COLUMNS} FROM entries WHERE seq = 1",
    f"INSERT OR REPLACE INTO entries SELECT 99, id, {COLUMNS} FROM entries WHERE seq = 1",
    "INSERT INTO entries SELECT * FROM entries WHERE true ON CONFLICT (id) DO UPDATE SET at = ''",
]


@pytest.mark.parametrize("statement", ATTACKS)
def test_no_program_can_change_or_remove_an_entry(
    path: Path, entries: list[Entry], statement: str
) -> None:
    """Append-only is a property of the file: this connection knows nothing of ours."""
    with closing(sqlite3.connect(path)) as stranger:
        with pytest.raises(sqlite3.IntegrityError, match="superseded, never"):
            stranger.execute(statement)
        stranger.commit()
    with Logbook.open(path) as log:
        assert list(log.log()) == entries


@pytest.mark.parametrize("column", ["kind", "subject", "at", "author", "parents", "body", "id"])
def test_a_column_of_the_log_holds_text_and_nothing_else(path: Path, column: str) -> None:
    path.write_bytes(empty_library())
    columns = dict.fromkeys(["id", "kind", "subject", "at", "author", "parents", "body"], "x")
    with closing(sqlite3.connect(path)) as stranger:
        for wrong in (None, b"x"):
            with pytest.raises(sqlite3.IntegrityError):
                stranger.execute(
                    f"INSERT INTO entries ({', '.join(columns)}) VALUES (?, ?, ?, ?, ?, ?, ?)",
                    tuple({**columns, column: wrong}.values()),
                )


def test_a_new_library_has_the_expected_schema_and_nothing_else(path: Path) -> None:
    path.write_bytes(empty_library())
    with closing(sqlite3.connect(path)) as stranger:
        found = stranger.execute("SELECT type, name, sql FROM sqlite_schema").fetchall()
        assert stranger.execute("PRAGMA application_id").fetchone() == (0x72696731,)
        assert stranger.execute("PRAGMA user_version").fetchone() == (len(schema.STEPS),)
        assert stranger.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert schema.missing(found) == []
    assert schema.foreign(found) == []


def test_every_difference_from_the_schema_is_named() -> None:
    found = [(*key, sql) for key, sql in schema.expected().items()]
    altered = [(t, n, "CREATE TABLE uses (x)" if n == "uses" else sql) for t, n, sql in found]
    altered = [item for item in altered if item[1] != "entries_are_never_removed"]
    altered += [("table", "sqlite_stat1", "x"), ("trigger", "spy", "x"), ("view", "uses2", "x")]
    assert schema.missing(altered) == ["trigger entries_are_never_removed", "table uses"]
    assert schema.foreign(altered) == ["table sqlite_stat1", "trigger spy", "view uses2"]


def rows(path: Path, view: str) -> list[dict[str, object]]:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.row_factory = sqlite3.Row
        return [dict(row) for row in stranger.execute(f"SELECT * FROM {view}")]


def test_people_read_heads_of_components_in_grams(path: Path, entries: list[Entry]) -> None:
    found = rows(path, "components")
    assert [(row["id"], row["version"], row["mass_g"]) for row in found] == [
        ("body-north", 1, 4210.0),
        ("lens-35", 1, 1120.0),
        ("lens-75", 1, 1480.0),
    ]
    lens = found[1]
    assert lens["note"] == "Röhre, weich"
    assert (lens["author"], lens["recorded_at"], lens["entry"]) == ("north", AT, entries[1].id)
    assert lens["cg_x_mm"] is None


def test_people_read_rigs_builds_and_readings(path: Path, entries: list[Entry]) -> None:
    (post,) = rows(path, "rigs")
    assert (post["id"], post["adjusters"], post["mounts"]) == ("post-one", "pivot", "stage")
    builds = rows(path, "builds")
    assert [(row["id"], row["version"], row["mode"], row["parts"]) for row in builds] == [
        ("a-cam", 2, "high", "body-north, lens-75"),
        ("a-cam", 2, "low", "body-north"),
    ]
    readings = rows(path, "readings")
    assert [row["times_s"] for row in readings] == ["3.1", "3.2", "3.3", "3.4", "2.9"]
    assert {(row["build"], row["build_version"], row["pivot_mm"]) for row in readings} == {
        ("a-cam", 1, 487.0)
    }
    assert readings[-1]["note"] == "misread"
    assert readings[-1]["entry"] == entries[10].id


def test_a_ring_shows_both_its_pivots_and_their_mean(log: Logbook, path: Path) -> None:
    record(log, build("ring-cam", settings={"pivot": {"left": 0.212, "right": 0.213}}))
    (row,) = rows(path, "builds")
    assert (row["pivot_mm"], row["pivot_left_mm"], row["pivot_right_mm"]) == (212.5, 212.0, 213.0)


def test_people_read_what_kept_a_reading_out_and_what_a_scale_showed(
    log: Logbook, path: Path
) -> None:
    (version,) = record(log, build("a-cam"))
    weighing = {"component": "lens-35", "kind": "weighing", "on": AT, "shown": [1.1182, 1.119]}
    record(
        log,
        reading(version, conditions=["wind", "tether"]),
        draft("measurement", "lens-35", {**weighing, "without": 0.02, "scale": "bench-one"}),
    )
    (row,) = rows(path, "readings")
    assert row["conditions"] == "wind, tether"
    (row,) = rows(path, "measurements")
    assert (row["component"], row["shown_g"], row["without_g"], row["by"]) == (
        "lens-35", "1118.2, 1119.0", 20.0, "bench-one",
    )  # fmt: skip


def test_people_read_what_things_are_weighed_on(log: Logbook, path: Path) -> None:
    body = {"resolution": 0.001, "reference": 2.0, "showed": 2.003, "checked": "2026-03-01"}
    bench = draft("scale", "bench-one", {**body, "tags": ["loft"], "note": "warm it up"})
    record(log, bench, draft("scale", "crane", {"resolution": 0.05, "linearity": 0.1}))
    first, second = rows(path, "scales")
    assert (first["id"], first["version"], first["resolution_g"]) == ("bench-one", 1, 1.0)
    assert (first["reference_g"], first["showed_g"]) == (2000.0, 2003.0)
    assert (first["checked_on"], first["linearity_g"]) == ("2026-03-01", 0.0)
    assert first["note"] == "warm it up"
    assert (second["id"], second["linearity_g"], second["checked_on"]) == ("crane", 100.0, None)
    assert [(row["id"], row["tag"]) for row in rows(path, "tags")] == [("bench-one", "loft")]
    assert [row["version"] for row in rows(path, "history")] == [1, 1]


def documented() -> dict[str, list[str]]:
    """Columns of each view, as the page on views lists them."""
    page = (Path(__file__).parents[2] / "docs" / "views.md").read_text()
    sections = page.split("\n## ")[1:]
    return {
        section.partition("\n")[0]: re.findall(r"^\| `(\w+)` \| \S", section, re.MULTILINE)
        for section in sections
    }


@pytest.mark.usefixtures("entries")
def test_the_page_on_views_lists_every_column_of_every_view(path: Path) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        names = "SELECT name FROM sqlite_schema WHERE type = 'view'"
        views = [name for (name,) in stranger.execute(names)]
        columns = {
            view: [column[0] for column in stranger.execute(f"SELECT * FROM {view}").description]
            for view in views
        }
    assert columns == documented()


def test_people_read_what_was_said_of_things(log: Logbook, path: Path) -> None:
    (version,) = record(log, build("a-cam", tags=["night"]))
    good, slip = record(log, reading(version), reading(version, times=(9.9,), note="slip"))
    stand = {"version": version.id, "settings": {"pivot": 0.491}}
    note, _, _, _ = record(
        log,
        draft("note", "a-cam", {"text": "wobbly", "entry": good.id}),
        draft("tag", "a-cam", {"tag": "rain"}),
        draft("name", "a-cam", {"name": "wide", "entry": version.id, "stand": stand}),
        draft("undo", "a-cam", {"reverses": [slip.id]}),
    )
    assert [(row["note"], row["about"], row["entry"]) for row in rows(path, "notes")] == [
        ("wobbly", "reading", note.id)
    ]
    assert [(row["id"], row["tag"], row["about"]) for row in rows(path, "tags")] == [
        ("a-cam", "night", "build"),
        ("a-cam", "rain", None),
    ]
    assert [(row["name"], row["version"], row["pivot_mm"]) for row in rows(path, "names")] == [
        ("wide", 1, 491.0)
    ]
    assert [row["times_s"] for row in rows(path, "readings")] == ["3.1"]
    assert [(row["kind"], row["state"], row["words"]) for row in rows(path, "history")] == [
        ("build", "counts", None),
        ("reading", "counts", None),
        ("reading", "undone", "slip"),
        ("note", "counts", "wobbly"),
        ("tag", "counts", "rain"),
        ("name", "counts", "wide"),
        ("undo", "counts", None),
    ]
