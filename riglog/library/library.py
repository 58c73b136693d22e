"""The front door to a person's library: names, versions, where rigs stand, and recording."""

from __future__ import annotations

from contextlib import ExitStack
from typing import TYPE_CHECKING, Self

from riglog.errors import CallError, NotFoundError
from riglog.library.forks import only_head
from riglog.library.standing import Meant, as_named, is_by, where
from riglog.logbook import Logbook
from riglog.logbook.opening import bring_up_to_date
from riglog.records import Component, Rig, from_body

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path
    from types import TracebackType

    from riglog.interchange import Document
    from riglog.library.recording import Noun, Recorded
    from riglog.library.standing import Standing
    from riglog.logbook import Version
    from riglog.records import Reading


class Library:
    """A library file and the person who works with it. Use it in a ``with``.

    Opened for reading, it sees one state of the log from the first question to the end of the
    ``with``; writers wait meanwhile, so keep that short. Words that name something are an exact
    id or an unambiguous part of one, and where a version can be meant ``ID@VERSION``.
    """

    def __init__(self, logbook: Logbook, path: Path, author: str, *, write: bool) -> None:
        self.logbook = logbook
        self.path = path
        self.author = author
        self._write = write
        self._open = ExitStack()

    @classmethod
    def open(cls, path: Path, author: str, *, write: bool = False) -> Self:
        """Open a library; only for reading, unless told.

        Raises
        ------
        LibraryError
            If there is none, it is not ours, newer, damaged, or altered in its schema.
        BusyError
            If somebody else keeps it locked.
        """
        return cls(Logbook.open(path, write=write), path, author, write=write)

    @staticmethod
    def bring_up_to_date(path: Path) -> Path | None:
        """Bring a library of an older riglog up to date; where it lies as it was.

        None where there was nothing to do.

        Raises
        ------
        LibraryError
            If file or folder cannot be written, or the library is damaged.
        BusyError
            If somebody else keeps it locked, or there is no room.
        """
        return bring_up_to_date(path)

    @classmethod
    def create(cls, path: Path, author: str) -> Self:
        """Make a library, or leave the one that is there as it is, and open it for writing.

        Raises
        ------
        LibraryError
            If the folder cannot be written, or something else stands in that place.
        BusyError
            If there is no room.
        """
        return cls(Logbook.create(path), path, author, write=True)

    def __enter__(self) -> Self:
        with ExitStack() as opened:
            opened.enter_context(self.logbook)
            if not self._write:
                opened.enter_context(self.logbook.snapshot())
            self._open = opened.pop_all()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._open.close()

    def resolve(self, kind: str | None, words: str) -> str:
        """The id that words mean, of one kind or of any.

        Raises
        ------
        AmbiguousError
            If they are part of several ids.
        NotFoundError
            If nothing of that kind is called so.
        """
        try:
            return self.logbook.resolve(words, kind)
        except NotFoundError as error:
            other = self.logbook.kind_of(words)
            if other is None:
                raise
            raise NotFoundError(error.message, hint=f"{words} is a {other}") from error

    def version(self, words: str, kind: str | None = None) -> Version:
        """The version that ``ID`` or ``ID@VERSION`` means; raises as ``meant``."""
        return self.meant(words, kind).version

    def meant(self, words: str, kind: str | None = None) -> Meant:
        """The version that ``ID`` or ``ID@VERSION`` means, and how it stood if that says when.

        After the @ stands a version's number, a day, the name of a state, or the start of an
        entry's id. Where nothing stands before it, the build in use is meant.

        Raises
        ------
        CallError, NotFoundError
            If the words name nothing.
        AmbiguousError
            If they fit several things, or two versions of one number.
        ForkError
            If no version is named and there are two heads, or were by the day that is named.
        """
        name, at, word = words.partition("@")
        with self.logbook.snapshot():
            thing = self.resolve(kind, name if name or not at else self.in_use())
            kind = kind or self.logbook.kind_of(thing) or ""
            if not at:
                return Meant(self.logbook.version_of(only_head(self.logbook, kind, thing)))
            from riglog.library.meanings import meant  # most words name no version

            return meant(self.logbook, kind, thing, word)

    def component(self, name: str) -> Component:
        """The newest version of a component, by its exact id.

        Raises
        ------
        NotFoundError
            If there is none.
        ForkError
            If it has two heads.
        """
        return from_body(Component, only_head(self.logbook, "component", name).body)

    def rig(self, name: str) -> Rig:
        """The newest version of a rig, by its exact id; raises as ``component``."""
        return from_body(Rig, only_head(self.logbook, "rig", name).body)

    def standing(self, words: str | None = None, on: str | None = None) -> Standing:
        """Where a build stands, or stood ``on`` some time.

        The build is the one named, as ``BUILD`` or ``BUILD@VERSION``, else that in use.

        Raises
        ------
        CallError
            If none is named and none is in use.
        NotFoundError, AmbiguousError, ForkError
            As ``version``.
        """
        with self.logbook.snapshot():
            return self.stands(self.meant(words or self.in_use(), "build"), on)

    def stands(self, meant: Meant, on: str | None = None) -> Standing:
        """Where a version of a build stands, or stood when the words that mean it say."""
        entry = meant.version.entry
        readings = self.logbook.readings_of(entry.subject, versions=meant.version.ids)
        if meant.named:
            return as_named(meant.version, meant.named)
        if meant.until:
            readings = [each for each in readings if is_by(each.body["on"], meant.until)]
        return where(meant.version, readings, until=on)

    def in_use(self) -> str:
        """The build that is meant where none is named, by its id.

        Raises
        ------
        CallError
            If none is in use.
        """
        chosen = self.logbook.chosen(self.author)
        if chosen and self.logbook.kind_of(chosen) == "build":
            return chosen
        raise CallError("no build is named", hint="name one, or take one in use: riglog use BUILD")

    def use(self, words: str) -> str:
        """Take a build in use, for when none is named; its id.

        Raises
        ------
        NotFoundError, AmbiguousError
            If the words do not name one build.
        """
        with self.logbook.writing() as log:
            build = self.resolve("build", words)
            log.choose(self.author, build)
        return build

    def record(self, *nouns: Noun) -> list[Recorded]:
        """Record things as versions on their heads, all or none; one that is the same is left.

        Raises
        ------
        ForkError
            If one is another version of a thing that has two heads.
        """
        from riglog.library.recording import record

        with self.logbook.writing() as log:
            return [record(log, noun, self.author) for noun in nouns]

    def record_reading(
        self, reading: Reading, *, version: str | None = None, first: Sequence[Noun] = ()
    ) -> Recorded:
        """Record a reading of a build, be it equal to another or not.

        Parameters
        ----------
        version
            Name of the build's version that it is of; the newest if left out.
        first
            Things to record before it: they and the reading, or nothing.

        Raises
        ------
        NotFoundError
            If there is no such build or version.
        ForkError
            If no version is named and the build has two heads.
        """
        from riglog.library.recording import record, record_reading

        with self.logbook.writing() as log:
            for noun in first:
                record(log, noun, self.author)
            return record_reading(log, reading, self.author, version)

    def add(self, files: Sequence[str], *, dry_run: bool = False) -> list[Recorded]:
        """Record kit documents, all of them or nothing; or only tell what that would do.

        Raises
        ------
        DocumentError
            With everything that is wrong in any of the files.
        CallError
            If a file cannot be read.
        ForkError
            If a document changes a thing that has two heads, or holds a reading of one.
        """
        from riglog.library.additions import read_documents

        return self.take(read_documents(files), dry_run=dry_run)

    def take(self, documents: Sequence[Document], *, dry_run: bool = False) -> list[Recorded]:
        """Record what documents hold, as ``add``."""
        from riglog.library.additions import add, check, plan

        if dry_run:
            with self.logbook.snapshot():
                check(self.logbook, documents)
                return plan(self.logbook, documents)
        with self.logbook.writing() as log:
            check(log, documents)
            return add(log, documents, self.author)
