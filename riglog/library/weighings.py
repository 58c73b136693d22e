"""The weighings of a component: every figure that somebody found and nobody took back.

A new figure is another measurement of the same thing beside the former ones, be it by a second
person, by a better scale, or on another machine before a merge. The same person's new figure by the
same means is a correction, and takes the place of the former; so does an undo. What was weighed
before the component was modified is of another thing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from riglog.estimation.kit import Weighing
from riglog.estimation.priors import mass_sd

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.library.earlier import Log
    from riglog.logbook import Version
    from riglog.logbook.entry import Entry

Alive = tuple[Weighing, ...]


def weighings(log: Log, versions: Iterable[Version]) -> Alive:
    """The weighings that count by the newest versions, in the order of the log.

    Parameters
    ----------
    versions
        Every version of one component, parents before children.
    """
    alive: dict[str, Alive] = {}
    heads: dict[str, Alive] = {}
    known = list(versions)
    entries = {version.entry.id: version.entry for version in known}
    for version in known:
        entry = version.entry
        before = _union(alive[parent] for parent in entry.parents if parent in alive)
        modified = entry.body.get("modified")
        # One document recorded on two machines tells of one weighing, the same in any order.
        told = entries[min(version.ids & entries.keys())]
        alive[entry.id] = before if log.undone(entry.id) else _after(before, told, modified)
        heads = {each: found for each, found in heads.items() if each not in entry.parents}
        heads[entry.id] = alive[entry.id]
    return _union(heads.values())


def _after(before: Alive, entry: Entry, modified: str | None) -> Alive:
    """The weighings that count once a version was recorded."""
    mass = entry.body.get("mass")
    if mass is None:
        return ()
    same = tuple(each for each in before if each.modified == modified)
    now = _weighing(entry, mass, modified)
    known = [each for each in same if each.mass_kg == mass]
    if known:  # what else it says of the same figure is better knowledge of how it was found
        kept = known[0]._replace(by=now.by, sd_kg=now.sd_kg)
        return tuple(kept if each is known[0] else each for each in same)
    others = (each for each in same if (each.author, each.by) != (now.author, now.by))
    return (*others, now)


def _weighing(entry: Entry, mass_kg: float, modified: str | None) -> Weighing:
    by = entry.body.get("by")
    sd = mass_sd(mass_kg, entry.body.get("mass_sd"), by)
    return Weighing(mass_kg, sd, entry.author, entry.at, by, modified, entry.id)


def _union(several: Iterable[Alive]) -> Alive:
    found = {each.entry: each for alive in several for each in alive}
    return tuple(found.values())
