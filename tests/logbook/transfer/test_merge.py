"""Merging is a set union: it loses nothing, can be done again, and in any order."""

from __future__ import annotations

import sqlite3
from contextlib import closing, nullcontext
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logbook.carried import (
    all_of,
    bundled,
    fingerprint,
    ids,
    merged,
    noted,
    planned,
    resealed,
    vetting,
)
from logbook.kit import build, component, draft, fill, names_in, reading, record, rig

from riglog.errors import BusyError, CallError, DocumentError, LibraryError
from riglog.logbook import Logbook
from riglog.logbook.auditing.audit import audit
from riglog.logbook.transfer.bundling import Choice
from riglog.logbook.transfer.staging import sources_of, staged
from riglog.logbook.transfer.vetting import vet

if TYPE_CHECKING:
    from riglog.logbook import Entry


@pytest.fixture
def other(path: Path) -> Path:
    """A library that somebody else has."""
    return path.with_name("other.db")


def sound(library: Path) -> bool:
    return audit(library).damage == ()


def test_a_library_and_a_bundle_of_it_bring_the_same(
    path: Path, entries: list[Entry], other: Path
) -> None:
    third = path.with_name("third.db")
    plans = [
        merged(other, path),
        merged(third, bundled(path, path.with_name("a.bundle"))),
    ]
    assert all_of(other) == all_of(third) == entries
    assert [plan.new for plan in plans] == [len(entries)] * 2
    assert dict(plans[0].kinds) == {"reading": 6, "build": 3, "component": 3, "rig": 1}
    assert dict(plans[0].authors) == {"north": len(entries)}
    assert sound(other)
    assert sound(third)


def test_merging_again_changes_nothing(path: Path, entries: list[Entry], other: Path) -> None:
    merged(other, path)
    before = other.read_bytes()
    assert merged(other, path).new == 0
    assert merged(other, path, bundled(path, path.with_name("a.bundle"))).new == 0
    assert all_of(other) == entries
    assert [other.read_bytes()[:24], len(other.read_bytes())] == [before[:24], len(before)]


def test_what_two_people_recorded_apart_is_there_afterwards(path: Path, other: Path) -> None:
    fill(path)
    merged(other, path)
    noted(path, "here", subject="lens-75")
    noted(other, "there", subject="body-north")
    both = ids(path) | ids(other)
    plan = merged(path, other)
    assert (ids(path), plan.new, plan.forks) == (both, 1, ())
    assert sound(path)


def test_two_changes_of_one_thing_make_a_fork_and_both_stay(path: Path, other: Path) -> None:
    fill(path)
    merged(other, path)
    noted(path, "here")
    noted(other, "there", "and on")
    (fork,) = merged(path, other).forks
    assert (fork.kind, fork.subject) == ("component", "lens-35")
    with Logbook.open(path) as log:
        heads = log.heads("component", "lens-35")
        assert {head.id for head in heads} == {head.id for head in fork.heads}
        assert {head.body["note"] for head in heads} == {"here", "and on"}
        assert log.version("component", "lens-35", "3").entry.body["note"] == "and on"
        assert {head.id: head.name for head in fork.heads} == {
            head.id: log.version_of(head).name for head in heads
        }
    # A fork that was there before is not told again unless one of its heads is new.
    assert merged(path, other).forks == ()


def test_the_same_document_added_on_two_machines_is_no_fork(path: Path, other: Path) -> None:
    for library, at in ((path, "2026-03-14T09:10:00Z"), (other, "2026-03-14T09:12:00Z")):
        with Logbook.create(library) as log:
            record(log, draft("component", "lens-35", {"id": "lens-35"}, at=at))
    plan = merged(path, other)
    assert (plan.new, plan.forks) == (1, ())


def test_an_id_that_means_two_things_is_told(path: Path, other: Path) -> None:
    with Logbook.create(path) as log:
        record(log, component("north"))
    with Logbook.create(other) as log:
        record(log, rig("north"))
    (clash,) = merged(path, other).clashes
    assert clash == ("north", ("component", "rig"))


def test_a_dry_run_tells_the_same_and_writes_nothing(path: Path, other: Path) -> None:
    fill(path)
    merged(other, path)
    noted(path, "here")
    noted(other, "there")
    before, names = path.read_bytes(), names_in(path.parent)
    told = planned(path, other)
    assert (path.read_bytes(), names_in(path.parent)) == (before, names)
    assert merged(path, other) == told
    (fork,) = told.forks
    with Logbook.open(path) as log:
        for head in fork.heads:
            assert log.version("component", "lens-35", head.name).entry.id == head.id


def test_bundles_that_build_on_each_other_come_in_whatever_their_order(
    path: Path, other: Path
) -> None:
    fill(path)
    folder = path.with_name("stick")
    folder.mkdir()
    first = bundled(path, folder / "b.bundle")
    noted(path, "second")
    second = bundled(path, folder / "a.bundle", Choice(since=first))
    with pytest.raises(DocumentError) as caught:
        merged(other, second)
    assert "rests on entry" in str(caught.value.findings[0])
    assert all_of(other) == []
    merged(other, folder)  # a.bundle is read first
    assert ids(other) == ids(path)
    assert sound(other)


def test_two_bundles_each_of_which_rests_on_the_other(path: Path, other: Path) -> None:
    """Two people took turns; each carries only what is their own."""
    made, earlier = [], component("lens-35")
    for turn in range(4):
        made.append(earlier)
        earlier = component("lens-35", earlier.envelope.id, note=str(turn))
    with Logbook.create(path) as log:
        record(log, *made)
    mine, theirs = path.with_name("mine.bundle"), path.with_name("theirs.bundle")
    content = bundled(path, mine).read_bytes().splitlines()
    for target, kept in ((mine, content[1:-1:2]), (theirs, content[2:-1:2])):
        target.write_bytes(resealed([content[0], *kept]))
    merged(other, mine, theirs)
    assert ids(other) == ids(path)
    with Logbook.open(other) as log:
        assert [each.number for each in log.versions("component", "lens-35")] == [1, 2, 3, 4]
    assert sound(other)


# --- any order -----------------------------------------------------------------------------------

THINGS = ("lens-35", "a-cam")


@st.composite
def machines(draw: st.DrawFn) -> list[list[tuple[str, int]]]:
    """What each of three people does to the kit that they start from: a thing, and on what."""
    turn = st.tuples(st.sampled_from([*THINGS, "reading"]), st.integers(0, 3))
    return draw(st.lists(st.lists(turn, max_size=4), min_size=3, max_size=3))


def worked(library: Path, who: int, turns: list[tuple[str, int]]) -> None:
    with Logbook.open(library, write=True) as log:
        for number, (what, on) in enumerate(turns):
            at = f"2026-03-{14 + (number * 7 + who) % 9}T0{who}:00:0{number}.000Z"
            if what == "reading":
                versions = log.versions("build", "a-cam")
                version = versions[on % len(versions)].entry
                made = reading(version, times=(3.0 + who, float(number)))
            else:
                kind = "component" if what == "lens-35" else "build"
                versions = log.versions(kind, what)
                parent = versions[on % len(versions)].entry
                made = draft(kind, what, {**parent.body, "note": f"{who} {number}"}, parent.id)
            record(log, type(made)(**{**{n: getattr(made, n) for n in FIELDS}, "at": at}))


FIELDS = ("kind", "subject", "author", "parents", "body")


def seen(library: Path) -> object:
    """All that a person sees of a library, whatever the order in its file."""
    with Logbook.open(library) as log:
        return (
            log.fingerprint(),
            {entry.id for entry in log.log()},
            {
                (version.entry.id, version.number, version.name, version.is_head)
                for kind in ("component", "rig", "build", "reading")
                for subject in log.subjects(kind)
                for version in log.versions(kind, subject)
            },
            {thing: sorted(e.id for e in log.readings_using(thing)) for thing in THINGS},
            sorted(entry.id for entry in log.search("lens")),
        )


@given(machines(), st.permutations(range(3)), st.permutations(range(3)))
@settings(deadline=None, max_examples=25)
def test_any_order_of_merges_gives_the_same_library(
    turns: list[list[tuple[str, int]]], one: list[int], another: list[int]
) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        start = folder / "start.db"
        with Logbook.create(start) as log:
            record(log, rig("post-one"), component("lens-35"), build("a-cam", uses=("lens-35",)))
        libraries = [folder / f"{who}.db" for who in range(3)]
        for who, library in enumerate(libraries):
            library.write_bytes(start.read_bytes())
            worked(library, who, turns[who])
        bundles = [bundled(each, each.with_suffix(".bundle")) for each in libraries]
        results = []
        for number, order in enumerate((one, another)):
            target = folder / f"result-{number}.db"
            for which in order:
                merged(target, bundles[which] if number else libraries[which])
            assert sound(target)
            results.append(seen(target))
        together = folder / "together.db"
        merged(together, *(bundles[which] for which in another))
        assert results[0] == results[1] == seen(together)


# --- sources that cannot be used ---------------------------------------------------------------


def test_a_damaged_entry_of_a_library_keeps_all_of_it_out(
    path: Path, entries: list[Entry], other: Path
) -> None:
    content = path.read_bytes()
    at = content.index(b'"mass":1.12')
    path.write_bytes(content[: at + 8] + b"9" + content[at + 9 :])
    with pytest.raises(DocumentError) as caught:
        merged(other, path)
    (told,) = caught.value.findings
    assert (told.file, told.line) == (str(path), 2)
    assert "its id does not fit" in told.message
    assert all_of(other) == []
    assert entries


def test_a_text_that_is_none_is_told_with_its_place(
    path: Path, entries: list[Entry], other: Path
) -> None:
    content = path.read_bytes()
    at = content.index(b'"mass":1.12')
    path.write_bytes(content[: at + 1] + b"\xff" + content[at + 2 :])
    with pytest.raises(DocumentError) as caught:
        merged(other, path)
    (told,) = caught.value.findings
    assert (told.file, told.line) == (str(path), 2)
    assert all_of(other) == []
    assert entries


def test_of_two_sources_that_say_different_things_under_one_id_the_damaged_one_is_told(
    path: Path, entries: list[Entry], other: Path
) -> None:
    good = path.with_name("good.db")
    content = path.read_bytes()
    good.write_bytes(content)
    at = content.index(b'"mass":1.12')
    path.write_bytes(content[: at + 8] + b"9" + content[at + 9 :])
    for sources in ((good, path), (path, good)):
        with pytest.raises(DocumentError) as caught:
            merged(other, *sources)
        assert [(each.file, each.line) for each in caught.value.findings] == [(str(path), 2)]
        assert all_of(other) == []
    merged(other, good)
    with pytest.raises(DocumentError, match="1 thing is wrong"):
        merged(other, path)
    assert all_of(other) == entries


def test_what_only_looks_like_a_library_is_refused(path: Path, other: Path) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("CREATE TABLE entries (seq INTEGER PRIMARY KEY, id, body)")
    with pytest.raises(LibraryError, match="database of another program"):
        merged(other, path)
    fill(other)
    path.write_bytes(other.read_bytes()[: other.stat().st_size // 3])
    with pytest.raises(LibraryError, match="damaged"):
        merged(other, path)
    with pytest.raises(CallError, match="there is no file"):
        sources_of([path.with_name("nowhere.db")])
    path.with_name("empty").mkdir()
    with pytest.raises(CallError, match="there are no bundles"):
        sources_of([path.with_name("empty")])


def test_hostile_triggers_and_views_of_a_library_are_not_run(
    path: Path, entries: list[Entry], other: Path
) -> None:
    with closing(sqlite3.connect(path)) as stranger:
        stranger.executescript(
            "CREATE TRIGGER spy AFTER INSERT ON entries BEGIN DELETE FROM uses; END;"
            "CREATE VIEW lies AS SELECT load_extension('x')"
        )
    assert merged(other, path).new == len(entries)
    assert sound(other)


def test_a_fault_that_the_reader_of_records_finds_is_told_with_its_place(
    path: Path, entries: list[Entry], other: Path
) -> None:
    def heavy(kind: str, subject: str, body: object) -> str:
        assert body
        return "mass is no number" if (kind, subject) == ("component", "lens-75") else ""

    with (
        Logbook.create(other) as log,
        staged([path], other, lambda place: nullcontext(partial(vet, place, heavy))) as stage,
        pytest.raises(DocumentError) as caught,
    ):
        log.merge(stage)
    assert 'the entry on "lens-75": mass is no number' in str(caught.value.findings[0])
    assert entries[2].subject == "lens-75"
    assert all_of(other) == []


def test_while_somebody_writes_a_merge_waits_and_then_says_so(
    path: Path, entries: list[Entry], other: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    merged(other, path)
    noted(path, "new")
    monkeypatch.setattr("riglog.logbook.connection.TIMEOUT_S", 0.05)
    with closing(sqlite3.connect(other, isolation_level=None)) as writer:
        writer.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BusyError, match="try again"):
            merged(other, path)
        writer.execute("ROLLBACK")
    assert all_of(other) == entries


# --- times that cannot be right ------------------------------------------------------------------


def test_order_goes_by_parents_and_absurd_times_are_taken_and_counted(
    path: Path, other: Path
) -> None:
    first = draft("component", "lens-35", {"id": "lens-35"}, at="2199-01-01T00:00:00Z")
    second = draft(
        "component", "lens-35", {"note": "later"}, first.envelope.id, at="1970-01-02T00:00:00Z"
    )
    with Logbook.create(path) as log:
        record(log, first, second)
    plan = merged(other, path)
    with Logbook.open(other) as log:
        (head,) = log.heads("component", "lens-35")
    assert head.body == {"note": "later"}
    assert plan.ahead == (1, "2199-01-01T00:00:00Z")
    assert plan.long_ago == plan.behind == (1, "1970-01-02T00:00:00Z")


def test_ordinary_times_are_not_odd(path: Path, entries: list[Entry], other: Path) -> None:
    plan = merged(other, path)
    assert (plan.ahead, plan.long_ago, plan.behind) == (None, None, None)
    assert fingerprint(other).startswith(f"{len(entries)}-")
    with staged([path], other, vetting) as stage:
        assert stage.sources[0].fingerprint == fingerprint(other)
