from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from riglog.demo_db.generate import true_mark_m

from riglog.cli import main
from riglog.jobs.demo import demo as build_demonstration
from riglog.library.clock import today
from riglog.library.days import days_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from cli.conftest import Done

    Riglog = Callable[..., Done]


@pytest.fixture(scope="module")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The demonstration library, with its A camera in use as it stood on the third day."""
    folder = tmp_path_factory.mktemp("demo") / "salt-road"
    path = folder / build_demonstration(folder).library
    assert main(["use", "a-cam", "--db", str(path), "--author", "kim"]) == 0
    return path.read_bytes()


@pytest.fixture
def demo(demonstration: bytes, db: Path) -> None:
    """That library, to work in."""
    db.write_bytes(demonstration)


@pytest.mark.usefixtures("demo")
def test_yesterdays_lens_is_back_on_in_one_command(riglog: Riglog) -> None:
    done = riglog("find", "--with", "lens-40", "--on", "2026-03-13")
    assert (done.status, done.err) == (0, "")
    first, _, _, compared, _, *blocks = done.out.splitlines()
    assert first.startswith("Gimbal to 5")
    assert "start at 5" in first
    assert compared == "Compared with a-cam@6 with lens-40 for lens-100."
    assert blocks[0].startswith("1. a-cam@3 at 550.5 mm, 3.1 s, 2026-03-13 08:28, mira")
    assert blocks[1] == "   the same parts"
    assert blocks[2].startswith("   now 55")
    assert max(map(len, done.out.splitlines())) <= 80


@pytest.mark.usefixtures("demo")
def test_the_mark_for_now_holds_where_the_hidden_rig_wants_it(riglog: Riglog) -> None:
    found, *_ = json.loads(riglog("find", "--with", "lens-40", "--on", "2026-03-13", "--json").out)
    truth_mm = 1000 * true_mark_m(found["drop_s"])
    mark = found["now"]["pivot_mm"]
    assert mark["low"] < truth_mm < mark["high"]
    assert mark["high"] - mark["low"] < 4
    assert found["now"]["first_mm"] >= mark["value"] - 0.5


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("lens-40 yesterday", "--with lens-40 --on yesterday"),
        ("lens-40 last week", '--with lens-40 --on "last week"'),
        ("with lens-40", "--with lens-40"),
        ("with lens-40 on 2019-03-01", "--with lens-40 --on 2019-03-01"),
        ("sandstorm yesterday", "sandstorm --on yesterday"),
    ],
)
def test_an_option_typed_as_a_word_is_asked_about(riglog: Riglog, words: str, meant: str) -> None:
    done = riglog("find", *words.split())
    assert (done.status, done.out) == (3, "")
    assert done.err.splitlines()[1] == f"  did you mean: riglog find {meant}"
    assert "did you mean" not in riglog("find", "lens-40", "sandstorm").err


@pytest.mark.usefixtures("demo")
def test_finds_are_an_array_in_json(riglog: Riglog) -> None:
    found = json.loads(riglog("find", "--with", "lens-40", "--json").out)
    assert [(each["build"], each["version"]) for each in found] == [
        ("a-cam", 3), ("a-cam", 4), ("b-cam", 5),
    ]  # fmt: skip
    assert "body-heron" in found[2]["gone"]
    assert "body-wren" in found[2]["come"]
    assert found[0]["times_s"]


@pytest.mark.usefixtures("demo")
def test_without_a_build_to_compare_with_it_says_so(riglog: Riglog) -> None:
    done = riglog("find", "lens-40", "--author", "somebody")
    assert done.out.splitlines()[0] == "b-cam@5 at 449.5 mm, 2.7 s, 2026-03-14 11:20."
    assert "No build is in use to compare them with: riglog use BUILD takes one.\n" in done.out


@pytest.mark.usefixtures("demo")
def test_the_only_build_that_fits_is_compared_with_where_none_is_in_use(riglog: Riglog) -> None:
    words = ("find", "--with", "lens-65", "--author", "somebody")
    done = riglog(*words)
    assert done == riglog(*words, "--build", "a-cam")
    first = " ".join(done.out.splitlines()[:2])
    assert first.startswith("Gimbal to 5")
    assert first.endswith(": as a-cam@2 at 563.0 mm, 3.1 s, 2026-03-12 13:28.")


@pytest.mark.usefixtures("demo")
def test_what_nobody_timed_gets_the_mark_for_the_wanted_drop(riglog: Riglog) -> None:
    words = ("find", "--with", "lens-75", "--json")
    timed, untimed = json.loads(riglog(*words).out)
    assert (timed["drop_s"], untimed["drop_s"]) == (2.8, None)
    assert (timed["now"]["drop_s"], timed["now"]["as_wanted"]) == (2.8, False)
    assert (untimed["now"]["drop_s"], untimed["now"]["as_wanted"]) == (3.0, True)
    # The longer the drop, the nearer the pivot is to the center of gravity.
    assert untimed["now"]["pivot_mm"]["value"] < timed["now"]["pivot_mm"]["value"]
    swapped = json.loads(riglog("swap", "a-cam", "lens-100=lens-75", "--json").out)
    (pivot,) = [each for each in swapped["settings"] if each["adjuster"] == "pivot"]
    assert untimed["now"]["pivot_mm"]["value"] == pytest.approx(pivot["to_mm"], abs=0.2)
    out = riglog("find", "--with", "lens-75").out
    assert "for the wanted 3.0 s, start at" in out.replace("\n   ", " ")


@pytest.mark.usefixtures("demo")
def test_means_of_times_are_as_people_write_them(riglog: Riglog) -> None:
    for words in (("find", "lens-75"), ("list", "builds")):
        for each in json.loads(riglog(*words, "--json").out):
            if (drop_s := each["drop_s"]) is not None:
                assert drop_s == round(drop_s, 6)


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (["--with", "lens-9"], 3, 'there is no component "lens-9"'),
        (["--with", "lens"], 2, "fits several"),
        (["--on", "someday"], 2, '"someday" is no day'),
        (["--on", "2020-01-01"], 3, "try it without --on"),
        (['"quoted* (NEAR'], 3, "nothing is logged that fits"),
        (["-n", "0"], 2, "is no number of finds"),
        (["--build", "z-cam"], 3, "there is no build"),
    ],
)
def test_what_cannot_be_found_is_said_in_one_line(
    riglog: Riglog, words: list[str], status: int, told: str
) -> None:
    done = riglog("find", *words)
    assert (done.status, done.out) == (status, "")
    assert told in done.err
    assert json.loads(riglog("find", *words, "--json").out)["error"]["status"] == status


# --- lines as they are jotted -----------------------------------------------------------------

MEND = "mend it, or write note: before what is only a note"
PAGE = """\
# second day, afternoon
2026-03-14
15:10 566.5 3.0 3.1
- 15:40 Lens 65  556 3.0/3.1/3.0 windy
16:05 555.5 2.9 3.0, new strap
16:30 no hood
lunch with the crew
"""


@pytest.fixture
def page(tmp_path: Path) -> str:
    file = tmp_path / "page.txt"
    file.write_text(PAGE, encoding="utf-8")
    return str(file)


def readings(riglog: Riglog) -> list[dict[str, Any]]:
    """Those of the A camera, newest first."""
    found = json.loads(riglog("list", "readings", "--json").out)
    return [each for each in found if each["build"] == "a-cam"]


@pytest.mark.usefixtures("demo")
def test_a_page_of_jotted_lines_becomes_readings_and_versions(riglog: Riglog, page: str) -> None:
    before = len(readings(riglog))
    done = riglog("log", page)
    assert (done.status, done.err) == (0, "")
    first, _, *rows = done.out.splitlines()
    assert first == "Recorded 3 drop tests, 2 new versions and 1 note of a-cam."
    assert "  4 15:40 lens-100=lens-65 556mm 3s 3.1s 3s wind" in rows  # numbered as in the file
    assert max(map(len, done.out.splitlines())) <= 80
    new = readings(riglog)[: len(readings(riglog)) - before]
    assert [(each["on"][11:16], each["pivot_mm"], each["version"]) for each in new] == [
        ("16:05", 555.5, 7), ("15:40", 556.0, 7), ("15:10", 566.5, 6),
    ]  # fmt: skip
    assert new[1]["conditions"] == ["wind"]
    assert new[0]["note"] == "new strap"
    build = next(each for each in json.loads(riglog("list", "builds", "--json").out))
    assert (build["version"], build["pivot_mm"]) == (8, 555.5)
    assert "lens-65" in build["parts"]
    assert "hood-five" not in build["parts"]


@pytest.mark.usefixtures("demo")
def test_after_a_jotted_swap_the_stage_stands_where_a_swap_would_put_it(
    riglog: Riglog, page: str
) -> None:
    swap = json.loads(riglog("swap", "lens-100=lens-65", "--json").out)
    stage = {each["adjuster"]: each["set_mm"] for each in swap["settings"]}
    lines = json.loads(riglog("log", page, "--json").out)["lines"]
    slides = {each["adjuster"]: each["at_mm"] for each in lines[2]["settings"]}
    assert slides
    assert all(abs(stage[name] - at) <= 1.0 for name, at in slides.items())
    assert lines[2]["come"] == ["lens-65"]
    assert lines[2]["gone"] == ["lens-100"]


@pytest.mark.usefixtures("demo")
def test_a_dry_run_says_the_same_and_records_nothing(riglog: Riglog, page: str, db: Path) -> None:
    before = db.read_bytes()
    done = riglog("log", page, "--dry-run")
    assert done.out.startswith("Would record 3 drop tests, 2 new versions and 1 note of a-cam.")
    assert db.read_bytes() == before


@pytest.mark.usefixtures("demo")
def test_a_page_is_logged_once_however_often_it_is_given(
    riglog: Riglog, page: str, tmp_path: Path
) -> None:
    page = str(tmp_path / "short.txt")
    short = PAGE.partition("16:30")[0]
    (tmp_path / "short.txt").write_text(short, encoding="utf-8")
    assert riglog("log", page).status == 0
    count = len(readings(riglog))
    assert riglog("log", page).out.startswith("Nothing new for a-cam.")
    (tmp_path / "short.txt").write_text(f"{short}16:40 555 3.0\n", encoding="utf-8")
    assert riglog("log", page).out.startswith("Recorded 1 drop test of a-cam.")
    assert len(readings(riglog)) == count + 1
    assert readings(riglog)[0]["version"] == 7


@pytest.mark.usefixtures("demo")
def test_a_page_without_times_is_logged_once_too(riglog: Riglog, tmp_path: Path) -> None:
    file = tmp_path / "page.txt"
    file.write_text("567 3.0\n567 3.0\nlens-65 556 3.1\nno hood\n555 2.9\n", encoding="utf-8")
    assert riglog("log", str(file)).out.startswith("Recorded 4 drop tests and 2 new versions")
    count = len(readings(riglog))
    again = riglog("log", str(file))
    assert again.out.startswith("Nothing new for a-cam.")
    assert "if it is another, write its time too" in again.out
    # What was added to its end is new, and so is one more of the same.
    file.write_text(f"{file.read_text()}555 2.9\n554 3.2\n", encoding="utf-8")
    assert riglog("log", str(file)).out.startswith("Recorded 2 drop tests of a-cam.")
    assert len(readings(riglog)) == count + 2
    # With its time a line is another.
    file.write_text("00:00 555 2.9\n", encoding="utf-8")
    assert riglog("log", str(file)).out.startswith("Recorded 1 drop test of a-cam.")


@pytest.mark.usefixtures("demo")
def test_the_same_figures_with_another_lens_are_no_page_given_again(
    riglog: Riglog, tmp_path: Path
) -> None:
    file = tmp_path / "page.txt"
    file.write_text("567 3.0\n", encoding="utf-8")
    assert riglog("log", str(file)).status == 0
    assert riglog("swap", "a-cam", "lens-100=lens-65", "--save", "a-cam").status == 0
    refused = riglog("log", str(file))
    assert refused.status == 2
    assert "the same was logged of a-cam@6 at" in refused.err
    count = len(readings(riglog))
    file.write_text("00:00 567 3.0\n", encoding="utf-8")
    assert riglog("log", str(file)).status == 0
    assert len(readings(riglog)) == count + 1


@pytest.mark.usefixtures("demo")
def test_lines_that_are_not_understood_are_refused_with_their_numbers(
    riglog: Riglog, tmp_path: Path, db: Path
) -> None:
    file = tmp_path / "page.txt"
    file.write_text("567 3.0\n567 3,1\n\n700 3.0\nlens-99 567 3.0\n", encoding="utf-8")
    before = db.read_bytes()
    done = riglog("log", str(file))
    assert done.status == 2
    assert done.out.splitlines()[0] == "Would record 1 drop test of a-cam."
    assert done.out.splitlines()[2] == "  1 567mm 3s"
    assert done.err.splitlines() == [
        f'{file}:2: "3,1" has a comma; write 3.1',
        f'{file}:4: pivot cannot stand at "700"; its travel is 380.0 mm to 620.0 mm',
        f'{file}:5: "lens-99" is no part, mark or drop time that is known here; {MEND}',
        "riglog: 3 of 4 lines are not understood: nothing was recorded",
        "  mend them, or leave them out: add --partly",
    ]
    assert db.read_bytes() == before
    refused = json.loads(riglog("log", str(file), "--json").out)
    assert [each["line"] for each in refused["error"]["findings"]] == [2, 4, 5]
    assert [each["meant"] for each in refused["lines"]] == ["567mm 3s"]
    assert refused["lines"][0]["reading"] is None
    partly = riglog("log", str(file), "--partly")
    assert partly.out.startswith("Recorded 1 drop test of a-cam.")
    assert '- line 2: "3,1" has a comma; write 3.1' in partly.out.splitlines()


@pytest.mark.usefixtures("demo")
def test_numbers_of_remarks_are_no_drop_times(riglog: Riglog, tmp_path: Path) -> None:
    file = tmp_path / "page.txt"
    file.write_text(
        "hangs nose down 3 deg\n575 3.0 3.1 take 4\n2 batteries 560.5 3.0\nleans 2 deg\n"
        "3 drops 3.0 3.1 3.2\n560.5 3.0 wind 5 m/s\n~561.5 3.0\n",
        encoding="utf-8",
    )
    lines = json.loads(riglog("log", str(file), "--json").out)["lines"]
    assert [each["times_s"] for each in lines] == [
        [], [3.0, 3.1], [3.0], [], [3.0, 3.1, 3.2], [3.0], [3.0],
    ]  # fmt: skip
    assert [each["note"] for each in lines] == [
        "hangs nose down 3 deg", "take 4", "2 batteries", "leans 2 deg", "", "5 m/s", "~561.5",
    ]  # fmt: skip
    assert lines[-1]["pivot_mm"] == 561.5
    file.write_text("3.0 3.1 scene 12\n3.0 3.1 with 2 people\nup 1 3.0\n", encoding="utf-8")
    done = riglog("log", str(file))
    assert done.status == 2
    assert "3 of 3 lines are not understood" in done.err


NEW_FILTER = """\
riglog: 1
components:
  - {id: nd-three, kind: filter, mass: 150 g, size: [6 mm, 100 mm, 100 mm]}
"""


@pytest.mark.usefixtures("demo")
def test_a_filter_that_fits_two_places_is_doubtful(riglog: Riglog, tmp_path: Path) -> None:
    (tmp_path / "nd.yaml").write_text(NEW_FILTER, encoding="utf-8")
    assert riglog("add", str(tmp_path / "nd.yaml")).status == 0
    file = tmp_path / "page.txt"
    file.write_text("nd-three 567 3.0\n", encoding="utf-8")
    done = riglog("log", str(file))
    assert done.status == 2
    assert "nd-three could go on lens-100.front or hood-five.slot; write which:" in done.err
    file.write_text("no hood nd-three 567 3.0\n", encoding="utf-8")
    assert "=nd-three@lens-100.front" in riglog("log", str(file), "--dry-run").out
    # That filter was logged in the hood that is on.
    file.write_text("nd-nine 567 3.0\n", encoding="utf-8")
    assert "=nd-nine@hood-five.slot" in riglog("log", str(file), "--dry-run").out


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("15:10 566 3.0\n14:00 567 3.0\n", ":2: 14:00 is before 15:10, the line above"),
        ("08:30 lens-65 556 3.0\n", ":1: a-cam was read of at 2026-03-14 09:28, after this line"),
        ("15:00 body-heron=lens-65 3.0\n", ":1: a-cam has no part"),
        ("15:00 lens-65 3.0\n", ":1: there is no mark, and parts were exchanged"),
    ],
)
def test_a_line_that_cannot_be_right_says_why(
    riglog: Riglog, tmp_path: Path, text: str, told: str
) -> None:
    file = tmp_path / "page.txt"
    file.write_text(text, encoding="utf-8")
    done = riglog("log", str(file), "--on", "2026-03-14")
    assert done.status == 2
    assert told in done.err


@pytest.mark.usefixtures("demo")
def test_lines_come_from_a_pipe_and_a_doubtful_one_is_refused_there(
    program: Callable[..., Done], db: Path
) -> None:
    assert db.exists()
    command = [Path(sys.executable).with_name("riglog"), "log", "-", "b-cam", "--on", "2026-03-14"]
    done = subprocess.run(command, input="450 3.0\n", capture_output=True, text=True, check=False)
    assert done.stdout.startswith("Recorded 1 drop test of b-cam.")
    done = subprocess.run(command, input="620 3.0\n", capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "-:1: " in done.stderr
    assert program("log", "no-such-file").status == 2


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(("said", "status"), [("y", 0), ("n", 2), ("\x04", 2)])
def test_a_doubtful_line_is_asked_about_on_a_terminal(
    tmp_path: Path, said: str, status: int
) -> None:
    file = tmp_path / "page.txt"
    file.write_text("567 31 3.0\n", encoding="utf-8")
    command = [Path(sys.executable).with_name("riglog"), "log", str(file), "--on", "2026-03-15"]
    ours, theirs = os.openpty()
    process = subprocess.Popen(
        command, stdin=theirs, stdout=subprocess.PIPE, stderr=theirs, text=True
    )
    os.close(theirs)
    shown = ""
    while "[y/n]" not in shown:
        shown += os.read(ours, 1000).decode()
    os.write(ours, said.encode() if said == "\x04" else f"{said}\n".encode())
    out, _ = process.communicate(timeout=60)
    os.close(ours)
    assert "line 1: Is 31 a drop time? [y/n]" in shown
    assert process.returncode == status
    assert ("567mm 31s 3s" in out) == (status == 0)


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("day", ["2731-01-01", "1970-01-01", "1903-05-01", "9999-12-31"])
def test_lines_of_a_day_that_cannot_be_right_are_taken_and_told(
    riglog: Riglog, tmp_path: Path, day: str
) -> None:
    file = tmp_path / "page.txt"
    file.write_text("14:20 567 3.0\n567 3.1\nlunch\n", encoding="utf-8")
    dry = riglog("log", str(file), "--on", day, "--dry-run").out
    assert f"Lines 1, 2 and 3 are dated {day}, which cannot be right" in " ".join(dry.split())
    found = json.loads(riglog("log", str(file), "--on", day, "--json").out)
    assert "untimed_year" in [each["code"] for each in found["warnings"]]
    assert [each["on"][:10] for each in found["lines"]] == [day] * 3


@pytest.mark.usefixtures("demo")
def test_every_command_reads_days_alike(riglog: Riglog, tmp_path: Path) -> None:
    file = tmp_path / "page.txt"
    file.write_text("Friday:\n567 3.0\n", encoding="utf-8")
    friday = days_of("friday", today()).first
    found = json.loads(riglog("log", str(file), "--json").out)
    assert [each["on"][:10] for each in found["lines"]] == [friday] * 2
    assert riglog("drop", "a-cam", "3.1", "--on", "friday 23:30").status == 0
    assert readings(riglog)[0]["on"][:16] == f"{friday}T23:30"
    one = riglog("show", "a-cam@friday").out
    assert one == riglog("show", f"a-cam@{friday}").out != riglog("show", "a-cam@2026-03-13").out
    noon = riglog("show", "a-cam@2026-03-13 12:00")
    assert (noon.status, noon.out) == (0, riglog("show", "a-cam@2026-03-13T12:00").out)
    assert riglog("show", "a-cam@last week").status == 0


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        (("show", "a-cam@2026-02-30"), 2, 'there is no such day as "2026-02-30"'),
        (("show", "a-cam@2026-02-30 12:00"), 2, "there is no such day"),
        (("show", "a-cam@fryday"), 3, "or write a day as yesterday, friday, 2026-03-14"),
        (("drop", "a-cam", "3.1", "--on", "last week"), 2, "more than one day"),
        (("drop", "a-cam", "3.1", "--on", "soon"), 2, 'as "yesterday 14:20"'),
    ],
)
def test_what_is_no_day_says_how_days_are_written(
    riglog: Riglog, words: tuple[str, ...], status: int, told: str
) -> None:
    done = riglog(*words)
    assert done.status == status
    assert told in " ".join(done.err.split())


@pytest.mark.usefixtures("demo")
def test_a_reading_dated_in_the_future_keeps_no_line_of_today_out(
    riglog: Riglog, tmp_path: Path
) -> None:
    file = tmp_path / "page.txt"
    file.write_text("567 3.0\n", encoding="utf-8")
    assert riglog("log", str(file), "--on", "2731-01-01").status == 0
    file.write_text("lens-65 556 3.0\n", encoding="utf-8")
    done = riglog("log", str(file))
    assert (done.status, done.err) == (0, "")


@pytest.mark.usefixtures("demo")
def test_lines_of_a_day_before_the_version_say_which_they_were_read_against(
    riglog: Riglog, tmp_path: Path
) -> None:
    """The versions of the demonstration are recorded whenever it is made."""
    file = tmp_path / "page.txt"
    file.write_text("18:00 567 3.0\n", encoding="utf-8")
    told = "Read against a-cam@6, which was recorded after that day"
    assert told in " ".join(riglog("log", str(file), "--on", "2026-03-14").out.split())
    found = json.loads(riglog("log", str(file), "--on", "2026-03-14", "--json").out)
    assert [each["code"] for each in found["warnings"]] == ["later_version"]
    assert "Read against" not in riglog("log", str(file), "a-cam@1", "--on", "2026-03-13").out
