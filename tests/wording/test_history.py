from __future__ import annotations

from riglog.jobs.history import Change, HistoryAnswer
from riglog.jobs.listing import Kept, Read
from riglog.records import Adjuster, Drop
from riglog.wording import say, tell

PIVOT = Adjuster(id="pivot", axis="z", step=0.0005)


def kept(name: str, author: str = "kim", *, forked: bool = False) -> Kept:
    return Kept(name, "abcdef12" * 8, author, "2026-03-15T08:00:00+01:00", forked)


FIRST = Change(kept("1"), newest=False, after=(), changed=())
DROP = Drop(
    build="a-cam", on="2026-03-14T09:10:00+01:00", times=(3.1,), note="wind from the left " * 4
)
READ = Read(kept("1"), DROP, PIVOT, 0.487)


def test_a_version_says_what_changed_and_a_first_one_that_it_is_the_first() -> None:
    second = Change(kept("2"), newest=True, after=("1",), changed=("note", "wanted_drop"))
    told = say(HistoryAnswer("build", "a-cam", [second, FIRST])).splitlines()
    assert told == [
        "a-cam, a build: 2 versions, newest first",
        "",
        "@2        2026-03-15 08:00  kim  note, wanted_drop",
        "@1        2026-03-15 08:00  kim  the first",
    ]


def test_a_version_names_the_parts_that_came_and_went() -> None:
    second = Change(
        kept("2"), newest=True, after=("1",), changed=("parts", "settings"),
        came=("lens-75", "nd-nine"), gone=("lens-35",),
    )  # fmt: skip
    answer = HistoryAnswer("build", "a-cam", [second, FIRST])
    line = " ".join(say(answer).split("\n\n")[1].split())
    assert "kim with lens-75 and nd-nine, without lens-35, settings @1" in line
    (told, _) = tell(answer)
    assert (told["came"], told["gone"]) == (["lens-75", "nd-nine"], ["lens-35"])


def test_a_long_note_goes_on_below_itself() -> None:
    heading, _, *lines = say(HistoryAnswer("build", "a-cam", [READ, FIRST])).splitlines()
    assert heading == "a-cam, a build: 1 version, 1 reading, newest first"
    assert lines[0].startswith("          2026-03-14 09:10  kim  drop 3.1 s at 487.0 mm: wind")
    assert all(line.startswith(" " * 33) for line in lines[1:-1])
    assert lines[-2].endswith("[abcdef12]")
    assert max(map(len, lines)) <= 80


def test_a_fork_and_what_settled_it_say_what_they_came_from() -> None:
    forks = [
        Change(kept(name, forked=True), newest=True, after=("1",), changed=("note",))
        for name in ("2.cd34", "2.ab12")
    ]
    told = say(HistoryAnswer("build", "a-cam", [*forks, FIRST])).splitlines()
    assert "Forked: a-cam@2.cd34 and a-cam@2.ab12 are both newest" in told[1]
    assert told[4] == "@2.cd34   2026-03-15 08:00  kim  note (from @1)"
    settled = Change(kept("3"), newest=True, after=("2.ab12", "2.cd34"), changed=("note",))
    line = say(HistoryAnswer("build", "a-cam", [settled, *forks, FIRST])).splitlines()[4]
    assert line.endswith("note (from @2.ab12 and @2.cd34)")


def test_events_in_json_say_what_they_are() -> None:
    reading, version = tell(HistoryAnswer("build", "a-cam", [READ, FIRST]))
    assert (reading["event"], reading["times_s"], reading["pivot_mm"]) == ("reading", [3.1], 487.0)
    assert (version["event"], version["version"], version["after"]) == ("version", 1, [])
