"""Two people changed parts of one build, or adjusters of one rig, apart from each other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs.flown import flown
from library.kit import entries, fork

from riglog.errors import CallError
from riglog.jobs.predict import predict
from riglog.jobs.settle import settle_fork
from riglog.library import joining
from riglog.library.settling import Choice
from riglog.wording import say, tell

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.library import Library
    from riglog.logbook import Entry

Part = dict[str, Any]
JOIN = Choice(join=True)


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with flown(tmp_path) as opened:
        yield opened


def parts(library: Library) -> dict[str, Part]:
    """Parts of the newest version of the build, by what they are called."""
    (head,) = library.logbook.heads("build", "a-cam")
    return {part.get("name") or part["component"]: part for part in head.body["parts"]}


def moved(part: Part, **changes: Any) -> Part:
    return {**part, **changes}


def swapped(was: dict[str, Part], old: str, new: str) -> dict[str, Part]:
    """The parts with a lens exchanged, and what sat on it moved to the new one."""
    found = {}
    for name, part in was.items():
        each = moved(part, on=part["on"].replace(f"{old}.", f"{new}."))
        found[new if name == old else name] = moved(each, component=new) if name == old else each
    return found


def forked(library: Library, *people: dict[str, Part]) -> list[Entry]:
    """Versions by several people, each with the parts that it has."""
    return fork(library.path, "build", "a-cam", *({"parts": [*each.values()]} for each in people))


def at(head: Entry) -> str:
    return f"2.{head.id[:4]}"


def fields(library: Library) -> dict[str, tuple[str, ...]]:
    return {each.field: each.changed for each in settle_fork(library, "a-cam", Choice()).fields}


def test_a_lens_exchanged_by_one_and_a_battery_moved_by_another_both_count(
    library: Library,
) -> None:
    was = parts(library)
    lens = swapped(was, "lens-35", "lens-75")
    battery = was | {"block-battery": moved(was["block-battery"], offset=[-0.12, 0, 0])}
    heads = forked(library, lens, battery)
    assert fields(library) == {
        "parts.lens-35": (at(heads[0]),),
        "parts.lens-75": (at(heads[0]),),
        "parts.hood.on": (at(heads[0]),),
        "parts.block-battery.offset": (at(heads[1]),),
    }
    settle_fork(library, "a-cam", JOIN)
    assert parts(library) == lens | {"block-battery": battery["block-battery"]}
    (head,) = library.logbook.heads("build", "a-cam")
    assert set(head.parents) == {each.id for each in heads}
    assert predict(library, "a-cam").mass_kg > 0


def test_of_one_part_each_changed_another_thing(library: Library) -> None:
    was = parts(library)["screen"]
    turned = moved(was, turn={"about": "z", "by": 1.5})
    one, other = ({**parts(library), "screen": each} for each in (moved(was, sd=0.002), turned))
    forked(library, one, other)
    settle_fork(library, "a-cam", JOIN)
    assert parts(library)["screen"] == moved(turned, sd=0.002)


def test_what_both_changed_of_a_part_is_asked_for_by_its_name(library: Library) -> None:
    was = parts(library)
    one, other = (
        was | {"screen": moved(was["screen"], offset=[x, 0, 0]), "hood": moved(was["hood"], sd=x)}
        for x in (0.17, 0.19)
    )
    heads = forked(library, one, other)
    before = entries(library.path)
    with pytest.raises(CallError) as refused:
        settle_fork(library, "a-cam", JOIN)
    first = at(heads[0])
    assert refused.value.message == "both changed parts.hood.sd and parts.screen.offset"
    assert refused.value.hint == (
        f"say whose counts, as --field parts.hood.sd={first} --field parts.screen.offset={first}"
    )
    assert entries(library.path) == before
    chosen = {"parts.hood.sd": at(heads[1]), "parts.screen.offset": first}
    settle_fork(library, "a-cam", Choice(join=True, fields=chosen))
    assert (parts(library)["screen"], parts(library)["hood"]) == (one["screen"], other["hood"])


def test_what_both_changed_may_all_be_taken_from_one_of_them(library: Library) -> None:
    was = parts(library)
    one, other = (was | {"screen": moved(was["screen"], offset=[x, 0, 0])} for x in (0.17, 0.19))
    battery = moved(was["block-battery"], offset=[-0.12, 0, 0])
    heads = forked(library, one | {"block-battery": battery}, other)
    settle_fork(library, "a-cam", Choice(take=at(heads[1]), join=True))
    assert parts(library) == other | {"block-battery": battery}


def test_two_lenses_for_one_are_no_two_lenses_on_one_mount(library: Library) -> None:
    was = parts(library)
    one, other = (swapped(was, "lens-35", each) for each in ("lens-75", "zoom"))
    heads = forked(library, one, other)
    both = (at(heads[0]), at(heads[1]))
    assert fields(library) == {"parts.lens-75": both, "parts.zoom": both, "parts.hood.on": both}
    with pytest.raises(CallError, match=r"parts\.lens-75, parts\.hood\.on and parts\.zoom"):
        settle_fork(library, "a-cam", JOIN)
    settle_fork(library, "a-cam", Choice(join=True, fields={"parts": at(heads[1])}))
    assert parts(library) == other


def test_parts_put_beside_each_other_on_one_mount_both_stay(library: Library) -> None:
    was = parts(library)
    more = [{"component": "nd-9", "on": "base", "offset": [0.01, 0, 0]},
            {"component": "lens-new", "on": "base", "offset": [-0.05, 0, 0]}]  # fmt: skip
    forked(library, *(was | {each["component"]: each} for each in more))
    settle_fork(library, "a-cam", JOIN)
    assert parts(library) == was | {each["component"]: each for each in more}


def test_two_parts_put_at_the_very_same_place_are_asked_about(library: Library) -> None:
    was = parts(library)
    more = [{"component": each, "on": "base"} for each in ("nd-9", "lens-new")]
    heads = forked(library, *(was | {each["component"]: each} for each in more))
    both = (at(heads[0]), at(heads[1]))
    assert fields(library) == {"parts.nd-9": both, "parts.lens-new": both}


def test_what_one_took_off_and_another_moved_is_asked_about(library: Library) -> None:
    was = parts(library)
    gone = {name: part for name, part in was.items() if name != "screen"}
    heads = forked(library, gone, was | {"screen": moved(was["screen"], offset=[0.2, 0, 0])})
    assert fields(library) == {"parts.screen": (at(heads[0]), at(heads[1]))}
    settle_fork(library, "a-cam", Choice(join=True, fields={"parts.screen": at(heads[0])}))
    assert parts(library) == gone


def test_nothing_is_left_in_the_air(library: Library) -> None:
    was = parts(library)
    bare = {name: part for name, part in was.items() if name not in {"lens-35", "hood"}}
    filtered = was | {"nd-9": {"component": "nd-9", "on": "lens-35.front"}}
    heads = forked(library, bare, filtered)
    before = entries(library.path)
    with pytest.raises(CallError) as refused:
        settle_fork(library, "a-cam", JOIN)
    assert refused.value.message.endswith("nd-9 sits on lens-35, which is not there")
    ways = f"--field parts.lens-35={at(heads[1])}, or --field parts.nd-9={at(heads[0])}"
    assert refused.value.hint == f"say whose counts, as {ways}"
    assert entries(library.path) == before
    settle_fork(library, "a-cam", Choice(join=True, fields={"parts.nd-9": at(heads[0])}))
    assert parts(library) == bare


def test_what_hangs_on_a_mount_that_the_new_lens_lacks_is_refused(library: Library) -> None:
    off = {name: part for name, part in parts(library).items() if name != "hood"}
    bare = off | {"lens-35": moved(off["lens-35"], component="lens-bare", name="lens-35")}
    filtered = off | {"nd-9": {"component": "nd-9", "on": "lens-35.front"}}
    forked(library, bare, filtered)
    before = entries(library.path)
    with pytest.raises(CallError) as refused:
        settle_fork(library, "a-cam", JOIN)
    where = "what was chosen does not go together: a-cam parts.nd-9.on"
    assert refused.value.message == f"{where}: there is no mount lens-35.front"
    assert refused.value.hint == "lens-bare has no mounts"
    assert entries(library.path) == before


def test_parts_that_would_sit_on_each_other_are_refused(library: Library) -> None:
    plate = {"component": "plate", "on": "stage"}
    was = parts(library) | {"plate": plate}
    forked(library, was)
    (base,) = library.logbook.heads("build", "a-cam")
    assert base.body["parts"] == [*was.values()]
    body = was["body-north"]
    forked(
        library,
        was | {"body-north": moved(body, on="plate.top")},
        was | {"plate": moved(plate, on="body-north.top")},
    )
    with pytest.raises(CallError, match="it sits on itself: body-north on plate on body-north"):
        settle_fork(library, "a-cam", JOIN)


def test_a_part_that_both_put_on_counts_as_changed_by_both(library: Library) -> None:
    was = parts(library)
    one = {"component": "nd-9", "on": "lens-35.front"}
    heads = forked(library, was | {"nd-9": one}, was | {"nd-9": moved(one, offset=[0.01, 0, 0])})
    assert fields(library) == {"parts.nd-9.offset": (at(heads[0]), at(heads[1]))}


def test_adjusters_of_a_rig_are_settled_one_by_one(library: Library) -> None:
    (rig,) = library.logbook.heads("rig", "post-one")
    pivot, *others = rig.body["adjusters"]
    longer = {"adjusters": [{**pivot, "travel": [0.3, 0.6]}, *others]}
    finer = {"adjusters": [pivot, {**others[0], "step": 0.0005}, *others[1:]]}
    fork(library.path, "rig", "post-one", longer, finer)
    settle_fork(library, "post-one", JOIN)
    (head,) = library.logbook.heads("rig", "post-one")
    assert head.body["adjusters"] == [*longer["adjusters"][:1], *finer["adjusters"][1:]]


def test_the_page_and_the_object_tell_each_part(library: Library) -> None:
    was = parts(library)
    lens = swapped(was, "lens-35", "lens-75")
    heads = forked(library, lens, was | {"screen": moved(was["screen"], offset=[0.2, 0, 0])})
    answer = settle_fork(library, "a-cam", Choice())
    page = say(answer)
    assert "parts.lens-75, changed in @" in page
    assert "  on body-north.lens\n" in page
    assert f"parts.screen.offset, changed in @{at(heads[1])}" in page
    assert f"* @{at(heads[1])}" not in page
    assert f"  @{at(heads[1])}  200 mm, 0 mm, 0 mm\n" in page
    told = {each["field"]: each["values"] for each in tell(answer)["fields"]}
    assert told["parts.hood.on"] == ["lens-75.front", "lens-35.front"]
    assert told["parts.lens-75"] == [{"component": "lens-75", "on": "body-north.lens"}, None]


names = st.lists(st.sampled_from(["a", "b", "c", "d", "e"]), unique=True, max_size=5)
offsets = st.integers(0, 3).map(lambda x: [x / 100, 0, 0])
bodies = st.builds(
    lambda found, offset, tags: {
        "parts": [{"component": name, "on": "base", "offset": at} for name, at in found],
        "settings": {"pivot": offset},
        "tags": tags,
    },
    names.flatmap(lambda found: st.tuples(*(st.tuples(st.just(n), offsets) for n in found))),
    st.integers(0, 3),
    st.lists(st.sampled_from(["x", "y"])),
)


@given(bodies, st.lists(bodies, min_size=1, max_size=3))
def test_whatever_is_taken_apart_goes_together_again(
    body: dict[str, Any], others: list[dict[str, Any]]
) -> None:
    whole = joining.not_in_all([body, *others])
    again = joining.folded(joining.flat(body, whole))
    assert again == {key: said for key, said in body.items() if said or key != "parts"}
