"""Numbers, heads and forks of versions, in histories of any shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from logbook.kit import component, record

from riglog.errors import AmbiguousError, NotFoundError
from riglog.logbook import Logbook

if TYPE_CHECKING:
    from pathlib import Path


def test_versions_are_numbered_along_their_chain(log: Logbook) -> None:
    parents: tuple[str, ...] = ()
    for mass in (1.0, 1.1, 1.2):
        (entry,) = record(log, component("lens-35", *parents, mass=mass))
        parents = (entry.id,)
    found = log.versions("component", "lens-35")
    assert [(each.name, each.entry.body["mass"], each.is_head) for each in found] == [
        ("1", 1.0, False),
        ("2", 1.1, False),
        ("3", 1.2, True),
    ]


def test_two_people_who_change_one_thing_make_two_heads_of_one_number(log: Logbook) -> None:
    (first,) = record(log, component("lens-35"))
    one, other = record(
        log, component("lens-35", first.id, mass=1.1), component("lens-35", first.id, mass=1.2)
    )
    assert log.heads("component", "lens-35") == [one, other]
    assert [each.name for each in log.versions("component", "lens-35")] == [
        "1",
        f"2.{one.id[:4]}",
        f"2.{other.id[:4]}",
    ]
    assert log.version("component", "lens-35", f"2.{other.id[:4]}").entry == other
    with pytest.raises(AmbiguousError, match=f"lens-35@2.{one.id[:4]} or"):
        log.version("component", "lens-35", "2")


def test_a_version_with_both_heads_as_parents_settles_a_fork(log: Logbook) -> None:
    (first,) = record(log, component("lens-35"))
    one, other = record(
        log, component("lens-35", first.id, mass=1.1), component("lens-35", first.id, mass=1.2)
    )
    (longer,) = record(log, component("lens-35", one.id, mass=1.3))
    (settled,) = record(log, component("lens-35", longer.id, other.id, mass=1.3))
    assert log.heads("component", "lens-35") == [settled]
    assert log.version_of(settled).name == "4"
    assert log.version_of(longer).name == "3"
    assert {each.id for each in log.ancestors(settled.id)} == {
        first.id,
        one.id,
        other.id,
        longer.id,
    }


def test_a_thing_that_is_not_there_has_no_version(log: Logbook) -> None:
    with pytest.raises(NotFoundError, match='there is no component "lens-35"'):
        log.version("component", "lens-35", "1")
    assert log.versions("component", "lens-35") == []


@st.composite
def histories(make: st.DrawFn) -> list[list[int]]:
    """For each entry, which of those before it are its parents."""
    count = make(st.integers(1, 9))
    return [
        make(st.lists(st.sampled_from(range(n)), max_size=3, unique=True)) if n else []
        for n in range(count)
    ]


def longest_chain(history: list[list[int]], entry: int) -> int:
    """By the definition: 1 + the longest of all chains, each walked by itself."""
    return 1 + max((longest_chain(history, parent) for parent in history[entry]), default=0)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(histories())
def test_in_any_history_numbers_are_longest_chains_and_heads_have_no_children(
    tmp_path_factory: pytest.TempPathFactory, history: list[list[int]]
) -> None:
    path: Path = tmp_path_factory.mktemp("history") / "kit.db"
    ids: list[str] = []
    with Logbook.create(path) as log, log.writing() as transaction:
        for n, parents in enumerate(history):
            made = component("lens-35", *(ids[parent] for parent in parents), mass=n)
            ids += [entry.id for entry in transaction.append([made])]
        found = transaction.versions("component", "lens-35")
        heads = transaction.heads("component", "lens-35")
        children = [[each.id for each in transaction.children(entry)] for entry in ids]
    numbers = [longest_chain(history, n) for n in range(len(history))]
    later = [[m for m, parents in enumerate(history) if n in parents] for n in range(len(history))]
    assert [version.number for version in found] == numbers
    assert [version.is_head for version in found] == [not those for those in later]
    assert [entry.id for entry in heads] == [ids[n] for n, those in enumerate(later) if not those]
    assert children == [[ids[m] for m in those] for those in later]
    assert len({version.name for version in found}) == len(found)
