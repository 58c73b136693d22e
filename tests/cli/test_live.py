"""The live timer, on a terminal of its own."""

from __future__ import annotations

import fcntl
import json
import os
import pty
import select
import signal
import subprocess
import sys
import termios
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from riglog.cli.live import _watch
from riglog.jobs.odd import odd_times

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from cli.conftest import Done

    Riglog = Callable[..., Done]


def _take_terminal() -> None:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


class Terminal:
    """The program on a pseudo-terminal, with standard output apart."""

    def __init__(self, *words: str) -> None:
        self.master, self.slave = pty.openpty()
        self.before = termios.tcgetattr(self.slave)
        self.process = subprocess.Popen(
            [Path(sys.executable).with_name("riglog"), *words],
            stdin=self.slave,
            stderr=self.slave,
            stdout=subprocess.PIPE,
            start_new_session=True,
            # Ctrl-C reaches who has the terminal; no thread runs here.
            preexec_fn=_take_terminal,  # noqa: PLW1509
        )
        self.seen = ""

    def wait_for(self, words: str, within_s: float = 60.0) -> None:
        deadline = time.monotonic() + within_s
        while words not in self.seen:
            assert time.monotonic() < deadline, self.seen
            if select.select([self.master], [], [], 0.2)[0]:
                self.seen += os.read(self.master, 4096).decode()

    def press(self, keys: str) -> None:
        os.write(self.master, keys.encode())

    def end(self) -> tuple[int, str]:
        out, _ = self.process.communicate(timeout=60)
        return self.process.returncode, out.decode()

    def settings(self) -> list[object]:
        return list(termios.tcgetattr(self.slave))

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.master)
        os.close(self.slave)


@pytest.fixture
def live(kit: str) -> Iterator[Terminal]:
    """A timer that is ready for the first key."""
    assert kit
    terminal = Terminal("drop", "a-cam", "--mark", "487mm", "--live", "--json")
    terminal.wait_for("q ends")
    yield terminal
    terminal.close()


def timed_drop(live: Terminal, lasts_s: float, number: int) -> float:
    """Press at release and at upright; how long that really took."""
    live.press(" ")
    began = time.monotonic()
    live.wait_for(f"{number}  let go")
    time.sleep(lasts_s)
    live.press(" ")
    took = time.monotonic() - began
    live.wait_for(f"{number}  {took:.1f}"[:-2])
    time.sleep(0.25)
    return took


def test_keys_time_drops_and_q_records_them(live: Terminal, riglog: Riglog) -> None:
    assert live.settings() != live.before
    took = [timed_drop(live, lasts_s, number) for number, lasts_s in enumerate((0.8, 0.7), 1)]
    live.press("q")
    status, out = live.end()
    assert status == 0
    times = json.loads(out)["measured"]["times_s"]
    assert times == pytest.approx(took, abs=0.1)
    assert "mean" in live.seen
    assert "scatter" in live.seen
    assert live.settings() == live.before
    assert json.loads(riglog("list", "readings", "--json").out)[0]["times_s"] == times


def test_a_timer_that_timed_nothing_records_nothing(live: Terminal, db: Path) -> None:
    before = db.read_bytes()
    live.press(" ")
    live.wait_for("let go")
    live.press("q")
    status, _ = live.end()
    live.wait_for("no drop was timed")
    assert status == 2
    assert live.settings() == live.before
    assert db.read_bytes() == before


@pytest.mark.parametrize("ended_by", ["ctrl-c", "terminated", "hung up"])
def test_the_terminal_is_as_it_was_whatever_ends_the_timer(
    live: Terminal, db: Path, ended_by: str
) -> None:
    before = db.read_bytes()
    timed_drop(live, 0.5, 1)
    if ended_by == "ctrl-c":
        live.press("\x03")
    else:
        live.process.send_signal(signal.SIGTERM if ended_by == "terminated" else signal.SIGHUP)
    status, _ = live.end()
    assert status == {"ctrl-c": 130, "terminated": 143, "hung up": 129}[ended_by]
    assert live.settings() == live.before
    assert db.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["a-cam", "--live"], "there is no terminal to press keys on"),
        (["a-cam", "3.1", "--live"], "--live times the drops, and times are told too"),
        (["a-cam", "--live", "--mark", "9000mm"], "pivot cannot stand at"),
    ],
)
def test_a_timer_that_cannot_run_is_refused(
    program: Riglog, kit: str, db: Path, words: list[str], told: str
) -> None:
    assert kit
    before = db.read_bytes()
    done = program("drop", *words)
    assert (done.status, done.out) == (2, "")
    assert told in done.err
    assert db.read_bytes() == before


def watched(presses: Sequence[tuple[float, str]]) -> list[float]:
    """Times from presses at some clock times."""
    moments = iter([at for at, _ in presses])
    keys = iter([key for _, key in presses])
    return _watch(lambda: next(keys, ""), lambda: next(moments), 0.1)


def test_a_key_that_bounces_or_is_held_counts_once() -> None:
    presses = [(0.0, " "), (0.05, " "), (0.1, " "), (3.1, "x"), (3.2, "x"), (9.0, "q")]
    assert watched(presses) == [3.1]


def test_a_watch_that_was_left_running_is_no_drop() -> None:
    assert watched([(0.0, " "), (90.0, " "), (100.0, " "), (103.0, " "), (104.0, "")]) == [3.0]


@pytest.mark.parametrize(
    ("times", "odd"),
    [
        ([3.1, 3.0, 3.2, 4.4], (3,)),
        ([3.1, 3.0, 3.2, 3.3], ()),
        ([3.1, 4.4], ()),
        ([3.0, 3.0, 3.0, 3.05], ()),
        ([1.5, 3.0, 3.1, 3.2, 6.1], (0, 4)),
        ([], ()),
    ],
)
def test_a_time_that_stands_apart_is_marked(times: list[float], odd: tuple[int, ...]) -> None:
    assert odd_times(times, 0.1) == odd


def test_an_odd_time_is_kept_and_said(riglog: Riglog, kit: str) -> None:
    assert kit
    done = json.loads(riglog("drop", "a-cam", "3.1", "3.0", "3.2", "4.4", "--json").out)
    assert done["measured"]["times_s"] == [3.1, 3.0, 3.2, 4.4]
    (odd,) = (each for each in done["warnings"] if each["code"] == "odd_time")
    assert odd["message"].startswith("4.4 s stands apart")


def test_where_the_watch_stops_is_asked_once_on_a_terminal(riglog: Riglog, kit: str) -> None:
    assert kit
    terminal = Terminal("drop", "a-cam", "6.2", "--mark", "487mm")
    terminal.wait_for("asked this once:")
    terminal.press("far\n")
    status, out = terminal.end()
    terminal.close()
    assert status == 0
    assert "half the way to the far side" in " ".join(out.split())
    again = Terminal("drop", "a-cam", "6.2", "--mark", "487mm")
    status, out = again.end()
    again.close()
    assert status == 0
    assert "half the way to the far side" in " ".join(out.split())
    first, second = json.loads(riglog("list", "readings", "--json").out)[:2]
    assert first["timed_to"] == second["timed_to"] == "far-side"
