"""What every command shares: which library, who asks, and how the answer is wanted."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from riglog.cli import output
from riglog.errors import CallError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from riglog.jobs.log_answers import PageError
    from riglog.library import Library


class Call:
    """The options that stand behind any command, or before it."""

    OPTIONS = ("db", "author", "json")

    def __init__(self) -> None:
        self.db: str | None = None
        self.author: str | None = None
        self.json = False

    @property
    def path(self) -> Path:
        """The library file, as it is: for dry runs."""
        from riglog.library.places import library_path

        return library_path(self.db)

    @property
    def current(self) -> Path:
        """The library file, of this version of the program: an older one is brought up to date."""
        from riglog.library import Library

        path = self.path
        if former := Library.bring_up_to_date(path):
            output.complain(f"Brought up to date: {path}; as it was: {former}")
        return path

    def who(self, *, needed: bool = True) -> str:
        """The author; empty where nobody is logged in and it does not matter."""
        from riglog.library.places import author_name

        return author_name(self.author, needed=needed)

    @contextmanager
    def reading(self) -> Iterator[Library]:
        """The library, as it is now."""
        from riglog.library import Library

        with Library.open(self.current, self.who(needed=False)) as library:
            yield library

    @contextmanager
    def trying(self) -> Iterator[Library]:
        """The library for a dry run, which leaves the file as it is, be it an older one."""
        from riglog.library import Library

        with Library.open(self.path, self.who(needed=False)) as library:
            yield library

    @contextmanager
    def writing(self) -> Iterator[Library]:
        """The library, to record in."""
        from riglog.library import Library

        with Library.open(self.current, self.who(), write=True) as library:
            yield library

    @contextmanager
    def starting(self) -> Iterator[Library]:
        """The library, to record in; a new one where there is none."""
        from riglog.library import Library

        path, who = self.current, self.who()
        new = not path.exists()
        with Library.create(path, who) as library:
            if new:
                output.complain(f"A new library: {path}")
            yield library

    def agree(self, plan: str, *, yes: bool) -> None:
        """Have a person agree to what will be done.

        Raises
        ------
        CallError
            If nobody is there to be asked, or whoever is there says no.
        """
        if yes:
            return
        output.complain(plan)
        if not output.asks("Do it? (y/n) "):
            raise CallError("nothing was done", hint="add --yes to do it without asking")

    def plotted(self, found: object, *, wanted: bool | None) -> None:
        """Print an answer and a plot below it, on a terminal or where it is wanted."""
        self.answer(found)
        if self.json or not (output.is_terminal() if wanted is None else wanted):
            return
        from riglog import wording
        from riglog.wording import plot

        if (curve := wording.plotted(found)) is not None:
            glyphs = plot.DRAWN if output.can_show("".join(plot.DRAWN)) else plot.PLAIN
            if drawn := plot.draw(curve, output.columns(), glyphs):
                output.say(f"\n{drawn}")

    def echo(self, error: PageError) -> None:
        """Print what was understood of a page that is refused; with --json the error tells it."""
        from riglog.wording import log

        if self.json:
            error.beside = {"lines": log.tell(error.answer)["lines"]}
        elif error.answer.lines:
            output.say(log.echoed(error.answer))

    def answer(self, found: object, *, as_table: bool = False) -> None:
        """Print an answer as it is wanted; ``as_table`` asks for comma-separated values."""
        from riglog import wording

        if self.json:
            output.tell(wording.tell(found))
        elif as_table:
            output.say(wording.table(found))
        else:
            output.say(wording.say(found))
