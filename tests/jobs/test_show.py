from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from library.kit import entries, fork

from riglog.errors import ForkError, NotFoundError
from riglog.jobs.show import show
from riglog.records import Drop

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.library import Library


def test_a_build_is_shown_as_recorded_and_as_it_stands(logged: Library) -> None:
    answer = show(logged, "cam")
    assert (answer.kind, answer.id, answer.newest) == ("build", "a-cam", True)
    assert answer.noun == logged.standing("a-cam").build
    assert answer.stands is not None
    assert answer.stands.settings["pivot"] == 0.490
    assert answer.stands.since == "2026-03-14T09:30:00+01:00"
    assert answer.stands.adjusters["slide-2.run"].unit == "in"


def test_a_former_version_is_shown_where_it_is_named(logged: Library) -> None:
    lens = logged.component("lens-35")
    logged.record(replace(lens, mass=1.15))
    former = show(logged, "lens-35@1")
    assert (former.noun, former.newest, former.stands) == (lens, False, None)
    assert show(logged, "lens-35").kept.version == "2"


def test_a_reading_is_shown_by_the_start_of_its_entrys_id(logged: Library, path: Path) -> None:
    entry = entries(path)[-1]
    answer = show(logged, entry.id[:8])
    assert (answer.kind, answer.id, answer.kept.entry) == ("reading", "a-cam", entry.id)
    assert isinstance(answer.noun, Drop)
    assert answer.noun.times == (2.6,)
    assert answer.stands is not None
    assert answer.stands.settings["pivot"] == 0.490


def test_what_is_nowhere_is_said_in_the_words_of_records(logged: Library) -> None:
    with pytest.raises(NotFoundError, match='there is no record "dead-beef"'):
        show(logged, "dead-beef")
    with pytest.raises(NotFoundError, match='there is no record "deadbeef"'):
        show(logged, "deadbeef")


def test_a_fork_is_shown_by_version_only(logged: Library, path: Path) -> None:
    heads = fork(path, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    with pytest.raises(ForkError):
        show(logged, "a-cam")
    answer = show(logged, f"a-cam@{heads[0].id[:6]}")
    assert (answer.kept.entry, answer.kept.forked, answer.newest) == (heads[0].id, True, True)


def test_a_build_whose_component_is_forked_is_shown_nevertheless(
    logged: Library, path: Path
) -> None:
    fork(path, "component", "lens-35", {"cg_sd": 0.002}, {"cg_sd": 0.003})
    answer = show(logged, "a-cam")
    assert answer.stands is not None
    assert (answer.stands.settings["pivot"], answer.stands.adjusters) == (0.490, {})
