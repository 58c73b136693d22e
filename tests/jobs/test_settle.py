"""Two people changed one thing apart from each other; a third says what counts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from library.kit import entries, fork

from riglog.errors import CallError, ForkError, NoAnswerError, NotFoundError
from riglog.jobs.settle import parse_fields, settle_fork
from riglog.library.settling import Choice

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library import Library
    from riglog.logbook import Entry

MINE = {"wanted_drop": 4, "settings": {"pivot": 0.487, "stage-side": -0.001, "slide-2.run": 0.0127}}
YOURS = {
    "wanted_drop": 5,
    "note": "yours",
    "settings": {"pivot": 0.491, "stage-side": -0.001, "slide-2.run": 0.0127},
}


@pytest.fixture
def library(logged: Library) -> Library:
    return logged


@pytest.fixture
def heads(library: Library, path: Path) -> list[Entry]:
    """The wanted drop was changed by both, mark and note by one."""
    assert library
    return fork(path, "build", "a-cam", MINE, YOURS)


def at(head: Entry) -> str:
    return f"2.{head.id[:4]}"


def body(library: Library) -> dict[str, Any]:
    (head,) = library.logbook.heads("build", "a-cam")
    return dict(head.body)


def test_what_differs_is_shown_with_who_changed_it_and_nothing_is_recorded(
    library: Library, path: Path, heads: list[Entry]
) -> None:
    before = entries(path)
    answer = settle_fork(library, "cam", Choice())
    assert [head.entry for head in answer.heads] == [head.id for head in heads]
    assert (answer.base, answer.name) == ("1", None)
    mine, yours = map(at, heads)
    assert {each.field: each.changed for each in answer.fields} == {
        "note": (yours,),
        "settings.pivot": (yours,),
        "wanted_drop": (mine, yours),
    }
    assert entries(path) == before


@pytest.mark.parametrize("which", [0, 1])
def test_one_head_is_taken_and_both_are_parents(
    library: Library, heads: list[Entry], which: int
) -> None:
    answer = settle_fork(library, "a-cam", Choice(take=at(heads[which])))
    assert answer.name == "3"
    assert body(library) == heads[which].body
    (head,) = library.logbook.heads("build", "a-cam")
    assert set(head.parents) == {each.id for each in heads}
    assert (head.author, head.id) == ("kim", answer.entry)
    library.record(library.standing("a-cam").build)  # nothing is in the way any more


def test_field_by_field_whatever_one_of_them_changed_comes_from_that_one(
    library: Library, heads: list[Entry]
) -> None:
    choice = Choice(join=True, fields={"wanted_drop": at(heads[0])})
    answer = settle_fork(library, "a-cam", choice)
    assert body(library) == {**heads[1].body, "wanted_drop": 4}
    assert {each.field: each.taken for each in answer.fields} == {
        "note": at(heads[1]),
        "settings.pivot": at(heads[1]),
        "wanted_drop": at(heads[0]),
    }


def test_a_head_is_taken_but_for_a_field(library: Library, heads: list[Entry]) -> None:
    settle_fork(
        library,
        "a-cam",
        Choice(take=f"a-cam@{at(heads[1])}", fields={"settings.pivot": heads[0].id}),
    )
    assert body(library)["settings"]["pivot"] == 0.487
    assert (body(library)["note"], body(library)["wanted_drop"]) == ("yours", 5)


def test_a_field_that_one_head_took_out_is_out(library: Library, heads: list[Entry]) -> None:
    choice = Choice(take=at(heads[1]), fields={"note": at(heads[0])})
    settle_fork(library, "a-cam", choice)
    assert "note" not in body(library)


def test_what_both_changed_has_to_be_chosen(
    library: Library, path: Path, heads: list[Entry]
) -> None:
    before = entries(path)
    with pytest.raises(CallError, match="both changed wanted_drop") as caught:
        settle_fork(library, "a-cam", Choice(join=True))
    assert caught.value.hint == f"say whose counts, as --field wanted_drop={at(heads[0])}"
    assert entries(path) == before


def test_a_dry_run_tells_the_same_and_records_nothing(
    library: Library, path: Path, heads: list[Entry]
) -> None:
    before = entries(path)
    choice = Choice(take=at(heads[0]))
    dry = settle_fork(library, "a-cam", choice, dry_run=True)
    assert entries(path) == before
    wet = settle_fork(library, "a-cam", choice)
    assert wet._replace(dry_run=True, name=None, entry=None) == dry


def test_settings_of_a_part_that_was_taken_off_go_with_it(library: Library, path: Path) -> None:
    parts = [{"component": "body-north", "on": "stage"}]
    kept = {"pivot": 0.487, "stage-side": -0.001}
    heads = fork(path, "build", "a-cam", {"parts": parts, "settings": kept}, YOURS)
    settle_fork(library, "a-cam", Choice(join=True))
    assert body(library)["parts"] == parts
    assert body(library)["settings"] == {"pivot": 0.491, "stage-side": -0.001}
    assert heads


def test_three_heads_are_settled_at_once(library: Library, path: Path) -> None:
    heads = fork(path, "component", "lens-35", {"mass": 1.1}, {"mass": 1.2}, {"note": "soft"})
    with pytest.raises(CallError, match="3 people changed mass"):
        settle_fork(library, "lens-35", Choice(join=True))
    names = [each.name for each in settle_fork(library, "lens-35", Choice()).heads]
    settle_fork(library, "lens-35", Choice(join=True, fields={"mass": names[1]}))
    (head,) = library.logbook.heads("component", "lens-35")
    assert (head.body["mass"], head.body["note"]) == (1.2, "soft")
    assert len(head.parents) == len(heads) == 3


@pytest.mark.parametrize(
    ("words", "choice", "told"),
    [
        ("a-cam", Choice(take="9"), "has no version"),
        ("a-cam", Choice(take="1"), "has no version"),
        ("a-cam", Choice(join=True, fields={"pivot": "1"}), "no field that differs"),
        ("lens-75", Choice(), "nothing to settle"),
        ("lens-99", Choice(), "there is no record"),
    ],
)
@pytest.mark.usefixtures("heads")
def test_words_that_fit_nothing_are_refused(
    library: Library, path: Path, words: str, choice: Choice, told: str
) -> None:
    before = entries(path)
    with pytest.raises((CallError, NoAnswerError), match=told):
        settle_fork(library, words, choice)
    assert entries(path) == before


def test_fields_are_written_with_a_version_each() -> None:
    assert parse_fields(["note=3.ab12", "settings.pivot=3.cd34"]) == {
        "note": "3.ab12",
        "settings.pivot": "3.cd34",
    }
    for wrong in (["note"], ["note="], ["=3"], ["note=1", "note=2"]):
        with pytest.raises(CallError):
            parse_fields(wrong)


def test_a_fork_names_the_command_that_settles_it(library: Library, heads: list[Entry]) -> None:
    with pytest.raises(ForkError) as caught:
        library.standing("a-cam")
    assert caught.value.hint.endswith("; to settle it: riglog settle a-cam")
    assert all(at(head) in caught.value.hint for head in heads)
    with pytest.raises(NotFoundError):
        library.standing("b-cam")
