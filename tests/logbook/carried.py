"""Bundles of libraries, and what merging them does."""

from __future__ import annotations

import hashlib
import json
from contextlib import contextmanager
from typing import TYPE_CHECKING

from logbook.kit import component, record

from riglog.logbook import Logbook
from riglog.logbook.transfer.bundling import Choice
from riglog.logbook.transfer.staging import sources_of, staged
from riglog.logbook.transfer.vetting import Vetted, vet

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from riglog.logbook import Entry
    from riglog.logbook.entry import Body
    from riglog.logbook.transfer.merge import Plan

ALL = Choice()


def any_record(kind: str, subject: str, body: Body) -> str:
    """No fault: these tests are about entries, whatever they say."""
    assert kind
    assert subject
    assert isinstance(body, dict)
    return ""


@contextmanager
def vetting(staging: Path) -> Iterator[Callable[[], Vetted]]:
    """Look at the entries alone, at once."""
    found = vet(staging, any_record)
    yield lambda: found


def bundled(library: Path, target: Path, choice: Choice = ALL) -> Path:
    with Logbook.open(library) as log:
        return log.bundle(target, choice).path


def merged(library: Path, *sources: Path) -> Plan:
    if not library.exists():
        Logbook.create(library).close()
    with (
        Logbook.open(library, write=True) as log,
        staged(sources_of(sources), library, vetting) as stage,
    ):
        return log.merge(stage)


def planned(library: Path, *sources: Path) -> Plan:
    with Logbook.open(library) as log, staged(sources_of(sources), library, vetting) as stage:
        return log.merge_plan(stage)


def all_of(library: Path) -> list[Entry]:
    with Logbook.open(library) as log:
        return list(log.log())


def ids(library: Path) -> set[str]:
    return {entry.id for entry in all_of(library)}


def fingerprint(library: Path) -> str:
    with Logbook.open(library) as log:
        return log.fingerprint()


def noted(library: Path, *notes: str, kind: str = "component", subject: str = "lens-35") -> None:
    """Further versions of a thing, one after another, or the first ones."""
    with Logbook.open(library, write=True) as log:
        for note in notes:
            parents = [head.id for head in log.heads(kind, subject)]
            record(log, component(subject, *parents, note=note))


def resealed(lines: list[bytes]) -> bytes:
    """A bundle that fits itself, as a program that is not ours could write it."""
    manifest = json.loads(lines[0]) | {"entries": len(lines) - 1}
    body = b"".join(line + b"\n" for line in (json.dumps(manifest).encode(), *lines[1:]))
    body = body.replace(b'{"riglog_bundle": 1', b'{"riglog_bundle":1', 1)
    return body + f'{{"sha256":"{hashlib.sha256(body).hexdigest()}"}}\n'.encode()
