"""Corrections: an entry that takes the place of another, in the words of documents."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from riglog.errors import CallError, quoted
from riglog.library.fields import CLASSES, noun_of
from riglog.library.known import KnownNouns
from riglog.library.recording import place_of, record
from riglog.logbook import NOUNS, Draft, now
from riglog.records import from_body, to_body

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from riglog.errors import Finding
    from riglog.interchange import Document
    from riglog.logbook import Entry, Reader, Transaction
    from riglog.logbook.entry import Body
    from riglog.records import Reading

_LISTS = {
    "component": "components",
    "rig": "rigs",
    "build": "builds",
    "scale": "scales",
    "reading": "readings",
}
# What a person calls by a shorter word than documents do.
_SHORT = {"mark": "settings.pivot", "pivot": "settings.pivot"}


def corrected(log: Reader, entry: Entry, changes: Sequence[str]) -> Any:
    """The noun of an entry with some fields changed, each as ``KEY=VALUE``.

    A key is one of documents, those inside another behind a point; a value is written as in a
    document, items of a list with commas between them. Without a value the field is left out.

    Raises
    ------
    CallError
        If a change is none, or its result is wrong.
    """
    from riglog.interchange.writer import written

    old = noun_of(entry)
    document = json.loads(json.dumps(written(old)))
    for change in changes:
        _change(document, change)
    read, findings = _checked(log, entry.kind, entry.subject, document)
    if findings:
        # They stand in no file of the person's: what is wrong is in the call.
        raise CallError(findings[0].message, hint=findings[0].mend)
    (placed,) = getattr(read, _LISTS[entry.kind])
    noun = placed.noun
    name = noun.build if entry.kind == "reading" else noun.id
    if name != entry.subject:
        raise CallError("a correction is of the same thing", hint="record the other one anew")
    return noun


def faults(log: Reader, kind: str, body: Body) -> tuple[Finding, ...]:
    """What is wrong with a thing as it would be recorded, by itself and against the library."""
    from riglog.interchange.writer import written

    noun = from_body(CLASSES[kind], body)
    return _checked(log, kind, noun.id, written(noun))[1]


def _checked(
    log: Reader, kind: str, name: str, document: Mapping[str, Any]
) -> tuple[Document, tuple[Finding, ...]]:
    from riglog.interchange import cross_check, read_document

    read = read_document(json.dumps({"riglog": 1, _LISTS[kind]: [document]}), name)
    return read, cross_check([read], KnownNouns(log))


def _change(document: dict[str, Any], change: str) -> None:
    key, equals, value = change.partition("=")
    path = _SHORT.get(key.strip(), key.strip()).split(".")
    if not equals or not all(path):
        hint = "write KEY=VALUE, as times=3.1s,3.0s or mark=487mm"
        raise CallError(f"{quoted(change)} is no correction", hint=hint)
    *above, last = path
    place: Any = document
    for name in above:
        place = place.setdefault(name, {})
        if not isinstance(place, dict):
            raise CallError(f"{quoted(key)} is no field", hint="correct what stands above it")
    if not value.strip():
        place.pop(last, None)
    elif isinstance(place.get(last), list) or last in {"times", "tags", "conditions"}:
        place[last] = [each.strip() for each in value.split(",")]
    else:
        place[last] = value.strip()


def corrected_body(log: Reader, entry: Entry, noun: Any) -> Body | None:
    """What would be recorded in place of an entry; None where the noun says the same."""
    if entry.kind in NOUNS:
        place = place_of(log, noun)
        return None if place.what == "same" else place.body
    if to_body(noun) == {key: value for key, value in entry.body.items() if key != "stand"}:
        return None
    return to_body(noun) | {"stand": _stand(entry, noun)}


def record_correction(log: Transaction, entry: Entry, noun: Any, author: str) -> Entry | None:
    """Record what a noun says in place of an entry; None where it says the same."""
    body = corrected_body(log, entry, noun)
    if body is None:
        return None
    if entry.kind in NOUNS:
        return log.entry(record(log, noun, author).entry)
    draft = Draft(
        kind=entry.kind, subject=entry.subject, at=now(), author=author, body=body,
        parents=(entry.id,),
    )  # fmt: skip
    (made,) = log.append([draft])
    return made


def _stand(entry: Entry, reading: Reading) -> dict[str, Any]:
    """Where the rig stood: as before, but for what the correction says of it."""
    stand: dict[str, Any] = dict(entry.body["stand"])
    said = to_body(reading)
    for key in ("settings", "states"):
        if key in stand or key in said:
            stand[key] = {**stand.get(key, {}), **said.get(key, {})}
    if "head" in said:
        stand["head"] = said["head"]
    return stand
