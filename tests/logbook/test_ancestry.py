from __future__ import annotations

from riglog.logbook.ancestry import ancestors

#        a - b - d
#          \ c / \ e
PARENTS = {"a": [], "b": ["a"], "c": ["a"], "d": ["b", "c"], "e": ["d"], "alone": []}


def test_ancestors_come_nearest_first_and_each_once() -> None:
    assert list(ancestors("e", PARENTS.__getitem__)) == ["d", "b", "c", "a"]


def test_what_has_no_parents_has_no_ancestors() -> None:
    assert list(ancestors("alone", PARENTS.__getitem__)) == []


def test_an_entry_is_not_its_own_ancestor() -> None:
    assert "d" not in ancestors("d", PARENTS.__getitem__)
    assert "e" not in ancestors("a", PARENTS.__getitem__)


def test_a_search_asks_no_further_than_it_needs() -> None:
    asked: list[str] = []

    def parents_of(entry: str) -> list[str]:
        asked.append(entry)
        return PARENTS[entry]

    assert "b" in ancestors("e", parents_of)
    assert asked == ["e", "d"]


def test_a_damaged_log_that_runs_in_a_circle_ends_the_search() -> None:
    circle = {"a": ["b"], "b": ["a"]}
    assert list(ancestors("a", circle.__getitem__)) == ["b"]
