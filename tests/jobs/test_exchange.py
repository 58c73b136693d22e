"""What an exchange of parts does to the tree of a build. Pure: nouns in, nouns out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.jobs.exchange import (
    Change,
    Exchanged,
    above,
    exchange,
    parse_change,
    part_named,
)
from riglog.records import Build, Component, Mount, Part, Turn

if TYPE_CHECKING:
    from collections.abc import Sequence

AT = Mount(at=(0.1, 0.0, 0.0))
KNOWN = {
    "body": ("lens", "top"),
    "body-2": ("lens", "top"),
    "body-bare": (),
    "lens-35": ("front",),
    "lens-75": ("front",),
    "lens-bare": (),
    "hood": ("ear",),
    "flag": (),
    "nd": (),
    "battery": (),
    "battery-2": (),
}
TURN = Turn(about="z", by=0.3)
BUILD = Build(
    id="a-cam",
    rig="post-one",
    parts=(
        Part(component="hood", on="lens-35.front"),
        Part(component="body", on="stage", turn=TURN),
        Part(component="lens-35", on="body.lens", offset=(0.0, 0.001, 0.0), sd=0.002),
        Part(component="battery", on="base", offset=(-0.15, 0.0, 0.0), name="power"),
        Part(component="flag", on="hood.ear"),
    ),
    settings={"pivot": 0.487, "body.run": 0.01, "body-2.run": 0.02},
    states={"lens-35": "wide"},
)


def component(name: str) -> Component:
    return Component(id=name, mounts=dict.fromkeys(KNOWN[name], AT))


def after(*texts: str, build: Build = BUILD) -> Exchanged:
    return exchange(build, [parse_change(text) for text in texts], component)


def sits(build: Build) -> dict[str, str]:
    return {part.id: part.on for part in build.parts}


def test_the_new_part_takes_the_place_the_offset_and_the_turn_of_the_old() -> None:
    done = after("lens-35=lens-75").build.part("lens-75")
    assert done == Part(component="lens-75", on="body.lens", offset=(0.0, 0.001, 0.0), sd=0.002)
    assert after("body=body-2").build.part("body-2").turn == TURN


def test_what_sat_on_the_old_part_sits_on_the_new_one() -> None:
    done = after("lens-35=lens-75")
    assert sits(done.build)["hood"] == "lens-75.front"
    assert done.off == ("flag", "hood", "lens-35")
    assert done.fitted == ("lens-75", "hood", "flag")


def test_the_name_and_the_state_of_the_old_part_go_with_it() -> None:
    assert "power" not in sits(after("power=battery-2").build)
    assert after("power=battery-2").build.part("battery-2").name is None
    assert after("lens-35=lens-75").build.states == {}
    assert after("power=battery-2").build.states == {"lens-35": "wide"}


def test_settings_of_the_old_parts_own_adjusters_go_with_it_and_no_others() -> None:
    assert after("body=body-2").build.settings == {"pivot": 0.487, "body-2.run": 0.02}
    assert after("power=").build.settings == BUILD.settings


def test_a_part_can_be_put_elsewhere_while_it_is_exchanged() -> None:
    done = after("lens-35=lens-75@body.top").build
    assert done.part("lens-75") == Part(component="lens-75", on="body.top")
    assert sits(done)["hood"] == "lens-75.front"


def test_a_part_can_be_added_to_a_mount_of_the_rig_or_of_a_part() -> None:
    done = after("=nd@body.top", "=battery-2@base")
    assert sits(done.build)["nd"] == "body.top"
    assert sits(done.build)["battery-2"] == "base"
    assert (done.off, done.fitted) == ((), ("nd", "battery-2"))


def test_a_mount_is_known_by_part_of_its_owners_name() -> None:
    assert sits(after("=nd@35.front").build)["nd"] == "lens-35.front"


def test_a_part_that_carries_nothing_is_taken_off() -> None:
    done = after("power=")
    assert "power" not in sits(done.build)
    assert (done.off, done.fitted) == (("power",), ())


def test_what_carries_something_comes_off_only_with_it() -> None:
    with pytest.raises(CallError, match="hood and flag would be left without lens-35") as refused:
        after("lens-35=")
    assert refused.value.hint == "take them off too (hood= flag=), or move elsewhere"
    done = after("lens-35=", "flag=", "hood=")
    assert set(sits(done.build)) == {"body", "power"}
    assert done.off == ("flag", "hood", "lens-35")


def test_what_only_comes_off_comes_off_first_whatever_the_order_of_the_words() -> None:
    one, other = (
        after(*texts)
        for texts in (
            ["lens-35=lens-bare", "hood=", "flag="],
            ["flag=", "hood=", "lens-35=lens-bare"],
        )
    )
    assert one.build == other.build
    assert set(sits(one.build)) == {"body", "power", "lens-bare"}


def test_a_part_that_was_just_added_can_carry_the_next() -> None:
    done = after("=lens-75@body.top", "=nd@lens-75.front")
    assert sits(done.build)["nd"] == "lens-75.front"


def test_parts_left_without_a_mount_of_that_name_are_named() -> None:
    with pytest.raises(CallError) as refused:
        after("lens-35=lens-bare")
    assert str(refused.value) == (
        "lens-bare has no mount front for hood;"
        " take it off (hood=), or add it to the document of lens-bare"
    )


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        (["lens-35"], '"lens-35" is no exchange'),
        (["="], '"=" is no exchange'),
        (["lens-35=@stage"], "is no exchange"),
        (["=nd@"], "is no exchange"),
        (["=nd"], "does not say where it goes"),
        (["lens-99=lens-75"], 'a-cam has no part "lens-99"'),
        (["o=nd"], "could be hood, body or power"),
        (["=hood@body.top"], "hood is on a-cam already"),
        (["=power@base"], "power is on a-cam already"),
        (["lens-35=lens-35"], "lens-35 is on a-cam already"),
        (["lens-35=hood"], "hood is on a-cam already"),
        (["lens-35=lens-75", "lens-35=lens-bare"], "lens-35 is exchanged twice"),
        (["power=", "power=battery-2"], "power is exchanged twice"),
        (["=nd@body.bottom"], 'body has no mount "bottom"'),
        (["=nd@flag.top"], 'flag has no mount "top"'),
        (["lens-35=lens-75@lens-35.front"], "lens-75 cannot go on lens-35, which comes off"),
        (["body=body-2@hood.ear"], "body-2 cannot go on hood, which sits on body"),
        (["=\x1b[31m"], r'"=\\x1b\[31m" does not say where it goes'),
    ],
)
def test_an_exchange_that_cannot_be_is_refused(texts: list[str], says: str) -> None:
    with pytest.raises(CallError, match=says) as refused:
        _understood(texts)
    assert refused.value.status == 2
    assert refused.value.hint


def _understood(texts: list[str]) -> Exchanged:
    """The exchange by exact ids, as a swap asks for it."""
    changes = [parse_change(text) for text in texts]
    exact = [
        each._replace(old=part_named(BUILD, each.old)) if each.old else each for each in changes
    ]
    return exchange(BUILD, exact, component)


def test_the_build_itself_is_left_as_it_was() -> None:
    before = replace(BUILD)
    after("lens-35=lens-75", "power=", "=nd@body.top")
    assert before == BUILD


REPLACEABLE = {"lens-35": "lens-75", "power": "battery-2", "body": "body-2"}


@given(st.sets(st.sampled_from(sorted(REPLACEABLE)), min_size=1), st.randoms())
def test_there_and_back_again_is_the_same_build(old: set[str], random: object) -> None:
    names = sorted(old)
    random.shuffle(names)  # type: ignore[attr-defined]
    build = replace(BUILD, states={}, settings={"pivot": 0.487})
    build = replace(build, parts=tuple(replace(part, name=None) for part in build.parts))
    there = [Change({"power": "battery"}.get(name, name), REPLACEABLE[name]) for name in names]
    back = [Change(change.new, change.old) for change in reversed(there)]
    assert exchange(exchange(build, there, component).build, back, component).build == build


@given(st.permutations(["hood=", "flag=", "lens-35=lens-75", "power=", "=nd@body.top"]))
def test_changes_apart_from_each_other_commute(texts: Sequence[str]) -> None:
    done = after(*texts)
    assert sits(done.build) == {"body": "stage", "lens-75": "body.lens", "nd": "body.top"}
    assert set(done.off) == {"hood", "flag", "lens-35", "power"}
    assert set(done.fitted) == {"lens-75", "nd"}


def owners(build: Build) -> dict[str, str]:
    return {part.id: part.on.rpartition(".")[0] for part in build.parts}


@given(st.permutations(["body=body-2", "lens-35=lens-75", "flag=", "power=battery-2"]))
def test_only_what_was_on_comes_off_and_what_carries_goes_on_before_its_load(
    texts: Sequence[str],
) -> None:
    done = after(*texts)
    assert set(done.off) == {"body", "lens-35", "hood", "flag", "power"}
    assert set(done.fitted) == {"body-2", "lens-75", "hood", "battery-2"}
    was, now = owners(BUILD), owners(done.build)
    for place, name in enumerate(done.off):
        assert was[name] not in done.off[:place]
    for place, name in enumerate(done.fitted):
        assert now[name] not in done.fitted[place:]


def test_above_a_part_is_all_that_it_carries_nearest_first() -> None:
    assert above(BUILD, "body") == ["lens-35", "hood", "flag"]
    assert above(BUILD, "power") == []
