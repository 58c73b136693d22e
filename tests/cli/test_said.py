from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import WHOLE, entries, fork, written

from riglog.logbook import Draft, Logbook
from riglog.logbook.auditing.audit import audit

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

pytestmark = pytest.mark.usefixtures("kit")


def told(riglog: Riglog, *words: str) -> Any:
    done = riglog(*words, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def drops(riglog: Riglog) -> list[list[float]]:
    """Times of every reading that counts, newest first."""
    return [each["times_s"] for each in told(riglog, "list", "readings")]


def short(riglog: Riglog, row: int = 0) -> str:
    return str(told(riglog, "list", "readings")[row]["entry"][:8])


def test_a_note_is_found_where_its_thing_is_shown_and_by_its_words(
    riglog: Riglog, db: Path
) -> None:
    done = riglog("note", "a-cam", "wobbles", "above", "5 s")
    assert done.out.startswith("Noted on a-cam: wobbles above 5 s\nriglog undo ")
    assert "# note: wobbles above 5 s (kim, " in riglog("show", "a-cam").out
    assert "note: wobbles above 5 s [" in riglog("history", "a-cam").out
    note = entries(db)[-1]
    assert (note.kind, note.subject, note.body) == ("note", "a-cam", {"text": "wobbles above 5 s"})
    assert "undo" not in riglog("show", note.id[:8]).out
    assert audit(db).damage == ()


def test_the_same_words_of_the_same_person_are_noted_once(riglog: Riglog, db: Path) -> None:
    riglog("note", "lens-35", "soft")
    before = len(entries(db))
    assert riglog("note", "lens-35", "soft").out.startswith("Nothing new: the same was noted on")
    assert len(entries(db)) == before
    assert riglog("note", "lens-35", "soft", "--author", "ada").out.startswith("Noted on lens-35")
    assert len(entries(db)) == before + 1


@pytest.mark.parametrize("thing", ["post-one", "lens-35", "a-cam@1", "lens-35@1"])
def test_anything_can_be_noted_on(riglog: Riglog, thing: str) -> None:
    assert riglog("note", thing, "scratched").status == 0
    assert "# note: scratched" in riglog("show", thing).out


def test_a_note_on_a_reading_stands_beside_it(riglog: Riglog) -> None:
    name = short(riglog)
    assert riglog("note", name, "wrong clip").out.startswith("Noted on the drop 2.6 s of a-cam at")
    assert "# note: wrong clip (kim, " in riglog("show", name).out
    history = " ".join(riglog("history", "a-cam").out.split())
    said, read = f"note on the reading {name}: wrong clip", "drop 2.6 s at 490.0 mm"
    assert -1 < history.index(said) < history.index(read)
    assert "# note" not in riglog("show", "a-cam").out


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("note", "a-cam", " "), "there is nothing to note\n"),
        (("note", "nosuch", "soft"), 'there is no record "nosuch"\n'),
        (("note", "a-cam", "bell \x07"), '"bell \\x07" holds the control character U+0007\n'),
        (("tag", "a-cam", ""), "a tag is empty\n"),
        (("tag", "a-cam", "rain", "--remove"), 'a-cam has no tag "rain"\n'),
        (("name", "a-cam", "2026-03-14"), '"2026-03-14" would be taken for a day\n'),
        (("name", "a-cam", "yesterday"), '"yesterday" would be taken for a day\n'),
        (("name", "a-cam", "3"), '"3" would be taken for a version\'s number\n'),
        (("name", "a-cam", "Night"), '"Night" is no name for a state\n'),
        (("undo", "nosuch"), 'there is no record "nosuch"\n'),
        (("undo", "a-cam", "a-cam@1", "--yes"), "one thing is named twice\n"),
    ],
)
def test_what_cannot_be_said_records_nothing(
    riglog: Riglog, db: Path, words: tuple[str, ...], message: str
) -> None:
    before = entries(db)
    done = riglog(*words)
    assert done.status in {2, 3}
    assert done.err.startswith(f"riglog: {message}")
    assert (done.out, entries(db)) == ("", before)


def test_tags_are_put_on_and_taken_off_by_anybody(riglog: Riglog) -> None:
    done = riglog("tag", "a-cam", "rain", "night")
    assert done.out == 'Tagged a-cam "rain" and "night".\nIt has "rain" and "night".\n'
    assert riglog("tag", "a-cam", "rain", "--author", "ada").out.startswith("Nothing new")
    removed = told(riglog, "tag", "a-cam", "rain", "--remove", "--author", "ada")
    assert (removed["removed"], removed["tags"]) == (["rain"], ["night"])
    assert told(riglog, "tag", "a-cam", "rain")["tags"] == ["night", "rain"]


def test_a_tag_of_a_document_is_taken_off_there(riglog: Riglog, tmp_path: Path) -> None:
    tagged = WHOLE.replace("wanted_drop: 3 s\n", "wanted_drop: 3 s\n    tags: [night]\n")
    assert riglog("add", *written(tmp_path, tagged)).status == 0
    done = riglog("tag", "a-cam", "night", "--remove")
    assert done.err.startswith('riglog: "night" stands in the document of a-cam\n')
    assert riglog("tag", "a-cam", "night").out.startswith("Nothing new")


def test_a_named_state_keeps_where_the_rig_stood(riglog: Riglog) -> None:
    assert riglog("name", "a-cam", "wide").out == "a-cam@1 is called a-cam@wide now.\n"
    riglog("drop", "a-cam", "2.2", "--mark", "495mm")
    stands = {
        each["adjuster"]: each["at_mm"] for each in told(riglog, "show", "a-cam@wide")["settings"]
    }
    assert stands["pivot"] == 490.0
    assert told(riglog, "show", "a-cam")["settings"][0]["at_mm"] == 495.0
    assert riglog("predict", "a-cam@wide").out.count("490.0 mm") >= 1
    assert riglog("swap", "a-cam@wide", "lens-35=lens-75").status == 0
    moved = told(riglog, "name", "a-cam", "wide")
    assert (moved["recorded"], len(moved["before"])) == (True, 1)
    assert told(riglog, "show", "a-cam@wide")["settings"][0]["at_mm"] == 495.0


def test_a_drop_of_a_named_state_is_of_where_that_stood(riglog: Riglog) -> None:
    riglog("name", "a-cam", "wide")
    riglog("drop", "a-cam", "2.2", "--mark", "495mm")
    riglog("drop", "a-cam@wide", "2.7")
    assert told(riglog, "list", "readings")[0]["pivot_mm"] == 490.0


def test_two_people_who_name_two_states_alike_are_both_told(riglog: Riglog, db: Path) -> None:
    """Both heads of a fork get the name, as after a merge of two machines."""
    heads = fork(db, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    riglog("name", f"a-cam@{heads[0].id[:8]}", "wide", "--author", "ada")
    name = entries(db)[-1]
    with Logbook.open(db, write=True) as log, log.writing() as transaction:
        stand = {**name.body["stand"], "version": heads[1].id}
        body = {**name.body, "entry": heads[1].id, "stand": stand}
        transaction.append(
            [Draft(kind="name", subject="a-cam", at=name.at, author="kim", body=body)]
        )
    done = riglog("show", "a-cam@wide")
    assert done.status == 2
    assert done.err.startswith('riglog: a-cam has several states "wide"\n')
    assert "so named by ada" in done.err
    assert "so named by kim" in done.err


def test_a_day_means_what_was_there_at_its_end(riglog: Riglog) -> None:
    """The kit was typed in later, and yet its readings tell when it hung."""
    assert told(riglog, "show", "a-cam@2026-03-14")["settings"][0]["at_mm"] == 490.0
    assert told(riglog, "show", "a-cam@2026-03-14T09:20")["settings"][0]["at_mm"] == 487.0
    done = riglog("show", "a-cam@2026-03-13")
    assert (done.status, done.out) == (3, "")
    assert done.err == (
        "riglog: a-cam had no version by 2026-03-13\n  the first is of 2026-03-14\n"
    )
    assert riglog("show", "lens-35@today").status == 0
    assert riglog("show", "lens-35@yesterday").status == 3


def test_a_word_that_names_no_version_is_answered_with_those_that_do(riglog: Riglog) -> None:
    riglog("name", "a-cam", "wide")
    done = riglog("predict", "a-cam@wode")
    assert (done.status, done.out) == (3, "")
    assert done.err == (
        'riglog: a-cam has no version "wode"\n  it has 1, named wide; or write a day as yesterday,'
        " friday, 2026-03-14 or 2026-03-14T09:10\n"
    )


def test_an_undone_reading_leaves_the_fit_and_stays_in_history(riglog: Riglog) -> None:
    riglog("drop", "a-cam", "9.9", "--mark", "490mm")
    slip, wrong = short(riglog), told(riglog, "predict", "a-cam")["drop_s"]["value"]
    plan = riglog("undo", slip, "--dry-run")
    assert plan.out.startswith("Would undo the drop 9.9 s of a-cam at 490.0 mm")
    assert [9.9] in drops(riglog)
    done = riglog("undo", slip, "--yes", "--note", "hand on it")
    assert done.out.startswith("Undid the drop 9.9 s of a-cam at 490.0 mm")
    assert drops(riglog) == [[2.6], [3.1, 3.0]]
    assert told(riglog, "predict", "a-cam")["drop_s"]["value"] != wrong
    lines = riglog("history", "a-cam").out.splitlines()
    assert f"undid the reading {slip}: hand on it" in lines[2]
    assert f"drop 9.9 s at 490.0 mm [{slip}], undone by kim" in " ".join(
        " ".join(lines[3:6]).split()
    )
    again = riglog("undo", slip, "--yes")
    assert (again.status, again.out) == (3, "")
    assert "is undone already: kim undid it" in again.err


def test_an_undo_of_an_undo_gives_the_same_prediction_again(riglog: Riglog) -> None:
    before = told(riglog, "predict", "a-cam")
    undo = told(riglog, "undo", short(riglog), "--yes")["recorded"][0]
    assert told(riglog, "predict", "a-cam") != before
    done = riglog("undo", undo[:8], "--yes")
    assert "The drop 2.6 s of a-cam at 490.0 mm" in done.out
    assert "counts again" in done.out
    assert told(riglog, "predict", "a-cam") == before


def test_a_version_goes_back_by_a_new_version(riglog: Riglog, tmp_path: Path) -> None:
    riglog("add", *written(tmp_path, WHOLE.replace("1.12 kg", "1.15 kg")))
    done = riglog("undo", "lens-35", "--yes")
    assert done.out.startswith("Undid lens-35@2 (kim, ")
    assert "lens-35@3 has mass as in lens-35@1." in done.out
    assert told(riglog, "show", "lens-35")["document"]["mass"] == "1.12 kg"
    assert "@3" in riglog("history", "lens-35").out.splitlines()[2]
    assert "undoes @2: mass" in riglog("history", "lens-35").out
    undo = told(riglog, "history", "lens-35")[0]
    assert (undo["undoes"], undo["after"], undo["newest"]) == (["2"], ["2"], True)


def test_a_build_that_goes_back_stands_where_it_stood(riglog: Riglog, tmp_path: Path) -> None:
    stood = told(riglog, "show", "a-cam")["settings"]
    moved = WHOLE.replace("pivot: 487 mm", "pivot: 520 mm").split("readings:")[0]
    riglog("add", *written(tmp_path, moved))
    assert told(riglog, "show", "a-cam")["settings"] != stood
    riglog("undo", "a-cam", "--yes")
    assert told(riglog, "show", "a-cam")["settings"] == stood


def test_an_older_change_is_undone_where_nothing_touched_it_since(
    riglog: Riglog, tmp_path: Path
) -> None:
    heavier = WHOLE.replace("1.12 kg", "1.15 kg")
    riglog("add", *written(tmp_path, heavier))
    riglog(
        "add",
        *written(
            tmp_path,
            heavier.replace("kind: lens, mass: 1.15 kg", "kind: lens, mass: 1.15 kg, serial: x1"),
        ),
    )
    done = riglog("undo", "lens-35@2", "--yes")
    assert "lens-35@4 has mass as in lens-35@1." in done.out
    document = told(riglog, "show", "lens-35")["document"]
    assert (document["mass"], document["serial"]) == ("1.12 kg", "x1")
    riglog("add", *written(tmp_path, WHOLE.replace("1.12 kg", "1.20 kg")))
    refused = riglog("undo", "lens-35@4", "--yes")
    assert refused.status == 3
    assert refused.err.startswith("riglog: mass changed again since lens-35@4, up to lens-35@5\n")


def test_a_thing_added_by_mistake_can_go_and_one_in_use_cannot(
    riglog: Riglog, tmp_path: Path
) -> None:
    (file,) = written(tmp_path, "components: [{id: lens-355, kind: lens}]\n")
    riglog("add", file)
    done = riglog("undo", "lens-355", "--yes")
    assert done.out.splitlines()[1] == "lens-355 is left out of lists."
    assert "lens-355" not in riglog("list", "components").out
    assert "undone by kim" in riglog("history", "lens-355").out
    assert riglog("add", file).out.startswith("Recorded 1 component")
    assert "lens-355" in riglog("list", "components").out
    refused = riglog("undo", "lens-35", "--yes")
    assert refused.err.startswith("riglog: lens-35 is part of a-cam\n")


def test_nothing_is_undone_where_nobody_can_be_asked(riglog: Riglog, db: Path) -> None:
    before = entries(db)
    done = riglog("undo", short(riglog))
    assert (done.status, done.out) == (2, "")
    assert "Would undo the drop 2.6 s of a-cam" in done.err
    assert "add --yes to do it without asking" in done.err
    assert entries(db) == before


def test_undo_alone_takes_back_the_last_thing_that_one_recorded(riglog: Riglog) -> None:
    riglog("note", "a-cam", "one")
    riglog("note", "a-cam", "two", "--author", "ada")
    assert '"one" on a-cam' in riglog("undo", "--yes").out
    assert "drop 2.6 s of a-cam" in riglog("undo", "--dry-run").out
    assert '"two" on a-cam' in riglog("undo", "--dry-run", "--author", "ada").out
    assert riglog("undo", "--author", "eve").err.startswith("riglog: eve recorded nothing lately\n")


def test_of_two_heads_the_undone_one_gives_way(riglog: Riglog, db: Path) -> None:
    heads = fork(db, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    assert riglog("predict", "a-cam").status == 3
    done = riglog("undo", f"a-cam@{heads[1].id[:8]}", "--yes")
    assert done.status == 0
    assert told(riglog, "show", "a-cam")["document"]["note"] == "mine"
    assert audit(db).damage == ()


def test_history_tells_the_newest_of_a_long_one(riglog: Riglog) -> None:
    for n in range(6):
        riglog("note", "a-cam", f"note {n}")
    done = riglog("history", "a-cam", "-n", "2")
    assert done.out.splitlines()[0] == "a-cam, a build: the newest 2 remarks"
    assert "note 5" in done.out
    assert "There is more" in done.out
    assert [each["words"] for each in told(riglog, "history", "a-cam", "-n", "2")] == [
        "note 5",
        "note 4",
    ]


def test_the_history_of_a_reading_is_what_became_of_it(riglog: Riglog) -> None:
    name = short(riglog)
    riglog("note", name, "windy")
    riglog("undo", name, "--yes")
    out = riglog("history", name).out
    assert out.startswith(f"{name}, a reading of a-cam: 1 reading, 2 remarks, newest first\n")


def test_a_corrected_reading_takes_the_place_of_the_old_one(riglog: Riglog, db: Path) -> None:
    name = short(riglog)
    answer = told(riglog, "correct", name, "times=2.8 s,2.7 s", "mark=491mm")
    assert answer["changed"] == ["settings.pivot", "times"]
    assert drops(riglog) == [[2.8, 2.7], [3.1, 3.0]]
    assert told(riglog, "list", "readings")[0]["pivot_mm"] == 491.0
    history = " ".join(riglog("history", "a-cam").out.split())
    assert (
        f"drop 2.6 s at 490.0 mm [{name}], corrected by kim [{answer['new']['entry'][:8]}]"
        in history
    )
    assert f"{name}, a reading of a-cam: 2 readings" in riglog("history", name).out
    again = riglog("correct", name, "times=2.9 s")
    assert (again.status, again.out) == (3, "")
    assert again.err.startswith("riglog: kim corrected it already\n")
    assert audit(db).damage == ()


def test_an_undone_correction_gives_the_same_prediction_again(riglog: Riglog) -> None:
    before = told(riglog, "predict", "a-cam")
    made = told(riglog, "correct", short(riglog), "times=2.0 s")["new"]["entry"]
    assert told(riglog, "predict", "a-cam") != before
    assert "counts again" in riglog("undo", made[:8], "--yes").out
    assert told(riglog, "predict", "a-cam") == before


def test_a_thing_is_corrected_by_a_new_version(riglog: Riglog) -> None:
    done = riglog("correct", "lens-35", "mass=1.13kg", "by=bench scale")
    assert done.out.startswith(
        "Corrected by and mass: lens-35@2 takes the place of lens-35@1.\nriglog undo "
    )
    assert told(riglog, "show", "lens-35")["document"]["mass"] == "1.13 kg"
    assert riglog("correct", "lens-35", "mass=1130 g").out.startswith("Nothing new: lens-35@2 says")
    riglog("correct", "a-cam", "wanted_drop=")
    assert "wanted_drop" not in told(riglog, "show", "a-cam")["document"]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("lens-35", "mass"), '"mass" is no correction\n'),
        (("lens-35", "maas=1 kg"), 'lens-35: "maas" is no key of a component\n'),
        (("lens-35", "id=lens-36"), "a correction is of the same thing\n"),
        (("a-cam", "settings.pivot=2 m"), 'a-cam settings.pivot: "2 m" lies outside its travel\n'),
    ],
)
def test_a_wrong_correction_records_nothing(
    riglog: Riglog, db: Path, words: tuple[str, ...], message: str
) -> None:
    before = entries(db)
    done = riglog("correct", *words)
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"riglog: {message}"), done.err
    assert entries(db) == before


def test_a_long_chain_of_undos_is_told_like_a_short_one(riglog: Riglog, db: Path) -> None:
    last = entries(db)[-1]
    with Logbook.open(db, write=True) as log, log.writing() as transaction:
        for _ in range(41):
            body = {"reverses": [last.id]}
            at = "2026-03-15T08:00:00Z"
            undo = Draft(kind="undo", subject="a-cam", at=at, author="kim", body=body)
            (last,) = transaction.append([undo])
    assert drops(riglog) == [[3.1, 3.0]]
    assert riglog("history", "a-cam", "-n", "3").status == 0
    assert riglog("history", "a-cam", "--json").status == 0
    assert riglog("show", last.id[:8]).status == 0
    assert riglog("undo", last.id[:8], "--yes").status == 0
    assert drops(riglog) == [[2.6], [3.1, 3.0]]
