"""Readings and builds that use something, newest first and no more than asked for."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from riglog.logbook.said import LAST
from riglog.logbook.search import Searching

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from riglog.logbook.entry import Entry

_NEWEST_HEADS = """
SELECT e.* FROM versions AS v JOIN entries AS e ON e.seq = v.entry
WHERE v.kind = ?1 AND v.subject = ?2 AND v.superseded = 0 AND v.entry < ?3
    AND (?4 = '[]' OR EXISTS (SELECT 1 FROM json_each(?4) WHERE instr(e.body, value)))
ORDER BY v.entry DESC LIMIT ?5"""
# CROSS JOIN keeps the order of the tables, whatever somebody's ANALYZE says of their sizes.
_USING = """
SELECT e.* FROM uses AS u CROSS JOIN entries AS e ON e.seq = u.entry
WHERE u.component = ? AND u.entry < ? AND e.kind = ? AND EXISTS (
    SELECT 1 FROM versions AS v
    WHERE v.kind = e.kind AND v.subject = e.subject AND v.superseded = 0 AND v.entry = e.seq
)
ORDER BY u.entry DESC LIMIT ?"""
_ALIKE_USES = """
SELECT e.* FROM (
    SELECT entry, row_number() OVER (PARTITION BY subject ORDER BY entry DESC) AS place FROM (
        SELECT u.entry AS entry, r.subject AS subject
        FROM uses AS u CROSS JOIN entries AS r ON r.seq = u.entry
        WHERE u.component = ? AND u.entry < ? AND r.kind = 'reading'
            AND json_type(r.body, '$.conditions') IS NULL
            AND EXISTS (
                SELECT 1 FROM versions AS v
                WHERE v.kind = 'reading' AND v.subject = r.subject
                    AND v.superseded = 0 AND v.entry = r.seq
            )
        ORDER BY u.entry DESC LIMIT ?
    )
) AS near
CROSS JOIN entries AS e ON e.seq = near.entry
WHERE near.place <= ?
ORDER BY (
    SELECT count(*) FROM json_each(?) AS other CROSS JOIN uses AS o
        ON o.component = other.value AND o.entry = near.entry
) DESC, near.entry DESC LIMIT ?"""


class Using(Searching):
    """Answers about what uses a component, a rig or a scale."""

    def readings_of(
        self, build: str, *, versions: Iterable[str] = (), limit: int = LAST, before: int = LAST
    ) -> list[Entry]:
        """Readings of a build that nothing supersedes, newest first, older than a ``seq``.

        With ``versions``, the ids of a version and its twins, those of that version alone: a build
        may have thousands of others.
        """
        names = json.dumps(sorted(versions))
        return self._entries(_NEWEST_HEADS, ("reading", build, before, names, limit))

    def readings_using(self, thing: str, *, limit: int = LAST, before: int = LAST) -> list[Entry]:
        """Readings of builds that use a component or rig, as ``readings_of`` gives them."""
        return self._entries(_USING, (thing, before, "reading", limit))

    def readings_alike(
        self,
        thing: str,
        things: Sequence[str],
        *,
        limit: int,
        each: int,
        among: int,
        before: int = LAST,
    ) -> list[Entry]:
        """Readings of builds that use one thing, those first that use most of some others too.

        Takes the newest ``each`` of a build, and looks at the newest ``among`` of all, so that an
        old library is no slower than a young one. Those taken under some condition, and those not
        older than a ``seq``, are passed over.
        """
        others = json.dumps(list(things))
        return self._entries(_ALIKE_USES, (thing, before, among, each, others, limit))

    def builds_using(self, thing: str, *, limit: int = LAST, before: int = LAST) -> list[Entry]:
        """Builds as they stand now that use a component or rig, newest first."""
        return self._entries(_USING, (thing, before, "build", limit))

    def weighings_on(self, scale: str, *, limit: int = LAST) -> list[Entry]:
        """Measurements that were made with a scale, newest first; among so many that name it."""
        named = self.search(scale, kind="measurement", limit=limit)
        return [each for each in named if each.body.get("scale") == scale]
