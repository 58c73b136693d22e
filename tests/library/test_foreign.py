from __future__ import annotations

import pytest

from riglog.library.foreign import record_fault

LENS = {"id": "lens-35", "kind": "lens", "mass": 1.12}
DROP = {
    "build": "a-cam",
    "kind": "drop",
    "on": "2026-03-14T09:10:00Z",
    "times": [3.1],
    "stand": {"version": "ab", "settings": {"pivot": 0.487}},
}


def test_records_of_ours_and_kinds_of_a_newer_program_pass() -> None:
    assert record_fault("component", "lens-35", LENS) == ""
    assert record_fault("reading", "a-cam", DROP) == ""
    assert record_fault("kits", "north", {"anything": ["at", "all"]}) == ""


@pytest.mark.parametrize(
    ("kind", "subject", "body", "told"),
    [
        ("component", "lens-75", LENS, "its id is not that of what it is about"),
        ("component", "lens-35", {**LENS, "mass": "heavy"}, "mass is no number"),
        ("reading", "b-cam", DROP, "its build is not what it is about"),
        ("reading", "a-cam", {**DROP, "kind": "weighing"}, "'weighing' is no kind of reading"),
        ("reading", "a-cam", {**DROP, "kind": ["drop"]}, "['drop'] is no kind of reading"),
        ("reading", "a-cam", {**DROP, "stand": None}, "where it stood: is no object"),
        (
            "reading",
            "a-cam",
            {**DROP, "stand": {"version": "ab"}},
            "where it stood: settings is missing",
        ),
        ("reading", "a-cam", {**DROP, "times": [-1]}, "times is not more than zero"),
    ],
)
def test_what_no_command_could_read_is_told(
    kind: str, subject: str, body: dict[str, object], told: str
) -> None:
    assert record_fault(kind, subject, body) == told
