from __future__ import annotations

import pytest

from riglog.errors import AmbiguousError, CallError, NotFoundError
from riglog.logbook.names import pick

KNOWN = ["body-north", "lens-35", "lens-35-b", "lens-75"]


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("lens-35", "lens-35"),  # exact, though part of another
        ("35-b", "lens-35-b"),
        ("north", "body-north"),
        ("Lens 75", "lens-75"),
        ("  BODY   north ", "body-north"),
    ],
)
def test_an_exact_id_wins_over_an_unambiguous_part(words: str, meant: str) -> None:
    assert pick(words, KNOWN, "component") == meant


def test_an_ambiguous_part_lists_what_it_could_mean() -> None:
    with pytest.raises(AmbiguousError) as caught:
        pick("lens", KNOWN, "component")
    assert str(caught.value) == ('"lens" fits several; it could mean lens-35, lens-35-b or lens-75')


def test_a_long_list_is_cut() -> None:
    with pytest.raises(AmbiguousError) as caught:
        pick("x", [f"x-{n}" for n in range(30)], "component")
    assert caught.value.hint.endswith("x-11 or 18 more")


def test_what_is_not_there_is_answered_with_what_is_near() -> None:
    with pytest.raises(NotFoundError) as caught:
        pick("lense-35", KNOWN, "component")
    assert str(caught.value) == (
        'there is no component "lense-35"; did you mean lens-35, lens-35-b or lens-75?'
    )


def test_where_nothing_is_near_the_list_is_named() -> None:
    with pytest.raises(NotFoundError, match="riglog list components"):
        pick("zzz", KNOWN, "component")
    with pytest.raises(NotFoundError, match="there is no component yet"):
        pick("zzz", [], "component")


def test_no_words_mean_nothing() -> None:
    with pytest.raises(CallError):
        pick("  ", KNOWN, "component")
