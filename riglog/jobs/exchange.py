"""Exchanges of parts: what `OLD=NEW` does to the tree of a build."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from riglog.errors import CallError, listed, nearest, quoted
from riglog.records import Build, Component, Part

Lookup = Callable[[str], Component]


class Change(NamedTuple):
    """One exchange, by ids: what goes, what comes, and the mount that it goes on if one is named.

    ``old`` None adds, ``new`` None removes.
    """

    old: str | None
    new: str | None
    on: str | None = None


class Exchanged(NamedTuple):
    """The build after it, what came off and what went on, each with what sits on it.

    ``over`` says that the rig is turned over. ``hung`` holds parts that are hung by a mount of
    their own then, or by their base (""), ``turned`` parts that are turned where they sit [rad].
    """

    build: Build
    off: tuple[str, ...]
    fitted: tuple[str, ...]
    over: bool = False
    hung: Mapping[str, str] = MappingProxyType({})
    turned: Mapping[str, float] = MappingProxyType({})


def parse_change(text: str) -> Change:
    """`OLD=NEW`, `OLD=NEW@MOUNT`, `=NEW@MOUNT` or `OLD=`.

    Raises
    ------
    CallError
        If the text is none of these.

    Examples
    --------
    >>> parse_change("lens-35=lens-75")
    Change(old='lens-35', new='lens-75', on=None)
    >>> parse_change("=nd-9@lens-75.front")
    Change(old=None, new='nd-9', on='lens-75.front')
    """
    old, sign, rest = text.partition("=")
    new, at, on = rest.partition("@")
    if not sign or not (old or new) or (at and not on) or (on and not new):
        raise CallError(
            f"{quoted(text)} is no exchange",
            hint="write OLD=NEW, OLD=NEW@MOUNT, =NEW@MOUNT to add, or OLD= to remove",
        )
    if not old and not on:
        raise CallError(f"{quoted(text)} does not say where it goes", hint=f"write ={new}@MOUNT")
    return Change(old or None, new or None, on or None)


def part_named(build: Build, words: str) -> str:
    """The part that a person means: by its name, or an unambiguous part of it.

    Raises
    ------
    CallError
        If there is none, or several.
    """
    names = [part.id for part in build.parts]
    if words in names:
        return words
    fits = [name for name in names if words in name]
    if len(fits) == 1:
        return fits[0]
    if fits:
        raise CallError(f"{quoted(words)} could be {listed(fits)}", hint="write it in full")
    near = nearest(words, names)
    hint = f"did you mean {near}?" if near else f"its parts are {listed(names, 'and')}"
    raise CallError(f"{build.id} has no part {quoted(words)}", hint=hint)


def exchange(build: Build, changes: Sequence[Change], component: Lookup) -> Exchanged:
    """The build after all the changes: what only comes off first, the rest in its order.

    Raises
    ------
    CallError
        If a part is not there, is there already, or something would be left hanging in the air.
    """
    _refuse_repeated(changes)
    gone = {change.old for change in changes if change.old and not change.new}
    was, off, fitted = build, [], []
    for change in sorted(changes, key=lambda change: change.new is not None):
        off += _taken(build, change)
        build = _changed(build, change, gone, component)
        fitted += _given(build, change)
    return Exchanged(build, coming_off(was, off), going_on(build, fitted))


def going_on(build: Build, names: Iterable[str]) -> tuple[str, ...]:
    """Those of them that the build has, each once and after what it sits on."""
    there = [part.id for part in build.parts]
    waiting = [name for name in dict.fromkeys(names) if name in there]
    ordered: list[str] = []

    def put(name: str) -> None:
        owner = build.part(name).on.rpartition(".")[0]
        if owner in waiting:
            put(owner)
        if name not in ordered:
            ordered.append(name)

    for name in waiting:
        put(name)
    return tuple(ordered)


def coming_off(build: Build, names: Sequence[str]) -> tuple[str, ...]:
    """Those of them that the build has, each once and before what it sits on."""
    return going_on(build, reversed(list(dict.fromkeys(names))))[::-1]


def _refuse_repeated(changes: Sequence[Change]) -> None:
    names = [change.old for change in changes if change.old]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice:
        raise CallError(f"{twice} is exchanged twice", hint="say once what becomes of it")


def above(build: Build, name: str) -> list[str]:
    """Parts that sit on a part, and on those, nearest first."""
    found = [part.id for part in build.parts if part.on.rpartition(".")[0] == name]
    return found + [other for each in found for other in above(build, each)]


def _taken(build: Build, change: Change) -> list[str]:
    """What comes off, the outermost first."""
    if change.old is None:
        return []
    build.part(change.old)
    return [*reversed(above(build, change.old)), change.old]


def _given(build: Build, change: Change) -> list[str]:
    return [] if change.new is None else [change.new, *above(build, change.new)]


def _changed(build: Build, change: Change, gone: set[str], component: Lookup) -> Build:
    if change.new is not None:
        _refuse_twice(build, change.new)
    if change.old is None:
        assert change.new is not None
        assert change.on is not None
        added = Part(component=change.new, on=_mount_named(build, change.on, component))
        return replace(build, parts=(*build.parts, added))
    if change.new is None:
        return _without(build, change.old, gone)
    return _replaced(build, change.old, change.new, change.on, component)


def _refuse_twice(build: Build, new: str) -> None:
    if any(new in {part.component, part.id} for part in build.parts):
        raise CallError(
            f"{new} is on {build.id} already", hint="take it off first, or name another"
        )


def _without(build: Build, old: str, gone: set[str]) -> Build:
    left = [name for name in above(build, old) if name not in gone]
    if left:
        ways = " ".join(f"{name}=" for name in left)
        raise CallError(
            f"{listed(left, 'and')} would be left without {old}",
            hint=f"take {'it' if len(left) == 1 else 'them'} off too ({ways}), or move elsewhere",
        )
    parts = tuple(part for part in build.parts if part.id != old)
    return _forget(replace(build, parts=parts), old)


def _replaced(build: Build, old: str, new: str, on: str | None, component: Lookup) -> Build:
    was = build.part(old)
    mounts = component(new).mounts
    orphans = [
        part for part in build.parts
        if part.on.rpartition(".")[0] == old and part.on.rpartition(".")[2] not in mounts
    ]  # fmt: skip
    if orphans:
        wanted = sorted({part.on.rpartition(".")[2] for part in orphans})
        names, ways = [part.id for part in orphans], " ".join(f"{part.id}=" for part in orphans)
        raise CallError(
            f"{new} has no mount {listed(wanted)} for {listed(names, 'and')}",
            hint=f"take {'it' if len(names) == 1 else 'them'} off ({ways}),"
            f" or add {'it' if len(wanted) == 1 else 'them'} to the document of {new}",
        )
    if on is not None:
        now = Part(component=new, on=_mount_named(build, on, component))
        _refuse_loop(build, now, old)
    else:
        _refuse_hanging(was, new, mounts)
        now = replace(was, component=new, name=None)
    parts = tuple(now if part.id == old else _moved(part, old, new) for part in build.parts)
    return _forget(replace(build, parts=parts), old)


def _refuse_hanging(was: Part, new: str, mounts: Collection[str]) -> None:
    """What hangs by a mount of its own is replaced by something that has one of that name."""
    if was.by is not None and was.by not in mounts:
        hint = f"add it to the document of {new}, or name the place: {was.id}={new}@{was.on}"
        raise CallError(f"{new} has no mount {was.by} to hang by", hint=hint)


def _moved(part: Part, old: str, new: str) -> Part:
    owner, _, mount = part.on.rpartition(".")
    return replace(part, on=f"{new}.{mount}") if owner == old else part


def _forget(build: Build, old: str) -> Build:
    """The build without the settings and the state of a part that is gone."""
    settings = {name: at for name, at in build.settings.items() if not name.startswith(f"{old}.")}
    states = {name: state for name, state in build.states.items() if name != old}
    return replace(build, settings=settings, states=states)


def _refuse_loop(build: Build, now: Part, old: str) -> None:
    """A part cannot sit on what it carries."""
    owner = now.on.rpartition(".")[0]
    if owner == old or owner in above(build, old):
        what = "comes off" if owner == old else f"sits on {old}"
        raise CallError(
            f"{now.component} cannot go on {owner}, which {what}", hint="name another mount"
        )


def _mount_named(build: Build, on: str, component: Lookup) -> str:
    """The mount that words mean, by exact names.

    It is refused where there is none; the rig's own are checked by whoever knows the rig.
    """
    words, dot, mount = on.rpartition(".")
    if not dot:
        return on
    owner = part_named(build, words)
    mounts = component(build.part(owner).component).mounts
    if mount not in mounts:
        hint = f"it has {listed(sorted(mounts), 'and')}" if mounts else "it has none"
        raise CallError(f"{owner} has no mount {quoted(mount)}", hint=hint)
    return f"{owner}.{mount}"
