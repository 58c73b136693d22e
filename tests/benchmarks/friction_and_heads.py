"""Rigs with friction, and rigs whose camera a powered head keeps level, as ``accuracy`` has others.

    python tests/benchmarks/friction_and_heads.py --rigs 2000

Friction is half-normal, 0 to 0.03 N m. It is asked for the mark of a drop time with that friction,
and where the rigs were swung beside their drops, for friction itself.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

import numpy as np
from accuracy import HEADING, root_mean_square, scores
from program import ask
from rig_documents import FRICTION, HEADS, SWUNG, Family
from swap_cases import Case, swap_case

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


def table(rigs: int) -> Iterator[str]:
    """All of it, line by line as it is known."""

    def family(which: Family, drops: int, times: int = 1) -> Iterator[Case]:
        return (swap_case(which, index, drops) for index in range(times * rigs))

    def logged(number: int) -> str:
        return f"{number} logged drop{'' if number == 1 else 's'}"

    yield HEADING
    for drops in (0, 1, 3):
        # Three times as many: among 2,000 the share held is uncertain by half a percent.
        title = f"powered heads, {logged(drops)}"
        yield from scores(family(HEADS, drops, 3), dense=True).lines(title)
    for drops in (1, 3):
        yield from scores(family(FRICTION, drops), dense=True).lines(f"friction, {logged(drops)}")
    for drops in (1, 3):
        title = f"friction, {logged(drops)}, swung"
        yield from scores(family(SWUNG, drops), dense=True).lines(title)
    yield "Friction itself (N m):"
    for drops in (1, 3):
        yield told(family(FRICTION, drops), f"{logged(drops)}")
        yield told(family(SWUNG, drops), f"{logged(drops)}, swung")


def told(cases: Iterator[Case], title: str) -> str:
    """How well friction is known: drops alone leave it what is usual."""
    errors, sds, held = [], [], []
    for case in cases:
        found = ask(case).hanging.friction()
        truth = case.truth.hanging.world.friction_n_m[case.new.rig]
        low, high = found.interval()
        errors.append(found.value - truth)
        sds.append(found.standard_deviation)
        held.append(max(low, 0.0) <= truth <= high)
    error, sd = np.array(errors), np.array(sds)
    return (
        f"  {title:<24} rms {root_mean_square(error):.4f}, own sd {root_mean_square(sd):.4f}, "
        f"err/sd {root_mean_square(error / sd):.3f}, held {100 * np.mean(held):.1f} %"
    )


def main(words: list[str] | None = None, say: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rigs", type=int, default=2000)
    rigs = parser.parse_args(words).rigs
    say(f"{rigs} simulated rigs in each row")
    for line in table(rigs):
        say(line)


if __name__ == "__main__":
    main()
