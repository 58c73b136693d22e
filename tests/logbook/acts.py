"""What people record of a build: readings, corrections, notes, changes, undos."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, NamedTuple

from hypothesis import strategies as st
from logbook.kit import build, draft, reading, record

from riglog.logbook import Logbook

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from riglog.logbook import Draft, Entry


class Act(NamedTuple):
    what: str
    which: int


KINDS = st.sampled_from(["read", "correct", "undo", "undo", "note", "change"])
ACTS = st.lists(st.builds(Act, KINDS, st.integers(0, 99)), max_size=12)


# The version of the build that all of it is on.
START = build("a-cam", uses=("lens-35", "lens-75"))


def drafts(acts: Iterable[Act], version: Entry, folder: Path) -> list[Draft]:
    """What people recorded, one after another."""
    found: list[Draft] = []
    with Logbook.create(folder / "origin.db") as log:
        record(log, START)
        entries: list[Entry] = []
        for n, (what, which) in enumerate(acts):
            read = [each for each in entries if each.kind == "reading"]
            if what == "undo" and entries:
                each = undo(entries[which % len(entries)], n)
            elif what == "note" and entries:
                about = entries[which % len(entries)]
                each = draft("note", "a-cam", {"text": f"word{n}", "entry": about.id})
            elif what == "change":
                there = [v.entry.id for v in log.versions("build", "a-cam")]
                each = build("a-cam", *sorted({there[which % len(there)], there[-1]}), n=n)
            elif what == "correct" and read:
                each = reading(version, read[which % len(read)].id, times=(1.0 + n,))
            else:
                each = reading(version, times=(1.0 + n,))
            found.append(each)
            entries += record(log, each)
    return found


def undo(entry: Entry, n: int = 0) -> Draft:
    return draft("undo", entry.subject, {"reverses": [entry.id], "n": n})


def shuffled(ready: list[Draft], seed: int) -> list[Draft]:
    """The drafts in another order, parents before children."""
    rest, order, there = list(ready), [], set[str]()
    known = {each.envelope.id for each in ready}
    picks = random.Random(seed)
    while rest:
        each = picks.choice([d for d in rest if not (set(d.parents) & known) - there])
        rest.remove(each)
        order.append(each)
        there.add(each.envelope.id)
    return order
