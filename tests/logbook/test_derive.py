from __future__ import annotations

import pytest

from riglog.logbook import derive


def test_a_build_uses_its_rig_and_each_component_once() -> None:
    parts = [
        {"component": "lens-35", "on": "stage"},
        {"component": "lens-35", "on": "base", "name": "spare"},
    ]
    body = {"id": "a-cam", "rig": "post-one", "parts": parts}
    assert derive.own_uses("build", body) == {"post-one", "lens-35"}


def test_components_rigs_and_readings_name_nothing_that_they_use() -> None:
    body = {"rig": "post-one", "parts": [{"component": "lens-35", "on": "stage"}]}
    for kind in ("component", "rig", "reading", "note"):
        assert derive.own_uses(kind, body) == set()


def test_a_reading_uses_what_its_version_of_the_build_does() -> None:
    assert derive.version_used("reading", {"stand": {"version": "ab12"}}) == "ab12"
    assert derive.version_used("build", {"stand": {"version": "ab12"}}) is None


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"rig": 3, "parts": "x", "stand": []},
        {"rig": None, "parts": [None, 1, {"component": ["x"]}], "stand": {"version": 4}},
    ],
)
def test_a_body_of_another_shape_uses_nothing(body: dict[str, object]) -> None:
    assert derive.own_uses("build", body) == set()
    assert derive.version_used("reading", body) is None


def test_an_entry_is_found_by_its_own_texts_and_not_by_figures() -> None:
    body = {
        "id": "a-cam",
        "note": "windy",
        "parts": [{"component": "lens-35", "on": "stage", "offset": [0.1, 0, 0]}],
        "also": {"arm-lift": "6 turns"},
        "settings": {"pivot": 0.487},
        "stand": {"version": "ab12"},
    }
    found = derive.text("a-cam", "north", body).split("\n")
    assert found == ["a-cam", "north", "windy", "lens-35", "stage", "arm-lift", "6 turns"]


def test_a_reading_is_of_the_day_it_was_taken_on_and_all_else_of_the_day_it_was_recorded() -> None:
    on = {"on": "2026-03-13T23:50:00-05:00"}
    assert derive.day("reading", "2026-03-14T09:10:00Z", on) == "2026-03-13"
    assert derive.day("build", "2026-03-14T09:10:00Z", on) == "2026-03-14"
    assert derive.day("reading", "2026-03-14T09:10:00Z", {"on": 3}) == "2026-03-14"
