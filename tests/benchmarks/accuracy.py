"""How good the marks are: the program beside a dense least-squares MAP on the same rigs.

    python tests/benchmarks/accuracy.py --rigs 2000

Every figure is of rigs drawn by ``simulated_rigs``; nothing the program sees is the truth.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from dense_map import Problem
from program import ask, move_after
from rig_documents import FULL_SIZE, SHARED_LENSES, SMALL, STEP_M, Family, nothing_weighed
from swap_cases import Case, learning_case, swap_case

from riglog.estimation.priors import MASS_BY_KIND

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

MM = 1e3
HIT_S = 0.2


@dataclass(frozen=True, slots=True)
class Scores:
    """Errors of the program's marks [m], its standard deviations, hits, and the dense MAP's."""

    error: np.ndarray
    sd: np.ndarray
    held: np.ndarray
    dense: np.ndarray

    def lines(self, title: str) -> Iterator[str]:
        """One row of the table."""
        rms, beside = root_mean_square(self.error), f"{'':7}  {'':6}"
        if self.dense.size:
            other = root_mean_square(self.dense)
            beside = f"{MM * other:7.3f}  {rms / other:6.3f}"
        yield (
            f"{title:<34} {MM * rms:7.3f}  {beside}  "
            f"{root_mean_square(self.error / self.sd):6.3f}  {100 * self.held.mean():6.2f}"
        )


HEADING = f"{'':<34} {'rms mm':>7}  {'MAP mm':>7}  {'ratio':>6}  {'err/sd':>6}  {'held %':>6}"


def root_mean_square(values: np.ndarray) -> float:
    """Square root of the mean of squares."""
    return float(np.sqrt(np.mean(np.square(values))))


def scores(cases: Iterator[Case], *, dense: bool) -> Scores:
    """Put every case to the program, and to the dense MAP if asked."""
    rows, others = [], []
    for case in cases:
        value, sd, low, high = ask(case).mark
        truth = case.true_mark_m
        rows.append((value - truth, sd, low <= truth <= high))
        if dense:
            others.append(Problem(case).mark_m(case.wanted_s) - truth)
    error, sds, held = (np.array(column) for column in zip(*rows, strict=True))
    return Scores(error, sds, held, np.array(others))


def baselines(rigs: int, drops: int) -> str:
    """What people do without the program, on the same rigs."""
    carried, weights, difference = [], [], []
    for index in range(rigs):
        case = swap_case(FULL_SIZE, index, drops)
        truth, old = case.true_mark_m, case.old.settings["pivot"]
        assert isinstance(old, float)
        bare = Problem(case.with_logged())
        nominal = bare.mark_m(case.wanted_s)
        before = float(bare.old.mark(bare.nominal, case.wanted_s))
        carried.append(old - truth)
        weights.append(nominal - truth)
        difference.append(old + nominal - before - truth)
    figures = [MM * root_mean_square(np.array(each)) for each in (carried, weights, difference)]
    return (
        f"  {drops} drops: old mark carried over {figures[0]:.2f}, weights alone {figures[1]:.2f}, "
        f"old mark and nominal difference {figures[2]:.2f} mm"
    )


def play_out(rigs: int, drops: int) -> str:
    """A safe first mark, one drop test, one fine move: how near, and how often top heavy.

    The move is made along the scale from where the pivot stands, by whole steps, and is good to
    that: whoever sets a mark anew by its figure makes the error of setting once more.
    """
    late, anew, alone, tipped = [], [], [], 0
    for index in range(rigs):
        case = swap_case(FULL_SIZE, index, drops)
        answer = ask(case)
        alone.append(_lateness(case, round(answer.mark[0] / STEP_M) * STEP_M))
        test = case.truth.drop(answer.first_m)
        if test is None:
            tipped += 1
            late.append(np.inf)
            anew.append(np.inf)
            continue
        move = move_after(case, test)
        there = case.truth.operator.position(answer.first_m) + move
        late.append(case.truth.drop_time(there) - case.wanted_s)
        anew.append(_lateness(case, answer.first_m + move))
    moved, reset, mark = (100 * np.mean(np.abs(each) <= HIT_S) for each in (late, anew, alone))
    return (
        f"  {drops} drops: within {HIT_S} s in {moved:.1f} % by a move along the scale, "
        f"{reset:.1f} % if the mark is set anew; the predicted mark alone {mark:.1f} %; "
        f"first mark top heavy in {tipped} of {rigs}"
    )


def _lateness(case: Case, mark_m: float) -> float:
    """How much longer than wanted it drops once the pivot is set to a mark [s]."""
    return float(case.truth.drop_time(case.truth.operator.position(mark_m)) - case.wanted_s)


def table(rigs: int) -> Iterator[str]:
    """All of it, line by line as it is known."""

    def family(which: Family, drops: int) -> Iterator[Case]:
        return (swap_case(which, index, drops) for index in range(rigs))

    def logged(number: int) -> str:
        return f"{number} logged drop{'' if number == 1 else 's'}"

    yield HEADING
    for drops in (0, 1, 3):
        yield from scores(family(FULL_SIZE, drops), dense=True).lines(f"full size, {logged(drops)}")
    for drops in (0, 1, 3):
        yield from scores(family(SMALL, drops), dense=False).lines(f"4 kg rigs, {logged(drops)}")
    unweighed = nothing_weighed(MASS_BY_KIND)
    for drops in (0, 1, 3):
        yield from scores(family(unweighed, drops), dense=False).lines(
            f"nothing weighed, {logged(drops)}"
        )
    learned = (learning_case(SHARED_LENSES, index) for index in range(rigs))
    yield from scores(learned, dense=True).lines("lenses learned on another rig")
    own = (_own_log(learning_case(SHARED_LENSES, index)) for index in range(rigs))
    yield from scores(own, dense=False).lines("the same by its own log alone")
    yield "Without the program (root mean square):"
    yield from (baselines(rigs, drops) for drops in (0, 1, 3))
    yield "First mark, one drop, one fine move:"
    yield from (play_out(rigs, drops) for drops in (0, 1, 3))


def _own_log(case: Case) -> Case:
    """Without what was logged on other rigs."""
    return case.with_logged(*(item for item in case.logged if item.build.rig == case.new.rig))


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
