from __future__ import annotations

from textwrap import wrap

import pytest

from riglog.wording import cautions

CODES = {
    "drop-test", "heavy-drop-test", "unknown-rig", "clamp-under-load", "ring-sides", "takes-off",
    "turns-over", "pan-test",
    "near-neutral", "arm-load", "headed-off", "overhead",
}  # fmt: skip


def test_every_code_has_a_short_sentence() -> None:
    assert set(cautions.CAUTIONS) == CODES
    assert all(text.endswith(".") for text in cautions.CAUTIONS.values())
    assert all(len(wrap(text, 78)) <= 3 for text in cautions.CAUTIONS.values())


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("drop-test", ["plate lock", "safety stop", "stand", "weighted", "swing circle",
                       "second person", "Never while it is worn"]),
        ("unknown-rig", ["30 degrees first"]),
        ("heavy-drop-test", ["two people"]),
        ("clamp-under-load", ["Never open the gimbal clamp"]),
        ("ring-sides", ["one at a time", "frame supported"]),
        ("takes-off", ["at once"]),
        ("pan-test", ["slowly first", "circle clear", "no cable"]),
        ("near-neutral", ["5 s", "never leave it undocked"]),
        ("arm-load", ["Dock before", "least and greatest load"]),
        ("headed-off", ["limp when off", "hands clear"]),
        ("overhead", ["spring lines", "inspected", "licensed riggers"]),
    ],
)  # fmt: skip
def test_a_caution_names_all_that_it_is_about(code: str, words: list[str]) -> None:
    assert [word for word in words if word not in cautions.CAUTIONS[code]] == []


def test_a_caution_is_said_once() -> None:
    assert len(cautions.sentences(["takes-off", "drop-test", "takes-off"])) == 2


def test_a_code_without_a_sentence_is_not_swallowed() -> None:
    with pytest.raises(KeyError):
        cautions.sentences(["no-such-caution"])


def test_makers_and_local_rules_come_first_wherever_there_is_a_caution() -> None:
    assert cautions.heading("Mind", ["drop-test"]) == (
        "Mind (the maker's instructions, ratings and local rules come first):"
    )
    assert cautions.heading("Mind", []) == "Mind:"
