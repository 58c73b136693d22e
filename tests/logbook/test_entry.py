from __future__ import annotations

import hashlib
import json
from datetime import datetime
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st
from logbook.kit import AT, component, draft

from riglog.logbook import Draft, Entry, now

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
NUMBERS = (
    st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(-(2.0**53), 2.0**53)  # beyond, a whole number comes back as another one
    | st.booleans()
    | st.none()
)
BODIES = st.dictionaries(
    TEXTS,
    st.recursive(
        TEXTS | NUMBERS,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
        max_leaves=8,
    ),
    max_size=4,
)
IDS = st.lists(st.text("0123456789abcdef", min_size=64, max_size=64), max_size=3)


def test_the_id_of_a_known_entry_never_changes() -> None:
    """If this fails, the file format changed: every library in the field would be refused."""
    body = {
        "id": "lens-35",
        "kind": "lens",
        "mass": 1.12,
        "size": [0.12, 0.095, 0.095],
        "mounts": {"front": {"at": [0.118, 0.0, 0.0]}},
        "note": 'weich, "soft"\tβ',
    }
    known = Draft(
        kind="component",
        subject="lens-35",
        at="2026-03-14T09:10:00.125+01:00",
        author="north",
        parents=("ab" * 32, "0" * 64),
        body=body,
    )
    expected = "432384e7379d8fc909bf32ac097685f27db2167d9f7a96c5f8b476f0601e4170"
    assert known.envelope.id == expected


@given(TEXTS, TEXTS, TEXTS, IDS, BODIES)
def test_an_id_is_the_hash_of_the_whole_envelope_as_canonical_json(
    kind: str, subject: str, author: str, parents: list[str], body: dict[str, Any]
) -> None:
    made = Draft(
        kind=kind, subject=subject, at=AT, author=author, parents=tuple(parents), body=body
    )
    whole: dict[str, Any] = {
        "kind": kind,
        "subject": subject,
        "at": AT,
        "author": author,
        "parents": sorted(set(parents)),
        "body": body,
    }
    assert made.envelope.id == hashlib.sha256(rfc8785.dumps(whole)).hexdigest()


def test_order_of_keys_and_parents_and_the_way_a_number_is_written_change_no_id() -> None:
    one = draft("rig", "r", json.loads('{"a": 1, "b": [2.50]}'), "1" * 64, "2" * 64)
    other = draft("rig", "r", json.loads('{"b": [25e-1], "a": 1.0}'), "2" * 64, "1" * 64, "1" * 64)
    assert one.envelope == other.envelope


@pytest.mark.parametrize("column", ["kind", "subject", "at", "author", "parents", "body"])
def test_a_change_in_any_column_changes_the_id(column: str) -> None:
    envelope = component("lens-35", mass=1.12).envelope
    changed = envelope._replace(**{column: getattr(envelope, column).replace("0", "1") + " "})
    assert changed.id != envelope.id


@pytest.mark.parametrize(
    "at", ["2026-03-14", "2026-03-14T09:10:00", "2026-03-14 09:10:00Z", "yesterday", AT + "x"]
)
def test_a_time_without_an_offset_is_refused(at: str) -> None:
    with pytest.raises(ValueError, match="RFC 3339"):
        draft("rig", "r", {}, at=at)


def test_a_parent_that_is_no_id_is_refused() -> None:
    with pytest.raises(ValueError, match="not the id of an entry: 'ab12'"):
        draft("rig", "r", {}, "ab12")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**60, "\ud800", {1: 2}])
def test_a_value_that_json_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r".+"):
        draft("rig", "r", {"x": value}).envelope  # noqa: B018 - made when asked for


@given(BODIES)
def test_a_body_survives_its_canonical_form(body: dict[str, Any]) -> None:
    envelope = draft("rig", "r", body).envelope
    assert Entry.of(1, envelope.id, envelope).body == body


def test_now_is_this_moment_with_its_offset() -> None:
    before = datetime.now().astimezone()
    moment = datetime.fromisoformat(now())
    assert moment.tzinfo is not None
    assert abs((moment - before).total_seconds()) < 60
    draft("rig", "r", {}, at=now())
