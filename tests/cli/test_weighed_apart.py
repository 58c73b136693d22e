"""One lens weighed by two people on two machines: two measurements, and no conflict."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import entries, written

from riglog.library import Library
from riglog.library.weighings import weighings

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

LENS = "{id: lens-35, kind: lens, mass: 1.12 kg, states: {long: {cg: [70 mm, 0 mm, 0 mm]}}}"
MERGED = ("mine", "theirs")


def lens(mass: str, **more: str) -> str:
    fields = "".join(f", {key}: {value}" for key, value in more.items())
    said = LENS.replace("mass: 1.12 kg", f"mass: {mass}, by: bench scale{fields}")
    return f"components:\n  - {said}\n"


@pytest.fixture
def apart(riglog: Riglog, kit: str, db: Path) -> Callable[[str, str], None]:
    """Two copies of one library, a document added to each, and each merged into the other."""
    assert kit

    def made(mine: str, theirs: str) -> None:
        bundle = db.with_name("all.bundle")
        riglog("bundle", "-o", str(bundle))
        for name, author, text in (("mine", "ada", mine), ("theirs", "ben", theirs)):
            alone = str(db.with_name(f"{name}-alone.db"))
            riglog("merge", str(bundle), "--db", alone)
            folder = db.parent / name
            folder.mkdir()
            done = riglog("add", *written(folder, text), "--db", alone, "--author", author)
            assert done.status == 0, done.err
        for name, other in (("mine", "theirs"), ("theirs", "mine")):
            target = str(db.with_name(f"{name}.db"))
            for each in (name, other):
                source = str(db.with_name(f"{each}-alone.db"))
                assert riglog("merge", source, "--db", target).status == 0

    return made


def told(riglog: Riglog, db: Path, name: str, *words: str) -> Any:
    done = riglog(*words, "--json", "--db", str(db.with_name(f"{name}.db")))
    assert done.status == 0, done.err
    return json.loads(done.out)


def test_both_weighings_count_and_every_question_is_answered(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    for name in MERGED:
        found = told(riglog, db, name, "find", "--with", "lens-35", "--build", "a-cam")
        assert found[0]["build"] == "a-cam"
        (warning,) = told(riglog, db, name, "predict", "a-cam")["warnings"]
        assert warning["code"] == "weighings_disagree"
        assert "lens-35" in warning["message"]
        swapped = told(riglog, db, name, "swap", "a-cam", "lens-35=lens-75")
        assert swapped["warnings"] is not None
        with Library.open(db.with_name(f"{name}.db"), "kim") as library:
            log = library.logbook
            known = weighings(log, log.versions("component", "lens-35"))
        assert sorted(each.mass_kg for each in known) == [1.12, 1.2, 1.26]
    one, two = (told(riglog, db, name, "predict", "a-cam") for name in MERGED)
    for name in ("mass_kg", "drop_s", "cg_mm"):
        assert one[name] == two[name]


def test_what_was_found_says_that_the_weighings_disagree(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    words = ("find", "--with", "lens-35", "--build", "a-cam")
    out = riglog(*words, "--db", str(db.with_name("mine.db"))).out
    assert "The weighings of lens-35 disagree" in out.replace("\n", " ")
    (now, *_) = [each["now"] for each in told(riglog, db, "mine", *words)]
    assert now["disputed"] == ["lens-35"]


def test_a_merge_says_that_it_was_weighed_apart_and_asks_nobody_to_settle(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    target = str(db.with_name("third.db"))
    sources = [str(db.with_name(f"{name}-alone.db")) for name in MERGED]
    plan = json.loads(riglog("merge", *sources, "--db", target, "--dry-run", "--json").out)
    assert plan["forks"] == []
    (weighed,) = plan["weighed"]
    assert (weighed["kind"], weighed["id"]) == ("component", "lens-35")
    assert {head["author"] for head in weighed["heads"]} == {"ada", "ben"}
    out = riglog("merge", *sources, "--db", target).out
    assert "Weighed apart: lens-35, lens-35@2." in out
    assert "All count." in out.replace("\n", " ")
    assert "settle" not in out


def test_both_are_shown_listed_and_named_by_who(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    for name in MERGED:
        shown = told(riglog, db, name, "show", "lens-35")
        masses = {shown["document"]["mass"], f"{shown['apart'][0]['mass_kg']} kg"}
        assert masses == {"1.2 kg", "1.26 kg"}
        assert not shown["forked"]
        rows = told(riglog, db, name, "list", "components")
        assert sorted(row["mass_kg"] for row in rows if row["component"] == "lens-35") == [
            1.2,
            1.26,
        ]
        fields = told(riglog, db, name, "who", "lens-35", "mass")["fields"]
        assert {each["now"]["author"] for each in fields} == {"ada", "ben"}
        history = told(riglog, db, name, "history", "lens-35")
        assert [each["version"] for each in history] == [2, 2, 1]
    page = riglog("show", "lens-35", "--db", str(db.with_name("mine.db"))).out
    assert "weighed apart, and counts as well: 1.2" in page.replace("\n#   ", " ")


def test_the_next_document_comes_after_both_and_takes_nothing_away(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path, tmp_path: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    target = db.with_name("mine.db")
    before = told(riglog, db, "mine", "predict", "a-cam")["mass_kg"]
    next_ = written(tmp_path, lens("1.26 kg", serial="x1"))
    assert riglog("add", *next_, "--db", str(target), "--author", "kim").status == 0
    assert len(entries(target)[-1].parents) == 2
    assert told(riglog, db, "mine", "predict", "a-cam")["mass_kg"] == pytest.approx(before)


def test_one_of_them_is_undone_or_corrected_by_its_name(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.26 kg"))
    there = ("--db", str(db.with_name("mine.db")), "--author", "ben")
    done = riglog("correct", "lens-35", "mass=1.25 kg", *there)
    assert done.status == 2
    assert "name one: " in done.err
    wrong = next(
        head["name"] for head in told(riglog, db, "mine", "settle", "lens-35")["heads"]
        if head["author"] == "ben"
    )  # fmt: skip
    assert riglog("undo", f"lens-35@{wrong}", "--yes", *there).status == 0
    assert told(riglog, db, "mine", "show", "lens-35")["document"]["mass"] == "1.2 kg"


def test_what_else_two_people_changed_is_still_a_fork(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path
) -> None:
    size = "[120 mm, 95 mm, 95 mm]"
    apart(lens("1.20 kg"), lens("1.26 kg", size=size))
    done = riglog("show", "lens-35", "--db", str(db.with_name("mine.db")))
    assert done.status == 3
    assert "riglog settle lens-35" in done.err


def test_one_document_added_on_two_machines_is_one_weighing_in_either_order(
    riglog: Riglog, apart: Callable[[str, str], None], db: Path, tmp_path: Path
) -> None:
    apart(lens("1.20 kg"), lens("1.20 kg"))
    alone = told(riglog, db, "mine-alone", "predict", "a-cam")
    for name in MERGED:
        assert told(riglog, db, name, "predict", "a-cam")["mass_kg"] == alone["mass_kg"]
    # Whoever of the two corrects it corrects the one weighing, whichever came in first.
    file = written(tmp_path, lens("1.21 kg"))
    found = set()
    for name in MERGED:
        where = str(db.with_name(f"{name}.db"))
        assert riglog("add", *file, "--db", where, "--author", "ada").status == 0
        found.add(told(riglog, db, name, "predict", "a-cam")["mass_kg"])
    assert len(found) == 1
