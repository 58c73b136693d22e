"""Drop times against a rigid-body engine on random trees of solids.

python tests/benchmarks/exactness.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1]))

from mechanics.test_pendulum import predicted_and_simulated

if TYPE_CHECKING:
    from collections.abc import Callable

TREES = 50


def main(say: Callable[[str], None] = print) -> None:
    """Print the largest relative difference."""
    pairs = [predicted_and_simulated(seed) for seed in range(TREES)]
    worst = max(abs(ours - theirs) / theirs for ours, theirs in pairs)
    say(f"{TREES} random trees: drop times within {worst:.1e} of the engine's (at most 1e-9)")


if __name__ == "__main__":
    main()
