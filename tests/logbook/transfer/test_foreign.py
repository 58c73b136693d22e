"""What comes from elsewhere is held against RFC 8785, of which ``rfc8785`` is the oracle."""

from __future__ import annotations

import json
from typing import Any

import pytest
import rfc8785
from hypothesis import example, given
from hypothesis import strategies as st
from logbook.carried import any_record
from logbook.kit import component

from riglog.logbook.entry import Envelope
from riglog.logbook.transfer.foreign import needs

NUMBERS = st.one_of(
    st.integers(-(2**53), 2**53).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.floats(allow_nan=False, allow_infinity=False).map(lambda x: rfc8785.dumps(x).decode()),
    st.from_regex(r"-?(0|[1-9][0-9]{0,20})(\.[0-9]{1,3})?([eE][+-]?[0-9]{1,2})?", fullmatch=True),
)
TEXTS = st.text("aé1e+-.0,]}:\U0001f600\uff5e", max_size=6).map(
    lambda text: rfc8785.dumps(text).decode()
)
LEAVES = NUMBERS | TEXTS | st.sampled_from(["null", "true", "[]", "{}"])
# Written as they come: sorted or not, each key once or twice.
OBJECTS = st.lists(st.tuples(TEXTS, LEAVES), max_size=4).map(
    lambda found: "{" + ",".join(f"{key}:{value}" for key, value in found) + "}"
)


def is_taken(body: str) -> bool:
    first = component("lens-35").envelope
    envelope = Envelope(first.kind, first.subject, first.at, first.author, "[]", body)
    try:
        return needs(envelope.id, envelope, any_record) == ()
    except ValueError as error:
        return "canonical" not in str(error)


@given(OBJECTS)
@example('{"a":1e21}')
@example('{"a":1e-7}')
@example('{"a":1e-07}')
@example('{"a":1e+21}')
@example('{"a":0.00001}')
@example('{"a":100.0}')
@example('{"a":9007199254740993}')
@example('{"a":"1.0,"}')
@example('{"a":-0}')
@example('{"\uff5e":1,"\U0001f600":2}')
def test_a_body_is_taken_exactly_if_it_is_in_canonical_form(body: str) -> None:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        assert len(dict(pairs)) == len(pairs)
        return dict(pairs)

    try:
        canonical = rfc8785.dumps(json.loads(body, object_pairs_hook=once)).decode() == body
    except (AssertionError, rfc8785.CanonicalizationError):
        canonical = False
    assert is_taken(body) is canonical


@pytest.mark.parametrize("parents", ['["x"', "7", "[" * 99_999, f'["{"a" * 64}","{"a" * 64}"]'])
def test_parents_are_ids_of_entries_each_once(parents: str) -> None:
    first = component("lens-35").envelope
    envelope = first._replace(parents=parents)
    with pytest.raises(ValueError, match=r"parents|delimiter|nested"):
        needs(envelope.id, envelope, any_record)
