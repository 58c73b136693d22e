from __future__ import annotations

import pytest

from riglog.errors import AmbiguousError, NotFoundError
from riglog.logbook.versions import Place, names, pick

FORK = [
    Place("aa" * 32, 1),
    Place("ab12" + "0" * 60, 2),
    Place("ab12" + "f" * 60, 2),
    Place("1234" + "e" * 60, 3),
]


def test_a_fork_tells_equal_numbers_apart_by_the_start_of_the_id() -> None:
    assert list(names(FORK).values()) == ["1", "2.ab120", "2.ab12f", "3"]


@pytest.mark.parametrize(
    ("word", "meant"),
    [("1", 0), ("3", 3), ("2.ab120", 1), ("2.ab12f", 2), ("aaaa", 0), ("ab12f", 2), ("1234", 3)],
)
def test_a_version_is_named_by_number_or_by_the_start_of_its_id(word: str, meant: int) -> None:
    assert pick(FORK, word, "lens-35") == FORK[meant]


def test_a_number_that_two_versions_have_is_ambiguous() -> None:
    with pytest.raises(AmbiguousError) as caught:
        pick(FORK, "2", "lens-35")
    assert caught.value.hint == "lens-35@2.ab120 or lens-35@2.ab12f"


@pytest.mark.parametrize("word", ["0", "4", "3.ab12", "aaa", "bbbb", "x", "-1", "٣", ""])
def test_what_names_no_version_is_answered_with_those_there_are(word: str) -> None:
    with pytest.raises(NotFoundError) as caught:
        pick(FORK, word, "lens-35")
    assert caught.value.hint == "it has 1, 2.ab120, 2.ab12f or 3"
