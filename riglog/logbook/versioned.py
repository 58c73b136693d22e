"""Which versions a thing has, and which of them stand."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from riglog.errors import NotFoundError, quoted
from riglog.logbook import versions
from riglog.logbook.rows import entry_of
from riglog.logbook.said import Said
from riglog.logbook.versions import Place, Version

if TYPE_CHECKING:
    from riglog.logbook.entry import Entry

_HEADS = """
SELECT e.* FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ? AND v.superseded = 0
ORDER BY v.entry"""
_VERSIONS = """
SELECT e.*, v.number, v.superseded FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?
ORDER BY v.entry"""
_PLACES = """
SELECT e.id, v.number FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ? AND v.subject = ?
ORDER BY v.entry"""
_ALIKE = """
SELECT e.*, v.number, v.superseded FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = :kind AND v.subject = :subject AND v.number = (
    SELECT number FROM versions WHERE kind = :kind AND subject = :subject
    AND superseded IN (0, 1) AND entry = (SELECT seq FROM entries WHERE id = :id)
)
ORDER BY v.entry"""
_FIRST_TWIN = """
SELECT min(e.id) FROM entries AS own
CROSS JOIN versions AS v ON v.kind = ?1 AND v.subject = ?2
CROSS JOIN entries AS e ON e.seq = v.entry AND e.parents = own.parents AND e.body = own.body
WHERE own.id = ?3"""


class Versioned(Said):
    """Answers about the versions of things."""

    def heads(self, kind: str, subject: str) -> list[Entry]:
        """Entries of a thing that nothing supersedes, in log order. More than one is a fork."""
        return self._entries(_HEADS, (kind, subject))

    def versions(self, kind: str, subject: str) -> list[Version]:
        """Every version of a thing, in log order."""
        return _versions(self._database.rows(_VERSIONS, (kind, subject)))

    def version(self, kind: str, subject: str, name: str) -> Version:
        """The version of a thing by its name: ``3``, ``3.ab12``, or the start of an entry's id.

        Raises
        ------
        NotFoundError
            If the thing or the version is not there.
        AmbiguousError
            If two versions have that number.
        """
        with self._database.snapshot():
            places = [Place(*row) for row in self._database.rows(_PLACES, (kind, subject))]
            if not places:
                raise NotFoundError(f"there is no {kind} {quoted(subject)}")
            return self._alike(kind, subject, versions.pick(places, name, subject).id)

    def first_twin(self, entry: Entry) -> str:
        """The id that stands for an entry and its twins: the first of them by their ids."""
        values = (entry.kind, entry.subject, entry.id)
        row = self._database.row(_FIRST_TWIN, values)
        return row[0] if row and row[0] else entry.id

    def version_of(self, entry: Entry) -> Version:
        """An entry as the version of its subject that it is."""
        return self._alike(entry.kind, entry.subject, entry.id)

    def _alike(self, kind: str, subject: str, entry_id: str) -> Version:
        """One version, called so that it cannot be taken for those of the same number."""
        values = {"kind": kind, "subject": subject, "id": entry_id}
        alike = _versions(self._database.rows(_ALIKE, values))
        return next(version for version in alike if version.entry.id == entry_id)


def _versions(rows: list[tuple[Any, ...]]) -> list[Version]:
    called = versions.names(Place(row[1], row[-2]) for row in rows)
    alike: dict[tuple[str, str], list[str]] = defaultdict(list)
    for _, entry_id, *_, parents, body, _, _ in rows:
        alike[parents, body].append(entry_id)
    found = []
    for *entry, number, superseded in rows:
        twins = tuple(each for each in alike[entry[-2], entry[-1]] if each != entry[1])
        found.append(Version(entry_of(entry), number, called[entry[1]], not superseded, twins))
    return found
