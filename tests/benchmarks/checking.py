"""How far readings are off from what the others expect, and how often a slip is named.

    python tests/benchmarks/checking.py --rigs 500

Logs of rigs drawn by ``simulated_rigs``, as they are and with one mark misread by 10 to 30 mm.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from program import kit_of
from rig_documents import FULL_SIZE, SHARED_LENSES, SMALL
from swap_cases import Case, learning_case, swap_case

from riglog.estimation.checking import Checked, forecast
from riglog.estimation.inference import Inference

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from riglog.estimation.kit import Kit, Logged

SLIP_M = (0.010, 0.030)
PIVOT = "pivot"


@dataclass(frozen=True, slots=True)
class Scores:
    """Standardized residuals against all others and against those before, and what was called."""

    against_others: list[float]
    against_earlier: list[float]
    quiet: list[bool]
    named_first: list[bool]

    def line(self, title: str) -> str:
        """One row of the table."""
        return (
            f"{title:<34} {np.std(self.against_others):8.3f}  {np.std(self.against_earlier):8.3f}"
            f"  {100 * np.mean(self.quiet):7.1f}  {100 * np.mean(self.named_first):8.1f}"
        )


HEADING = f"{'':<34} {'sd now':>8}  {'before':>8}  {'quiet %':>7}  {'named %':>8}"


def scores(cases: Iterator[Case]) -> Scores:
    """Check the log of every case, and again with a slip in it."""
    found = Scores([], [], [], [])
    for case in cases:
        kit = kit_of(case)
        checked = _checked(kit)
        found.quiet.append(not checked.outstanding)
        for said in checked.held.values():
            found.against_others.extend(each.deviations for each in said)
        for count, logged in enumerate(kit.readings):
            known = Inference(kit._replace(readings=kit.readings[:count]), [logged.hung])
            found.against_earlier.extend(each.deviations for each in forecast(known, logged))
        slipped, entry = with_slip(kit, np.random.default_rng([case.index, 7]))
        found.named_first.append(_checked(slipped).outstanding[:1] == (entry,))
    return found


def _checked(kit: Kit) -> Checked:
    return Checked(kit, [logged.hung for logged in kit.readings])


def with_slip(kit: Kit, rng: np.random.Generator) -> tuple[Kit, str]:
    """The same log with one mark misread, and the entry of that reading."""
    which = int(rng.integers(len(kit.readings)))
    by = float(rng.uniform(*SLIP_M)) * float(rng.choice((-1, 1)))
    readings = list(kit.readings)
    readings[which] = _misread(readings[which], by)
    return kit._replace(readings=tuple(readings)), readings[which].entry


def _misread(logged: Logged, by_m: float) -> Logged:
    mark = logged.hung.settings[PIVOT]
    assert isinstance(mark, float)
    settings = {**logged.hung.settings, PIVOT: round(mark + by_m, 4)}
    reading = replace(logged.reading, settings=settings)
    return logged._replace(reading=reading, hung=logged.hung._replace(settings=settings))


def main(words: list[str] | None = None, say: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rigs", type=int, default=500)
    rigs = parser.parse_args(words).rigs
    say(f"{rigs} simulated logs in each row")
    say(HEADING)
    for title, make in (
        ("full size, 3 drops", lambda index: swap_case(FULL_SIZE, index, 3)),
        ("4 kg rigs, 3 drops", lambda index: swap_case(SMALL, index, 3)),
        ("6 lenses once each, and one again", lambda index: learning_case(SHARED_LENSES, index)),
    ):
        say(scores(map(make, range(rigs))).line(title))
    say("(standard deviations 0.95 to 1.05, quiet in 95 % at least)")


if __name__ == "__main__":
    main()
