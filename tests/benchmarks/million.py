"""A library of years: a house's jobs, one after another, until the log has so many entries.

    python tests/benchmarks/million.py PATH [ENTRIES]

Each job is a build of its own with a few versions, some with a note, and two dozen drops, of the
lenses, bodies and rigs of ``house``, timed as those would drop. What ``house`` puts in before stays
first, so that the same questions have the same answers in a small library and in a large one.
"""

from __future__ import annotations

import random
import sys
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from house import AUTHOR, BODIES, LENSES, RIGS, SEED, balance, build_house

from riglog.library import Library
from riglog.logbook.entry import Draft
from riglog.mechanics.pendulum import drop_time

if TYPE_CHECKING:
    from collections.abc import Iterator

MILLION = 1_000_000
VERSIONS, DROPS = 3, 8
HOUSE_READINGS = 200
_BLOCK = 5_000
_NOTES = ("windy on the roof", "second unit", "rain cover on", "new strap", "felt tail heavy")
_AUTHORS = (AUTHOR, "kim", "ada", "noor")


def build_million(path: Path, entries: int = MILLION) -> None:
    """A library of ``entries`` entries, the first few hundred of them those of ``house``."""
    build_house(path, HOUSE_READINGS)
    add_jobs(path, entries)


def add_jobs(path: Path, entries: int) -> None:
    """More jobs of the same house, until the log has so many entries."""
    rng = random.Random(SEED)
    with Library.open(path, AUTHOR, write=True) as library:
        there = sum(1 for _ in library.logbook.log())
        with library.logbook.writing() as log:
            drafts = islice(_jobs(rng), entries - there)
            while log.append(islice(drafts, _BLOCK)):
                pass


def _jobs(rng: random.Random) -> Iterator[Draft]:
    """Jobs without end, as drafts: each version, then what was read of it."""
    number = 0
    while True:
        yield from _job(rng, f"job-{number:05d}", number)
        number += 1


def _job(rng: random.Random, name: str, number: int) -> Iterator[Draft]:
    day = f"20{20 + number // 8000:02d}-{1 + number // 700 % 12:02d}-{1 + number // 25 % 28:02d}"
    parents: tuple[str, ...] = ()
    for version in range(VERSIONS):
        at, author = f"{day}T{8 + version:02d}:00:00.000+00:00", rng.choice(_AUTHORS)
        on = rng.randint(1, LENSES), rng.randint(1, BODIES)
        body = _build(rng, name, on, 0.48 + version * 0.004)
        draft = Draft(kind="build", subject=name, at=at, author=author, body=body, parents=parents)
        yield draft
        parents = (draft.envelope.id,)
        yield from _drops(rng, body, balance(*on), parents[0], at, author)


def _build(rng: random.Random, name: str, on: tuple[int, int], mark_m: float) -> dict[str, object]:
    lens, body = on
    parts = [
        {"component": "post-tube", "on": "post"},
        {"component": f"body-{body}", "on": "stage"},
        {"component": f"lens-{lens}", "on": f"body-{body}.lens"},
        {"component": "battery", "on": "base", "offset": [-0.15, 0, 0]},
        {"component": "screen", "on": "base", "offset": [0.18, 0, 0]},
    ]
    found = {"id": name, "rig": f"post-{rng.randint(1, RIGS)}", "parts": parts}
    note = {"note": rng.choice(_NOTES)} if rng.random() < 0.2 else {}
    return {**found, **note, "settings": {"pivot": mark_m, "stage-fore-aft": 0}}


def _drops(
    rng: random.Random,
    build: dict[str, object],
    hangs: tuple[float, float],
    version: str,
    at: str,
    author: str,
) -> Iterator[Draft]:
    neutral_m, gyration_m2 = hangs
    for number in range(DROPS):
        mark = round((neutral_m + rng.uniform(0.002, 0.008)) * 2000) / 2000
        time = float(drop_time(mark - neutral_m, gyration_m2))
        on = f"{at[:14]}{5 + 6 * number:02d}:00+00:00"
        body = {
            "build": build["id"],
            "kind": "drop",
            "on": on,
            "times": [round(rng.gauss(time, 0.1), 2) for _ in range(rng.randint(1, 4))],
            "settings": {"pivot": mark},
            "stand": {"version": version, "settings": {"pivot": mark, "stage-fore-aft": 0}},
        }
        when = f"{on[:17]}30.000+00:00"
        yield Draft(kind="reading", subject=str(build["id"]), at=when, author=author, body=body)


if __name__ == "__main__":
    build_million(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else MILLION)
