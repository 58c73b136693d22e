"""Bundles: entries as one stream of lines, to be carried by stick or mail.

The first line is the manifest, the last one the SHA-256 of all bytes before it; each line between
is the envelope of an entry in canonical form, so that the SHA-256 of the line is the id of the
entry. The same entries of the same library make the same bundle, byte by byte, and a bundle goes by
the start of its last line.
"""

from __future__ import annotations

import json
from itertools import chain
from typing import IO, TYPE_CHECKING, Any, NamedTuple

from riglog.errors import Finding
from riglog.logbook.entry import Envelope, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from hashlib import _Hash
    from pathlib import Path

VERSION = 1
START = b'{"riglog_bundle":'
NAME = 12
# An entry is at most as long as a document can be; a manifest names builds, and those are short.
LONGEST = 8 * 1024 * 1024

_AGAIN = "nothing of it can be trusted; get the bundle again"
_decode = json.JSONDecoder().raw_decode


class Manifest(NamedTuple):
    """What a bundle holds.

    ``fingerprint`` is that of the library it was made from. ``whole`` says that it left nothing
    out of that library but what an earlier bundle, or an earlier day, had. ``builds`` are those
    that it was made for, if it was for some.
    """

    entries: int
    fingerprint: str
    whole: bool
    builds: tuple[str, ...] = ()

    @property
    def line(self) -> bytes:
        """The manifest as the first line."""
        told = {
            "riglog_bundle": VERSION,
            "entries": self.entries,
            "fingerprint": self.fingerprint,
            "whole": self.whole,
            "builds": list(self.builds),
        }
        return json.dumps(told, separators=(",", ":")).encode()


NOTHING = Manifest(0, "", whole=False)


class Line(NamedTuple):
    """An entry of a bundle, and where it stands."""

    number: int
    id: str
    envelope: Envelope


class BrokenError(Exception):
    """A bundle from which nothing more can be read; the finding says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(str(finding))
        self.finding = finding


def write(stream: IO[bytes], manifest: Manifest, envelopes: Iterable[Envelope]) -> str:
    """Write a bundle; what it goes by."""
    from hashlib import sha256

    whole = sha256()
    for line in chain([manifest.line], (envelope.text.encode() for envelope in envelopes)):
        whole.update(line + b"\n")
        stream.write(line + b"\n")
    stream.write(_end(whole))
    return whole.hexdigest()[:NAME]


def _end(whole: _Hash) -> bytes:
    return f'{{"sha256":"{whole.hexdigest()}"}}\n'.encode()


def is_bundle(path: Path) -> bool:
    """Whether a file begins as a bundle does."""
    with path.open("rb") as stream:
        return stream.read(len(START)) == START


class BundleReader:
    """Reads one bundle from its start, line by line, and checks it on the way.

    Attributes
    ----------
    findings : list of Finding
        What is wrong with single lines.
    """

    def __init__(self, stream: IO[bytes], file: str) -> None:
        from hashlib import sha256

        self._stream, self._file = stream, file
        self._whole = sha256()
        self._number = 0
        self._manifest = NOTHING
        self.findings: list[Finding] = []

    def manifest(self) -> Manifest:
        """The manifest, which comes first.

        Raises
        ------
        BrokenError
            If it is none that this program can read.
        """
        line = self._next()
        try:
            told = json.loads(line)
            if told["riglog_bundle"] != VERSION:
                finding = self._finding("was written by a newer riglog", "install the newest one")
                raise BrokenError(finding)
            self._manifest = _read_manifest(told)
        except (KeyError, TypeError, ValueError, RecursionError) as error:
            raise self._broken("the manifest is damaged") from error
        return self._manifest

    def entries(self) -> Iterator[Line]:
        """Every entry whose line is one, in order; then the hash of the whole is looked at.

        Raises
        ------
        BrokenError
            If the bundle ends early, goes on too long, or is not what was written.
        """
        from hashlib import sha256

        for _ in range(self._manifest.entries):
            line = self._next()
            try:
                yield Line(self._number, sha256(line).hexdigest(), parsed(line))
            except ValueError as error:
                self.findings.append(self._finding(f"is no entry: {error}", _AGAIN))
        wanted = _end(self._whole)[:-1]
        if self._next() != wanted:
            raise self._broken("the bundle is not what was written: its hash does not fit")
        if self._stream.read(1):
            raise self._broken("the bundle goes on after its end")

    def _next(self) -> bytes:
        line = self._stream.readline(LONGEST)
        self._number += 1
        if not line.endswith(b"\n"):
            if len(line) == LONGEST:
                raise self._broken("the line is longer than any entry")
            count = f"{self._number - 1} of {self._manifest.entries + 2} lines are there"
            raise self._broken(f"the bundle ends early: {count}")
        self._whole.update(line)
        return line[:-1]

    def _broken(self, what: str) -> BrokenError:
        return BrokenError(self._finding(what, _AGAIN))

    def _finding(self, what: str, mend: str) -> Finding:
        return Finding(self._file, self._number, what, mend)


def _read_manifest(told: Any) -> Manifest:
    count, builds = told["entries"], told["builds"]
    if type(count) is not int or count < 0 or not isinstance(builds, list):
        raise ValueError("not what a manifest holds")
    names = tuple(map(str, builds))
    return Manifest(count, str(told["fingerprint"]), told["whole"] is True, names)


def parsed(line: bytes) -> Envelope:
    """The columns of an entry, from its envelope in canonical form.

    Only what stands between the fixed parts is read, and the body is kept as it is written.

    Raises
    ------
    ValueError
        If the line is no envelope.
    """
    text = line.decode()
    found: dict[str, str] = {}
    at = 0
    for key in ("at", "author", "body", "kind", "parents", "subject"):
        start = f'{"," if found else "{"}"{key}":'
        if not text.startswith(start, at):
            raise ValueError(f"{key} is not where it must be")
        found[key], at = _value(text, at + len(start), raw=key in {"body", "parents"})
    if text[at:] != "}":
        raise ValueError("there is more to it")
    return Envelope(**found)


def _value(text: str, at: int, *, raw: bool) -> tuple[str, int]:
    try:
        value, end = _decode(text, at)
    except RecursionError as error:
        raise ValueError("it is nested too deep") from error
    written = text[at:end]
    if raw:
        return written, end
    if not isinstance(value, str) or quoted(value) != written:
        raise ValueError("a text is missing, or not in canonical form")
    return value, end
