"""How two builds differ, change by change, and the build in between with some of them made."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple

from riglog.jobs.diff_answers import Difference

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from riglog.estimation.kit import Hung
    from riglog.records import Build, Component, Part


class Step(NamedTuple):
    """A change from one build to the other, and the places of those that have to come with it."""

    difference: Difference
    needs: tuple[int, ...] = ()


def steps(old: Hung, new: Hung, component: Callable[[str], Component]) -> list[Step]:
    """Every change that the balance can feel, in the order in which hands would make them."""
    named = _renamed(old.build, new.build)
    found = [*_parts(old.build, new.build, named), *_rest(old, new, named)]
    return [Step(each, _needs(each, found, component)) for each in found]


def _renamed(old: Build, new: Build) -> dict[str, str]:
    """Parts of both, by name; one that sits where another sat took its place."""
    both = {part.id for part in old.parts} & {part.id for part in new.parts}
    named = {name: name for name in both if _kind(old, name) == _kind(new, name)}
    while pair := _replacement(old, new, named):
        named[pair[0]] = pair[1]
    return named


def _kind(build: Build, name: str) -> str:
    return build.part(name).component


def _replacement(old: Build, new: Build, named: Mapping[str, str]) -> tuple[str, str] | None:
    taken = set(named.values())
    for part in old.parts:
        if part.id in named:
            continue
        for other in new.parts:
            if other.id not in taken and _is_like(part, other, named):
                return part.id, other.id
    return None


def _place(part: Part, named: Mapping[str, str]) -> Part:
    """Where and how something sits, its owner called as in the other build, whatever it is."""
    return replace(part, component="", name=None, on=_on(part.on, named))


def _is_like(part: Part, other: Part, named: Mapping[str, str]) -> bool:
    """Whether both sit alike, however well each place is known."""
    return replace(_place(part, named), sd=None) == replace(_place(other, {}), sd=None)


def _on(on: str, named: Mapping[str, str]) -> str:
    owner, dot, mount = on.rpartition(".")
    return f"{named.get(owner, owner)}{dot}{mount}"


def _parts(old: Build, new: Build, named: Mapping[str, str]) -> Iterator[Difference]:
    for part in old.parts:
        if part.id not in named:
            yield Difference("remove", part.id, part, None)
            continue
        other = new.part(named[part.id])
        if part.component != other.component or part.id != other.id:
            yield Difference("swap", part.id, part, other)
        if _place(part, named) != _place(other, {}):
            yield Difference("move", part.id, part, other)
    there = set(named.values())
    yield from (Difference("add", p.id, None, p) for p in new.parts if p.id not in there)


def _rest(old: Hung, new: Hung, named: Mapping[str, str]) -> Iterator[Difference]:
    """Settings and states of what is in both, what the head does, and which way up it hangs."""
    for do, one, other in (
        ("set", old.settings, new.settings),
        ("state", old.build.states, new.build.states),
    ):
        mine = {_setting(name, named): value for name, value in one.items()}
        for name in dict.fromkeys([*mine, *other]):
            if mine.get(name) != other.get(name) and _of_both(name, do, named):
                yield Difference(do, name, mine.get(name), other.get(name))
    if old.build.head != new.build.head:
        yield Difference("head", "head", old.build.head, new.build.head)
    if old.build.mode != new.build.mode:
        yield Difference("mode", "mode", old.build.mode, new.build.mode)


def _setting(name: str, named: Mapping[str, str]) -> str:
    part, dot, adjuster = name.rpartition(".")
    if dot:
        return f"{named.get(part, part)}.{adjuster}"
    return named.get(name, name)


def _of_both(name: str, do: str, named: Mapping[str, str]) -> bool:
    """Whether a setting or state goes along with no part that comes, goes or is exchanged."""
    part, dot, _ = name.rpartition(".")
    kept = {one for one, other in named.items() if one == other}
    return (part in kept) if dot else (do == "set" or name in kept)


def _needs(
    each: Difference,
    all_: Sequence[Difference],
    component: Callable[[str], Component],
) -> tuple[int, ...]:
    """Changes without which this one would leave something in the air."""
    return tuple(
        place
        for place, other in enumerate(all_)
        if other is not each and _needed(each, other, component)
    )


def _needed(each: Difference, other: Difference, component: Callable[[str], Component]) -> bool:
    if each.do in {"add", "move"}:
        owner, _, mount = each.new.on.rpartition(".")
        if other.do == "add":
            return bool(other.new.id == owner)
        return bool(
            other.do == "swap"
            and other.new.id == owner
            and mount not in component(other.old.component).mounts
        )
    if each.do in {"remove", "swap"} and other.do in {"remove", "move"}:
        owner, _, mount = other.old.on.rpartition(".")
        if owner != each.what:
            return False
        return each.do == "remove" or mount not in component(each.new.component).mounts
    return False


def made(old: Hung, new: Hung, done: Iterable[Difference]) -> Hung:
    """The old build with some of the changes made.

    Raises
    ------
    KeyError
        If a part would sit on one that is not there.
    """
    chosen = list(done)
    swaps = {each.what: each.new for each in chosen if each.do == "swap"}
    called = {name: part.id for name, part in swaps.items()}
    back = {each.new.id: each.what for each in _swapped(old, new) if each.what not in swaps}
    moves = {each.what: each.new for each in chosen if each.do == "move"}
    gone = {each.what for each in chosen if each.do == "remove"}
    parts = [
        _part(part, swaps.get(part.id), moves.get(part.id), called, back)
        for part in old.build.parts
        if part.id not in gone
    ]
    parts += [replace(each.new, on=_on(each.new.on, back)) for each in chosen if each.do == "add"]
    build = replace(old.build, parts=tuple(parts))
    for each in chosen:
        if each.do == "head":
            build = replace(build, head=each.new)
        elif each.do == "mode":
            build = replace(build, mode=each.new)
    build = replace(
        build, states=_values("state", old.build.states, new.build.states, chosen, gone)
    )
    settings = _values("set", old.settings, new.settings, chosen, gone)
    return old._replace(build=build, settings=settings)


def _swapped(old: Hung, new: Hung) -> list[Difference]:
    named = _renamed(old.build, new.build)
    return [each for each in _parts(old.build, new.build, named) if each.do == "swap"]


def _part(
    part: Part,
    swap: Part | None,
    move: Part | None,
    called: Mapping[str, str],
    back: Mapping[str, str],
) -> Part:
    if move is not None:
        part = replace(move, component=part.component, name=part.name, on=_on(move.on, back))
    else:
        part = replace(part, on=_on(part.on, called))
    return part if swap is None else replace(part, component=swap.component, name=swap.name)


def _values(
    do: str,
    old: Mapping[str, Any],
    new: Mapping[str, Any],
    chosen: Sequence[Difference],
    gone: Iterable[str],
) -> dict[str, Any]:
    """Settings or states: those of parts that come or are exchanged are as in the new build."""
    off = {*gone, *(each.what for each in chosen if each.do == "swap")}
    come = {each.new.id for each in chosen if each.do in {"swap", "add"}}
    found = {name: value for name, value in old.items() if _owner(name, do) not in off}
    found |= {name: value for name, value in new.items() if _owner(name, do) in come}
    for each in chosen:
        if each.do == do and each.new is None:
            found.pop(each.what, None)
        elif each.do == do:
            found[each.what] = each.new
    return found


def _owner(name: str, do: str) -> str:
    return name if do == "state" else name.rpartition(".")[0]


def closure(all_: Sequence[Step], place: int) -> list[int]:
    """All that has to come with one step, itself left out, in the order of the steps."""
    found: set[int] = set()
    waiting = list(all_[place].needs)
    while waiting:
        each = waiting.pop()
        if each != place and each not in found:
            found.add(each)
            waiting.extend(all_[each].needs)
    return sorted(found)
