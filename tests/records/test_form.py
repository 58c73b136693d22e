"""What can be told of a body before anything reads it as a noun."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from noun_strategies import NOUNS

from riglog.records import Build, Component, Drop, Rig, to_body
from riglog.records.form import fault


@given(NOUNS)
@settings(deadline=None, max_examples=50)
def test_the_body_of_any_noun_is_one(noun: Any) -> None:
    assert fault(type(noun), to_body(noun)) == ""


LENS = {"id": "lens-35", "kind": "lens"}
CAM = {"id": "a-cam", "rig": "post-one"}
POST = {"id": "post-one", "type": "post"}
DROP = {"kind": "drop", "build": "a-cam", "on": "2026-03-14T09:10:00Z", "times": [3.1]}
WRONG = [
    (Component, {**LENS, "mass": "1.12 kg"}, "mass is no number"),
    (Component, {**LENS, "mass": True}, "mass is no number"),
    (Component, {**LENS, "mass": float("inf")}, "mass is no number"),
    (Component, {**LENS, "mass": -1.0}, "mass is not more than zero"),
    (Component, {**LENS, "mass": None}, ""),
    (Component, {**LENS, "kind": "lense"}, "kind is none of the words for it"),
    (Component, {**LENS, "wieght": 1.0}, "'wieght' is not known"),
    (Component, {**LENS, "size": [0.1, 0.1]}, "size is no list of 3"),
    (Component, {**LENS, "mounts": {"front": {"at": [0, 0, "x"]}}}, "mounts.front.at is no number"),
    (Component, {**LENS, "mounts": {"Front End": {"at": [0, 0, 0]}}},
     "mounts has the key 'Front End'"),
    (Component, {**LENS, "modified": "2026-02-30"}, "modified is no day"),
    (Component, {"kind": "lens"}, "id is missing"),
    (Component, {**LENS, "id": "../../x"}, "id is no id"),
    (Component, [], "is no object"),
    (Build, {**CAM, "settings": {"pivot": {"left": 0.2}}}, "settings.pivot.right is missing"),
    (Build, {**CAM, "settings": {"pivot": {"left": 0.2, "right": 0.2}}}, ""),
    (Build, {**CAM, "parts": [{"component": "lens-35", "on": "a.b.c"}]}, "parts.on is no place"),
    (Build, {**CAM, "parts": [{"component": "lens-35", "on": 3}]}, "parts.on is no place"),
    (Rig, {**POST, "adjusters": [{"id": "pivot", "axis": "z", "travel": [0.5, 0.1]}]},
     "adjusters.travel does not rise"),
    (Rig, {**POST, "mounts": {"yoke": {"at": [0, 0, 0], "tilts": 0}}},
     "mounts.yoke.tilts is neither true nor false"),
    (Drop, {**DROP, "times": []}, "times is empty"),
    (Drop, {**DROP, "on": "2026-03-14T09:10:00"}, "on is no time with its offset"),
    (Drop, {**DROP, "on": 7}, "on is no time with its offset"),
]  # fmt: skip


@pytest.mark.parametrize(("noun", "body", "told"), WRONG)
def test_what_is_wrong_is_told_with_its_place(noun: type, body: object, told: str) -> None:
    assert fault(noun, body) == told


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
        max_leaves=8,
    ),
    st.sampled_from(["mass", "size", "mounts", "kind", "states", "like", "tags", "id", "inertia"]),
)
@settings(deadline=None, max_examples=50)
def test_whatever_stands_in_a_body_is_judged_and_nothing_is_raised(value: Any, key: str) -> None:
    body = {**LENS, key: value}
    if fault(Component, body) == "":
        from riglog.records import from_body

        assert to_body(from_body(Component, body)) is not None
