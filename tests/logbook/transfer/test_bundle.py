"""Bundles as files: what is in them, and what is said of those that are not what was written."""

from __future__ import annotations

import hashlib
import json
import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from logbook.carried import all_of, bundled, fingerprint, ids, merged, noted, resealed
from logbook.kit import AT, build, component, draft, names_in, reading, record

from riglog.errors import CallError, DocumentError, LibraryError
from riglog.logbook import Draft, Entry, Logbook
from riglog.logbook.transfer.bundling import Choice

if TYPE_CHECKING:
    from pathlib import Path

FLIPS = 300


@pytest.fixture
def whole(path: Path, entries: list[Entry]) -> Path:
    """A bundle of all of a small kit."""
    assert entries
    return bundled(path, path.with_name("all.bundle"))


def refused(*paths: Path) -> list[str]:
    library = paths[0].with_name("theirs.db")
    with pytest.raises(DocumentError) as caught:
        merged(library, *paths)
    assert all_of(library) == []
    assert "nothing was merged" in caught.value.message
    assert caught.value.status == 2
    return list(map(str, caught.value.findings))


def test_a_bundle_is_a_manifest_the_entries_by_their_hash_and_the_hash_of_all(
    path: Path, entries: list[Entry], whole: Path
) -> None:
    first, *lines, last = whole.read_bytes().splitlines()
    assert json.loads(first) == {
        "riglog_bundle": 1,
        "entries": len(entries),
        "fingerprint": fingerprint(path),
        "whole": True,
        "builds": [],
    }
    assert [hashlib.sha256(line).hexdigest() for line in lines] == [each.id for each in entries]
    before = whole.read_bytes().removesuffix(last + b"\n")
    assert json.loads(last) == {"sha256": hashlib.sha256(before).hexdigest()}


def test_the_same_entries_make_the_same_bundle_and_their_hash_names_it(
    path: Path, whole: Path
) -> None:
    folder = path.with_name("stick")
    folder.mkdir()
    named = bundled(path, folder)
    assert bundled(path, folder) == named
    assert names_in(folder) == [named.name]
    assert named.read_bytes() == whole.read_bytes()
    digest = json.loads(whole.read_bytes().splitlines()[-1])["sha256"]
    assert named.name == f"{digest[:12]}.bundle"


def test_a_bundle_makes_the_library_again_in_the_same_order(path: Path, whole: Path) -> None:
    other = path.with_name("other.db")
    merged(other, whole)
    assert all_of(other) == all_of(path)
    assert fingerprint(other) == fingerprint(path)


def test_a_bundle_is_not_written_over_what_is_none(path: Path, whole: Path) -> None:
    before = path.read_bytes()
    for target in (path, path.with_name("missing") / "x.bundle"):
        with pytest.raises(CallError):
            bundled(path, target)
    assert path.read_bytes() == before
    noted(path, "longer")
    assert bundled(path, whole) == whole  # a former bundle gives way
    assert names_in(path.parent) == ["all.bundle", "kit.db"]


def test_damage_of_the_library_is_not_carried_on(path: Path, entries: list[Entry]) -> None:
    content = path.read_bytes()
    at = content.index(b'"mass":1.12')
    path.write_bytes(content[: at + 8] + b"9" + content[at + 9 :])
    with pytest.raises(LibraryError, match="entry 2 of the library is damaged"):
        bundled(path, path.with_name("all.bundle"))
    assert names_in(path.parent) == ["kit.db"]
    assert entries


# --- parts of a library ------------------------------------------------------------------------


def test_a_build_goes_with_what_it_needs_and_nothing_else(path: Path) -> None:
    with Logbook.create(path) as log:
        lens, kind, _ = record(
            log,
            component("lens-35-b", like="lens-35"),
            component("lens-35", mass=1.12),
            component("lens-99", mass=2.0),
        )
        (better,) = record(log, component("lens-35", kind.id, mass=1.13))
        mine, other = record(
            log, build("a-cam", uses=("lens-35-b",)), build("b-cam", uses=("lens-35-b", "lens-99"))
        )
        test, _ = record(log, reading(mine), reading(other))
        (note,) = record(log, draft("note", "a-cam", {"text": "tail heavy"}))
        record(log, draft("note", "b-cam", {"text": "elsewhere"}))
    target = bundled(path, path.with_name("a.bundle"), Choice(builds=("a-cam",)))
    merged(path.with_name("other.db"), target)
    expected = [lens, kind, better, mine, test, note]
    assert ids(path.with_name("other.db")) == {each.id for each in expected}


def test_what_is_new_since_a_bundle_is_what_that_one_had_not(path: Path, whole: Path) -> None:
    before = ids(path)
    noted(path, "second", "third")
    target = bundled(path, path.with_name("new.bundle"), Choice(since=whole))
    assert len(target.read_bytes().splitlines()) == 4
    # A third one goes on from the second: whoever has that has the first too.
    noted(path, "fourth")
    last = bundled(path, path.with_name("newer.bundle"), Choice(since=target))
    assert len(last.read_bytes().splitlines()) == 3
    other = path.with_name("other.db")
    merged(other, whole, target, last)
    assert ids(other) == ids(path) > before


def test_a_bundle_of_another_library_tells_what_that_one_has(path: Path, whole: Path) -> None:
    other = path.with_name("other.db")
    Logbook.create(other).close()
    noted(other, "mine", subject="lens-99")
    merged(other, whole)
    target = bundled(other, path.with_name("back.bundle"), Choice(since=whole))
    assert len(target.read_bytes().splitlines()) == 3
    merged(path, target)
    assert ids(path) == ids(other)


def test_what_came_in_since_a_day_is_told_by_the_log_and_not_by_the_clocks_of_others(
    path: Path,
) -> None:
    with Logbook.create(path) as log:
        for name, day in (("a", "2026-03-13"), ("b", "2026-03-14"), ("c", "2001-01-01")):
            body = {"id": name, "kind": "lens"}
            record(log, draft("component", name, body, at=f"{day}T08:00:00+01:00"))
    target = bundled(path, path.with_name("x.bundle"), Choice(since_day="2026-03-14"))
    merged(path.with_name("other.db"), target)
    assert [each.subject for each in all_of(path.with_name("other.db"))] == ["b", "c"]
    late = bundled(path, path.with_name("y.bundle"), Choice(since_day="2026-03-15"))
    assert len(late.read_bytes().splitlines()) == 2


def test_notes_of_others_stay_here_unless_something_rests_on_them(path: Path) -> None:
    def note(author: str, text: str, *parents: str) -> Draft:
        return replace(draft("note", "lens-35", {"text": text}, *parents), author=author)

    with Logbook.create(path) as log:
        lens, mine, _, answered = record(
            log,
            component("lens-35"),
            note("kim", "mine"),
            note("noor", "private"),
            note("noor", "a slip"),
        )
        (mended,) = record(log, note("kim", "mended", answered.id))
    target = bundled(path, path.with_name("x.bundle"), Choice(notes_of="kim"))
    merged(path.with_name("other.db"), target)
    assert ids(path.with_name("other.db")) == {lens.id, mine.id, answered.id, mended.id}


# --- bundles that are not what was written -----------------------------------------------------


@pytest.mark.parametrize("share", ["48 bytes", "30 %", "99.9 %"])
def test_a_bundle_that_was_cut_short_is_told_so(whole: Path, share: str) -> None:
    content = whole.read_bytes()
    count, unit = share.split()
    whole.write_bytes(content[: int(float(count) * (len(content) / 100 if unit == "%" else 1))])
    (told,) = refused(whole)
    assert "the bundle ends early" in told or "its hash does not fit" in told
    assert "get the bundle again" in told


def test_a_bundle_of_which_a_whole_line_is_missing_is_told_so(whole: Path) -> None:
    lines = whole.read_bytes().splitlines(keepends=True)
    whole.write_bytes(b"".join(lines[:-1]))
    (told,) = refused(whole)
    assert f"{len(lines) - 1} of {len(lines)} lines are there" in told
    whole.write_bytes(b"".join([*lines[:4], *lines[5:]]))
    assert any("hash does not fit" in each or "ends early" in each for each in refused(whole))


def test_every_flipped_bit_of_a_bundle_is_noticed(whole: Path) -> None:
    content = whole.read_bytes()
    library = whole.with_name("theirs.db")
    rng = random.Random(14)
    for _ in range(FLIPS):
        flipped = bytearray(content)
        flipped[rng.randrange(len(flipped))] ^= 1 << rng.randrange(8)
        whole.write_bytes(flipped)
        with pytest.raises((DocumentError, CallError)):
            merged(library, whole)
    assert all_of(library) == []


def test_everything_that_is_wrong_is_told_in_one_run(whole: Path, path: Path) -> None:
    lines = whole.read_bytes().splitlines(keepends=True)
    lines[3] = lines[3].replace(b'"mass":1.48', b'"mass":1.480')
    lines[5] = lines[5].replace(b'"author"', b'"auhtor"')
    spoiled = path.with_name("spoiled.bundle")
    spoiled.write_bytes(b"".join(lines))
    cut = path.with_name("cut.bundle")
    cut.write_bytes(whole.read_bytes()[:-9])
    told = refused(spoiled, cut)
    assert [each.partition(": ")[0] for each in told] == [
        f"{cut}:{len(lines)}",
        f"{spoiled}:4",
        f"{spoiled}:6",
        f"{spoiled}:{len(lines)}",
    ]


ENVELOPE = (
    '{{"at":{at},"author":"x","body":{body},"kind":"component","parents":{parents},"subject":"x"}}'
)
FORGED = [
    ({"body": '{"b":1,"a":2}'}, "not in canonical form"),
    ({"body": '{"a":1.0}'}, "not in canonical form"),
    ({"body": '{"a":1,"a":1}'}, "not in canonical form"),
    ({"body": '{"a": 1}'}, "not in canonical form"),
    ({"body": '{"a":1e400}'}, "not in canonical form"),
    ({"body": '{"a":NaN}'}, "not in canonical form"),
    ({"body": '{"a":9007199254740993}'}, "not in canonical form"),
    ({"body": '{"a":' + "9" * 5000 + "}"}, "limit"),
    ({"body": "[" * 100_000 + "]" * 100_000}, "nested too deep"),
    ({"body": "[]"}, "its body is no object"),
    ({"body": '"x"'}, "its body is no object"),
    ({"parents": '["x"]'}, "its parents are no ids"),
    ({"parents": "{}"}, "its parents are no ids"),
    ({"parents": f'["{"b" * 64}","{"a" * 64}"]'}, "its parents are not in canonical form"),
    ({"at": '"yesterday"'}, "no time with offset"),
    ({"at": '"2026-13-41T09:10:00Z"'}, "month"),
    ({"at": "7"}, "a text is missing"),
]


@pytest.mark.parametrize(("change", "told"), FORGED)
def test_an_entry_that_no_program_of_ours_wrote_is_refused_though_its_hash_fits(
    whole: Path, change: dict[str, str], told: str
) -> None:
    columns = {"at": f'"{AT}"', "body": '{"id":"x"}', "parents": "[]"} | change
    first, *_ = whole.read_bytes().splitlines()
    whole.write_bytes(resealed([first, ENVELOPE.format(**columns).encode()]))
    (finding,) = refused(whole)
    assert f"{whole}:2: " in finding
    assert told in finding


def test_what_goes_on_after_its_end_or_never_ends_is_refused(whole: Path) -> None:
    content = whole.read_bytes()
    whole.write_bytes(content + b"more\n")
    assert "goes on after its end" in refused(whole)[0]
    first, *_ = content.splitlines(keepends=True)
    whole.write_bytes(first + b"x" * 9_000_000)
    assert "longer than any entry" in refused(whole)[0]
    whole.write_bytes(first.replace(b'"entries":', b'"entries":99999999999999'))
    assert "ends early" in refused(whole)[0]


def test_a_bundle_of_a_newer_program_is_told_so(whole: Path) -> None:
    content = whole.read_bytes()
    whole.write_bytes(content.replace(b'{"riglog_bundle":1', b'{"riglog_bundle":2', 1))
    (told,) = refused(whole)
    assert told == f"{whole}:1: was written by a newer riglog; install the newest one"


@pytest.mark.parametrize("content", [b"", b"riglog: 1\n", b"PK\x03\x04" + b"\x00" * 99])
def test_what_is_neither_bundle_nor_library_is_refused(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    told = "neither a bundle nor a library"
    with pytest.raises(CallError, match=told):
        merged(path.with_name("theirs.db"), path)
