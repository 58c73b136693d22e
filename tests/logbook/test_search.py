from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from logbook.kit import build, component, draft, reading, record

from riglog.logbook import Logbook
from riglog.logbook.folded import folded, has
from riglog.logbook.search import LOOKED_AT, Sought

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook import Entry

READINGS = ("reading",)


@pytest.fixture
def flown(path: Path) -> list[Entry]:
    """Two builds, each read on two days."""
    with Logbook.create(path) as log:
        lenses = record(log, component("lens-35"), component("lens-75", note="Zoë's, stiff"))
        builds = record(
            log, build("a-cam", uses=("lens-35", "hood")), build("b-cam", uses=("lens-75", "hood"))
        )
        return [
            *lenses,
            *builds,
            *record(
                log,
                reading(builds[0], on="2026-03-13T09:00:00+01:00", note="windy"),
                reading(builds[0], on="2026-03-14T09:00:00+01:00"),
                reading(builds[1], on="2026-03-13T10:00:00+01:00"),
                reading(builds[1], on="2026-03-14T10:00:00+01:00", note="wind in the evening"),
            ),
        ]


def found(path: Path, sought: Sought, limit: int = 99) -> list[int]:
    with Logbook.open(path) as log:
        return [entry.seq for entry in log.found(sought, limit)]


@pytest.mark.parametrize(
    ("sought", "seqs"),
    [
        (Sought(READINGS), [8, 7, 6, 5]),
        (Sought(READINGS, words=("wind",)), [8, 5]),
        (Sought(READINGS, words=("wind", "evening")), [8]),
        (Sought(READINGS, words=("windy", "evening"), any_word=True), [8, 5]),
        (Sought(READINGS, things=("lens-75",)), [8, 7]),
        (Sought(READINGS, things=("hood", "lens-35")), [6, 5]),
        (Sought(READINGS, things=("lens-75", "lens-35")), []),
        (Sought(READINGS, days=("2026-03-13", "2026-03-13")), [7, 5]),
        (Sought(READINGS, days=("2026-03-01", "2026-03-31")), [8, 7, 6, 5]),
        (Sought(READINGS, days=("2026-03-01", "2026-03-02")), []),
        (Sought(READINGS, things=("hood",), days=("2026-03-14", "2026-03-14")), [8, 6]),
        (Sought(READINGS, words=("wind",), days=("2026-03-13", "2026-03-13")), [5]),
        (Sought(READINGS, words=("wind",), things=("lens-75",)), [8]),
        (Sought(("component", "build"), words=("zoe",)), [2]),
        (Sought(("component", "build"), things=("hood",)), [4, 3]),
    ],
)
def test_what_is_found_has_all_that_is_sought(
    path: Path, flown: list[Entry], sought: Sought, seqs: list[int]
) -> None:
    assert len(flown) == 8
    assert found(path, sought) == seqs
    assert found(path, sought, 1) == seqs[:1]


def test_a_corrected_reading_is_not_found_and_a_former_build_is(
    path: Path, flown: list[Entry]
) -> None:
    with Logbook.open(path, write=True) as log:
        record(log, reading(flown[2], flown[4].id, note="windy, misread"))
        record(log, build("a-cam", flown[2].id, uses=("lens-35",)))
    assert found(path, Sought(READINGS, words=("windy",))) == [9]
    assert found(path, Sought(("build",), things=("lens-35",))) == [10, 3]


def test_words_of_any_shape_are_no_error(path: Path, flown: list[Entry]) -> None:
    assert flown
    for word in ('"', "a*", "NEAR(", "(", "-", "lens-", "x:y", "' OR 1", "\x00"):
        found(path, Sought(READINGS, words=(word,)))


def test_a_library_of_years_is_looked_through_from_its_newest_end_alone(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("riglog.logbook.search.LOOKED_AT", 5)
    with Logbook.create(path) as log:
        record(log, *(draft("note", "a-cam", {"note": f"windy {n}"}) for n in range(20)))
    assert LOOKED_AT > 5
    assert found(path, Sought(("note",), words=("windy",))) == [20, 19, 18, 17, 16]


@given(st.text(st.sampled_from("aäßÉe1-_ .'日本"), min_size=1, max_size=12), st.data())
def test_folded_words_find_what_the_full_text_finds(text: str, data: st.DataObject) -> None:
    """The oracle is SQLite's own tokenizer."""
    part = text[: data.draw(st.integers(1, len(text)))]
    word = part.rsplit(maxsplit=1)[-1] if part.split() else ""
    if not any(c.isalnum() for c in word) or not folded(word):
        return
    base = sqlite3.connect(":memory:")
    base.execute(
        "CREATE VIRTUAL TABLE t USING fts5 (x, tokenize = 'unicode61 remove_diacritics 2')"
    )
    base.execute("INSERT INTO t VALUES (?)", (text,))
    (there,) = base.execute("SELECT count(*) FROM t WHERE t MATCH ?", (f'"{word}"*',)).fetchone()
    base.close()
    assert not there or has(folded(text), word)
