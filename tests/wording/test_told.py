"""Scripts read of every key where it is made: the reference of commands is taken from there."""

from __future__ import annotations

import pytest

from riglog import wording


@pytest.mark.parametrize("name", ["swap", "drop", "predict", "neutral"])
def test_every_key_of_an_object_stands_in_its_description(
    name: str, request: pytest.FixtureRequest
) -> None:
    answer = request.getfixturevalue(name)
    described = wording.module(type(answer).__name__).tell.__doc__
    assert [key for key in wording.tell(answer) if f'"{key}"' not in described] == []
