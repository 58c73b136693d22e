"""Entries: what the log is made of, and what each is known by.

An entry is known by the SHA-256 of its envelope in canonical form (RFC 8785), so equal content has
an equal id on every machine, and a changed byte shows. The body is stored in canonical form, and
canonical forms nest: the envelope is assembled from the columns as they stand in the file, and
nothing is parsed to check an id.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

Body = Mapping[str, Any]

# Python writes a single text exactly as RFC 8785 section 3.2.2.2 asks.
quoted = json.JSONEncoder(ensure_ascii=False).encode
# Compiled when the first draft is made; reads never need them.
RFC_3339 = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)"
ID = r"[0-9a-f]{64}"


class Envelope(NamedTuple):
    """The columns that an entry is known by; ``parents`` and ``body`` are canonical JSON."""

    kind: str
    subject: str
    at: str
    author: str
    parents: str
    body: str

    @property
    def text(self) -> str:
        """The envelope as canonical JSON."""
        return (
            f'{{"at":{quoted(self.at)},"author":{quoted(self.author)},"body":{self.body},'
            f'"kind":{quoted(self.kind)},"parents":{self.parents},'
            f'"subject":{quoted(self.subject)}}}'
        )

    @property
    def id(self) -> str:
        """SHA-256 of the envelope as canonical JSON, in hexadecimal."""
        from hashlib import sha256  # it brings OpenSSL along, 2 ms that no help text needs

        return sha256(self.text.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry that is not in the log yet.

    Parameters
    ----------
    kind
        ``component``, ``rig``, ``build``, ``reading``; later kinds need no change here.
    subject
        Id of the thing that the entry is about; for a reading, of its build.
    at
        When it was recorded, RFC 3339 with offset.
    author
        Who recorded it.
    parents
        Ids of the entries that this one supersedes.
    body
        Plain JSON object: SI, attribute names.

    Raises
    ------
    ValueError
        If ``at`` has no date, time and offset, or a parent is no id of an entry.
    """

    kind: str
    subject: str
    at: str
    author: str
    body: Body
    parents: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not re.fullmatch(RFC_3339, self.at, re.ASCII):
            raise ValueError(f"not an RFC 3339 time with offset: {self.at!r}")
        for parent in self.parents:
            if not re.fullmatch(ID, parent, re.ASCII):
                raise ValueError(f"not the id of an entry: {parent!r}")

    @property
    def envelope(self) -> Envelope:
        """The columns of the entry to be.

        Raises
        ------
        ValueError
            If the body cannot be written as canonical JSON: not a number, an integer beyond 2^53,
            half of a surrogate pair.
        """
        parents = json.dumps(sorted(set(self.parents)), separators=(",", ":"))
        body = canonical(self.body)
        return Envelope(self.kind, self.subject, self.at, self.author, parents, body)


class Entry(NamedTuple):
    """An entry as it stands in the log; ``seq`` counts within one file and means nothing outside.

    A whole number in the body comes back as ``int``, whatever it was when it was recorded.
    """

    seq: int
    id: str
    kind: str
    subject: str
    at: str
    author: str
    parents: tuple[str, ...]
    body: Body

    @classmethod
    def of(cls, seq: int, entry_id: str, envelope: Envelope) -> Entry:
        """The entry that these columns hold.

        Raises
        ------
        ValueError
            If ``parents`` or ``body`` is not JSON.
        """
        kind, subject, at, author, parents, body = envelope
        whole = () if parents == "[]" else tuple(json.loads(parents))
        return cls(seq, entry_id, kind, subject, at, author, whole, json.loads(body))


def canonical(body: Body) -> str:
    """The body as canonical JSON."""
    import rfc8785  # reads never need it

    return rfc8785.dumps(dict(body)).decode()


def now() -> str:
    """Local time at this moment, RFC 3339 with offset, to the millisecond."""
    from datetime import datetime

    return datetime.now().astimezone().isoformat(timespec="milliseconds")
