"""Drafts of an invented kit, and a library that holds them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.logbook import Draft, Logbook

if TYPE_CHECKING:
    from pathlib import Path

    from riglog.logbook import Entry

AT = "2026-03-14T09:10:00.000+01:00"
NO_SUCH = "0" * 64


def draft(kind: str, subject: str, body: dict[str, Any], *parents: str, at: str = AT) -> Draft:
    return Draft(kind=kind, subject=subject, at=at, author="north", parents=parents, body=body)


def component(name: str, *parents: str, **figures: Any) -> Draft:
    return draft("component", name, {"id": name, "kind": "lens", **figures}, *parents)


def rig(name: str, *parents: str, **figures: Any) -> Draft:
    return draft("rig", name, {"id": name, "type": "post", **figures}, *parents)


def build(name: str, *parents: str, uses: tuple[str, ...] = (), **figures: Any) -> Draft:
    parts = [{"component": each, "on": "stage"} for each in uses]
    return draft(
        "build", name, {"id": name, "rig": "post-one", "parts": parts, **figures}, *parents
    )


def reading(version: Entry, *parents: str, times: tuple[float, ...] = (3.1,), **more: Any) -> Draft:
    name = version.subject
    stand = {"version": version.id, "settings": {"pivot": 0.487}}
    body = {"build": name, "kind": "drop", "times": list(times), "stand": stand, **more}
    return draft("reading", name, body, *parents)


def names_in(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def record(log: Logbook, *drafts: Draft) -> list[Entry]:
    with log.writing() as transaction:
        return transaction.append(drafts)


def fill(path: Path) -> list[Entry]:
    """A library with a fork, a correction and a handful of readings; all its entries."""
    with Logbook.create(path) as log:
        record(
            log,
            rig("post-one", adjusters=[{"id": "pivot", "axis": "z"}], mounts={"stage": {}}),
            component("lens-35", mass=1.12, note="Röhre, weich"),
            component("lens-75", mass=1.48),
            component("body-north", mass=4.21),
        )
        (first,) = record(log, build("a-cam", uses=("body-north", "lens-35")))
        readings = record(log, *(reading(first, times=(3.0 + n / 10,)) for n in range(5)))
        record(
            log,
            reading(first, readings[0].id, times=(2.9,), note="misread"),
            build("a-cam", first.id, uses=("body-north", "lens-75")),
            build("a-cam", first.id, uses=("body-north",), mode="low"),
        )
        with log.writing() as transaction:
            transaction.choose("north", "a-cam")
        return list(log.log())
