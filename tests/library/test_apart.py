"""What people say apart from each other, taken together in any order."""

from __future__ import annotations

import shutil
from itertools import permutations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from hypothesis import given, settings
from hypothesis import strategies as st
from library.kit import WHOLE, written

from riglog import wording
from riglog.errors import RiglogError
from riglog.jobs.correct import correct
from riglog.jobs.history import history
from riglog.jobs.listing import list_
from riglog.jobs.merge import merge
from riglog.jobs.naming import name
from riglog.jobs.note import note
from riglog.jobs.show import show
from riglog.jobs.tag import tag
from riglog.jobs.undo import undo
from riglog.library import Library
from riglog.logbook.auditing.audit import audit

PEOPLE = ("ada", "kim", "noor")


class Act(NamedTuple):
    """What somebody does to the entry at a place of what there is."""

    what: str
    which: int


ACTS = st.lists(
    st.builds(
        Act,
        st.sampled_from(["note", "tag", "untag", "name", "undo", "undo", "correct", "change"]),
        st.integers(0, 30),
    ),
    max_size=5,
)


def act(library: Library, what: str, which: int) -> None:
    """Do it, or be refused: nothing is recorded then."""
    entries = list(library.logbook.log())
    entry = entries[which % len(entries)]
    about = entry.id if which % 2 else entry.subject
    try:
        if what == "note":
            note(library, about, [f"{library.author} {which}"])
        elif what == "tag":
            tag(library, about, [f"tag-{which % 3}"])
        elif what == "untag":
            tag(library, about, [f"tag-{which % 3}"], remove=True)
        elif what == "name":
            name(library, "a-cam", f"state-{which % 2}")
        elif what == "undo":
            undo(library, [entry.id])
        elif what == "correct":
            correct(library, entry.id, [f"note={library.author} {which}"])
        else:
            correct(library, "a-cam", [f"wanted_drop={2 + which / 10} s"])
    except RiglogError:
        return


def told(path: Path) -> Any:
    """Everything that can be seen of a library, without the order in which entries came."""
    with Library.open(path, "eve") as library:
        log = library.logbook
        kinds = ("component", "rig", "build", "reading", "note", "tag", "name", "undo")
        subjects = {entry.subject for entry in log.log()}
        heads = {
            (kind, subject): {each.id for each in log.heads(kind, subject)}
            for kind in kinds
            for subject in subjects
        }
        undone = {each.id for each in log.log() if log.undone(each.id)}
        readings = wording.tell(list_(library, "readings"))
        events = {
            each["entry"]: each.get("fate") for each in wording.tell(history(library, "a-cam"))
        }
        try:
            shown = wording.tell(show(library, "a-cam@state-1"))["settings"]
        except RiglogError as error:
            shown = error.status
    return heads, undone, sorted(each["entry"] for each in readings), sorted(events), shown


@settings(max_examples=12, deadline=None)
@given(st.tuples(ACTS, ACTS, ACTS))
def test_what_people_say_apart_is_the_same_in_whatever_order_it_is_taken_in(
    apart: tuple[list[Act], ...],
) -> None:
    with TemporaryDirectory() as folder:
        base = Path(folder, "base.db")
        with Library.create(base, "eve") as library:
            library.add(written(Path(folder), WHOLE))
            undo(library, [library.logbook.readings_of("a-cam")[0].id])
        files = [Path(shutil.copyfile(base, base.with_name(f"{who}.db"))) for who in PEOPLE]
        for who, file, acts in zip(PEOPLE, files, apart, strict=True):
            with Library.open(file, who, write=True) as library:
                for each in acts:
                    act(library, *each)
        found = []
        for number, order in enumerate(permutations(files)):
            whole = Path(shutil.copyfile(base, base.with_name(f"whole-{number}.db")))
            for file in order:
                merge(whole, [file])
            assert audit(whole).damage == ()
            found.append(told(whole))
        assert all(each == found[0] for each in found)
        every = {each.id for file in files for each in _log(file)}
        assert {each.id for each in _log(whole)} == every


def _log(path: Path) -> list[Any]:
    with Library.open(path, "eve") as library:
        return list(library.logbook.log())


def test_an_undo_and_a_note_apart_from_each_other_both_hold(tmp_path: Path) -> None:
    mine, theirs = tmp_path / "mine.db", tmp_path / "theirs.db"
    with Library.create(mine, "kim") as library:
        library.add(written(tmp_path, WHOLE))
        reading = library.logbook.readings_of("a-cam")[0].id
    shutil.copyfile(mine, theirs)
    with Library.open(mine, "kim", write=True) as library:
        undo(library, [reading])
    with Library.open(theirs, "noor", write=True) as library:
        note(library, reading, ["best of the day"])
        correct(library, reading, ["times=2.7 s"])
    merge(mine, [theirs])
    with Library.open(mine, "kim") as library:
        (corrected, other) = library.logbook.readings_of("a-cam")
        assert corrected.body["times"] == [2.7]
        assert corrected.parents == (reading,)
        assert other.id != reading
        answer = show(library, reading)
        assert [each.words for each in answer.said] == ["best of the day"]
        assert answer.fate is not None
        assert answer.fate.how == "undone"


def test_two_who_undo_the_same_version_apart_make_no_fork(tmp_path: Path) -> None:
    mine, theirs = tmp_path / "mine.db", tmp_path / "theirs.db"
    with Library.create(mine, "kim") as library:
        library.add(written(tmp_path, WHOLE))
        correct(library, "lens-35", ["mass=2 kg"])
    shutil.copyfile(mine, theirs)
    for path, who in ((mine, "kim"), (theirs, "noor")):
        with Library.open(path, who, write=True) as library:
            undo(library, ["lens-35"])
    merge(mine, [theirs])
    with Library.open(mine, "kim") as library:
        assert library.component("lens-35").mass == 1.12
        assert show(library, "lens-35").kept.forked is False
