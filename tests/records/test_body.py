"""Nouns as the plain objects of the logbook, and back."""

import json

from hypothesis import given, settings
from noun_strategies import NOUNS

from riglog.records import (
    Build,
    Component,
    Drop,
    Mount,
    Part,
    PivotPair,
    from_body,
    to_body,
)


@settings(deadline=None)
@given(NOUNS)
def test_any_noun_comes_back_from_its_json(noun: object) -> None:
    assert from_body(type(noun), json.loads(json.dumps(to_body(noun)))) == noun


def test_a_body_holds_only_what_differs_from_the_defaults() -> None:
    mount = Mount(at=(0.0, 0.0, 0.1), tilts=False)
    assert to_body(Component(id="c", kind="plate", mounts={"top": mount})) == {
        "id": "c",
        "kind": "plate",
        "mounts": {"top": {"at": [0.0, 0.0, 0.1], "tilts": False}},
    }


def test_readings_and_components_say_their_kind_though_it_is_a_default() -> None:
    assert to_body(Component(id="c")) == {"id": "c", "kind": "other"}
    drop = Drop(build="b", on="2026-03-14T09:10:00+00:00", times=(3.0,))
    assert to_body(drop) == {
        "build": "b",
        "on": "2026-03-14T09:10:00+00:00",
        "kind": "drop",
        "times": [3.0],
    }


def test_a_setting_keeps_its_form() -> None:
    build = Build(
        id="b",
        rig="r",
        parts=(Part(component="c", on="m", name="d"),),
        settings={"pivot": PivotPair(left=0.1, right=0.2), "stage": 0.0},
    )
    assert to_body(build)["settings"] == {"pivot": {"left": 0.1, "right": 0.2}, "stage": 0.0}
    assert from_body(Build, to_body(build)) == build
