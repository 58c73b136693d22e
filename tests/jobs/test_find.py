from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from jobs.flown import flown, question

from riglog.errors import CallError, NotFoundError
from riglog.jobs.drop import drop
from riglog.jobs.find import find
from riglog.jobs.fitting import fit
from riglog.jobs.swap import swap

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.find_answers import FindAnswer
    from riglog.library import Library

FRIDAY, SATURDAY = "2026-03-13", "2026-03-14"


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Library]:
    """On Friday lens-35 and lens-75 were flown on a-cam, on Saturday lens-35 again."""
    with flown(tmp_path) as library:
        _fly(library, f"{FRIDAY}T09:00", "518mm", note="car park, Zoë's idea")
        swap(library, "a-cam", ["lens-35=lens-75"], save="a-cam")
        _fly(library, f"{FRIDAY}T15:00", "527mm", tags=("night",))
        swap(library, "a-cam", ["lens-75=lens-35"], save="a-cam")
        _fly(library, f"{SATURDAY}T09:00", "518.5mm", note="windy roof")
        yield library


def _fly(library: Library, on: str, mark: str, **words: Any) -> None:
    drop(library, question("a-cam", "3.0", "3.1", on=on, mark=mark)._replace(**words))


def names(answer: FindAnswer) -> list[str]:
    return [f"{each.build}@{each.version}" for each in answer.found]


def test_yesterdays_lens_is_back_on(house: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("riglog.jobs.find_question.today", lambda: SATURDAY)
    house.use("a-cam")
    answer = find(house, [], with_=["lens-75"], on="yesterday")
    (found,) = answer.found
    assert (found.build, found.version, found.mark, found.times_s) == (
        "a-cam", "2", 0.527, (3.0, 3.1),
    )  # fmt: skip
    assert answer.compared
    assert answer.compared.after == "lens-75 for lens-35"
    assert (found.gone, found.come, found.moved, found.other) == ((), (), (), ())
    assert found.now
    assert found.now.marked.low_m is not None
    assert found.now.marked.high_m is not None
    assert found.now.marked.low_m < 0.527 < found.now.marked.high_m


def test_the_mark_for_now_is_the_one_that_a_swap_to_that_drop_gives(house: Library) -> None:
    answer = find(house, [], with_=["lens-75"], on=FRIDAY, build="a-cam")
    swapped = swap(house, "a-cam", ["lens-35=lens-75"], wanted="3.05s")
    pivot = next(move for move in swapped.moves if move.name == "pivot")
    now = answer.found[0].now
    assert now
    assert now.marked.to_m == pytest.approx(pivot.to_m, abs=2e-4)
    assert now.first_m == pytest.approx(swapped.first.set_m, abs=6e-4)


def test_a_part_that_was_not_there_yesterday_moves_the_mark(house: Library) -> None:
    """More weight at the camera end wants the pivot higher."""
    plain = find(house, [], on=FRIDAY, with_=["lens-75"], build="a-cam").found[0]
    swap(house, "a-cam", ["=nd-9@body-north.top"], save="a-cam")
    heavier = find(house, [], on=FRIDAY, with_=["lens-75"], build="a-cam").found[0]
    assert heavier.come == ("nd-9",)
    assert plain.now
    assert heavier.now
    assert heavier.now.marked.to_m > plain.now.marked.to_m + 2e-3


@pytest.mark.parametrize(
    ("words", "asked", "expected"),
    [
        (["zoe"], {}, ["a-cam@1"]),
        (["ZOË'S", "car"], {}, ["a-cam@1"]),
        (["wind"], {}, ["a-cam@3"]),
        (["roof", "post-one"], {}, ["a-cam@3"]),
        (["lens-75"], {}, ["a-cam@2"]),
        (["lens-35", "windy"], {}, ["a-cam@3"]),
        (["stage", "windy"], {}, ["a-cam@3"]),
        ([], {"tags": ["night"]}, ["a-cam@2"]),
        ([], {"with_": ["lens-35"], "on": SATURDAY}, ["a-cam@3"]),
        ([], {"on": f"{FRIDAY[:7]}", "with_": ["lens-35"], "rig": "post"}, ["a-cam@3", "a-cam@1"]),
        (["a-cam"], {"count": 2}, ["a-cam@3", "a-cam@1"]),
    ],
)
def test_what_is_found_has_what_was_asked_for(
    house: Library, words: list[str], asked: dict[str, Any], expected: list[str]
) -> None:
    answer = find(house, words, **asked)
    assert names(answer)[: len(expected)] == expected
    if asked.get("count") is None and not asked.get("on"):
        assert [each for each in names(answer) if each.startswith("a-cam")] == expected


@pytest.mark.parametrize(
    ("words", "asked", "hint"),
    [
        (["sandstorm"], {}, "try fewer"),
        ([], {"on": "2020-01-01"}, "without --on"),
        ([], {"tags": ["dusk"]}, "without --tag"),
        (["windy"], {"with_": ["lens-75"]}, "try fewer"),
    ],
)
def test_where_nothing_fits_it_says_what_to_leave_out(
    house: Library, words: list[str], asked: dict[str, Any], hint: str
) -> None:
    with pytest.raises(NotFoundError, match="nothing is logged that fits") as refused:
        find(house, words, **asked)
    assert hint in refused.value.hint


def test_what_has_most_of_the_parts_comes_first(house: Library) -> None:
    answer = find(house, [], build="a-cam")
    assert names(answer)[0] == "a-cam@3"
    common = [each.common for each in answer.found]
    assert common == sorted(common, reverse=True)


def test_where_nothing_has_all_the_components_those_with_some_are_found(house: Library) -> None:
    answer = find(house, [], with_=["lens-75", "nd-9"])
    assert answer.apart
    assert names(answer) == ["a-cam@2"]


def test_an_older_build_of_the_very_parts_comes_before_newer_ones_of_others(
    house: Library,
) -> None:
    swap(house, "b-cam", ["lens-35=zoom"], save="b-cam", set_=["pivot=520"])
    drop(house, question("b-cam", "3.0", on=f"{SATURDAY}T18:00", mark="530mm"))
    assert names(find(house, [], build="a-cam@2"))[0] == "a-cam@2"


def test_without_a_build_in_use_the_newest_comes_first(house: Library) -> None:
    answer = find(house, [], with_=["hood"])
    assert answer.compared is None
    assert answer.found[0].now is None
    times = [each.on for each in answer.found if each.reading]
    assert times == sorted(times, reverse=True)


def test_a_count_that_is_none_is_refused(house: Library) -> None:
    with pytest.raises(CallError, match="no number of finds"):
        find(house, [], count=0)


def test_an_undone_version_is_not_found(house: Library) -> None:
    version = house.version("a-cam@2", "build").entry
    from logbook.kit import draft

    with house.logbook.writing() as log:
        log.append([draft("undo", "a-cam", {"reverses": [version.id]}, at=version.at)])
    with pytest.raises(NotFoundError):
        find(house, [], with_=["lens-75"])


@pytest.mark.parametrize(("said", "marks"), [("windy", [0.519]), ("tethered", [0.517])])
def test_a_condition_is_found_as_people_say_it(
    house: Library, said: str, marks: list[float]
) -> None:
    _fly(house, f"{SATURDAY}T10:00", "517mm", conditions=("tether",))
    _fly(house, f"{SATURDAY}T11:00", "519mm", conditions=("wind",))
    assert [each.mark for each in find(house, [said], build="a-cam").found] == marks


def test_words_of_a_note_find_what_it_is_about(house: Library) -> None:
    version = house.version("a-cam@2", "build").entry
    from logbook.kit import draft

    with house.logbook.writing() as log:
        about = {"note": "loose knob", "entry": version.id}
        log.append([
            draft("note", "a-cam", about),
            draft("tag", "a-cam", {"tag": "doubtful", "entry": version.id}),
        ])  # fmt: skip
    assert names(find(house, ["knob"])) == ["a-cam@2"]
    assert names(find(house, [], tags=["doubtful"])) == ["a-cam@2"]


class TestFitting:
    def test_a_lens_takes_the_place_of_the_lens(self, house: Library) -> None:
        fitted = fit(house, house.standing("a-cam").build, ["lens-75"])
        assert fitted.said == "lens-75 for lens-35"
        assert fitted.build.part("hood").on == "lens-75.front"

    def test_a_body_carries_the_lens_that_comes_with_it(self, house: Library) -> None:
        fitted = fit(house, house.standing("a-cam").build, ["lens-75", "body-south"])
        assert fitted.build.part("lens-75").on == "body-south.lens"
        assert fitted.said == "body-south and lens-75 for body-north and lens-35"

    def test_a_filter_goes_in_front_of_the_lens(self, house: Library) -> None:
        fitted = fit(house, house.standing("a-cam").build, ["nd-9", "lens-75"])
        assert fitted.build.part("nd-9").on == "lens-75.front"
        assert fitted.said == "lens-75 and nd-9 for lens-35"

    def test_anything_else_goes_where_it_was_logged_last(self, house: Library) -> None:
        swap(house, "a-cam", ["=nd-9@body-north.top"], save="c-cam")
        fitted = fit(house, house.standing("a-cam").build, ["nd-9"])
        assert fitted.build.part("nd-9").on == "body-north.top"

    def test_what_is_on_it_already_stays(self, house: Library) -> None:
        build = house.standing("a-cam").build
        assert fit(house, build, ["lens-35", "hood"]).build == build

    def test_what_was_never_logged_on_anything_is_asked_about(self, house: Library) -> None:
        with pytest.raises(CallError, match="nobody logged where plate goes") as refused:
            fit(house, house.standing("a-cam").build, ["plate"])
        assert refused.value.hint == "write on what: =plate@MOUNT"
