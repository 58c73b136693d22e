"""A disk that loses power: an SQLite VFS in memory, and a connection of ours that lives on it.

What a file system promises is only what was synced. At the cut, every write since the last sync of
its file survives or not, sector by sector; a name that was made or removed since the last sync of
the folder is there or not. What was synced is there.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING, Any

import apsw

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

SECTOR = 512
ORDINARY = apsw.vfs_names()[0]


class PowerCutError(Exception):
    """Raised at the cut. After it nothing happens any more: whatever runs, runs in the dark."""


class Content:
    """Bytes of one file: as they are, as they are safe, and the writes in between."""

    def __init__(self, safe: bytes = b"") -> None:
        self.safe = bytearray(safe)
        self.now = bytearray(safe)
        self.unsafe: list[tuple[int, bytes]] = []

    def write(self, data: bytes, offset: int) -> None:
        self.now.extend(bytes(max(0, offset + len(data) - len(self.now))))
        self.now[offset : offset + len(data)] = data
        self.unsafe.append((offset, data))

    def sync(self) -> None:
        self.safe, self.unsafe = bytearray(self.now), []

    def survivor(self, rng: random.Random) -> bytes:
        """What the disk holds after the cut."""
        left = bytearray(self.safe)
        for offset, data in self.unsafe:
            for start in range(0, len(data), SECTOR):
                if rng.random() < 0.5:
                    part = data[start : start + SECTOR]
                    at = offset + start
                    left.extend(bytes(max(0, at + len(part) - len(left))))
                    left[at : at + len(part)] = part
        return bytes(left)


class Disk(apsw.VFS):
    """Files by name; ``cut_at`` counts the writes, syncs and removals until the power goes."""

    def __init__(self, name: str, files: dict[str, bytes], cut_at: int) -> None:
        self.vfs_name = name
        self.safe_names = {path: Content(data) for path, data in files.items()}
        self.names = dict(self.safe_names)
        self.left = cut_at
        super().__init__(name, base="")

    def on(self) -> bool:
        """Whether there is power for one more step."""
        self.left -= 1
        if self.left == -1:
            raise PowerCutError
        return self.left >= 0

    def survivors(self, rng: random.Random) -> dict[str, bytes]:
        """Names and contents after the cut."""
        left = {}
        for name in sorted({*self.safe_names, *self.names}):
            before, after = self.safe_names.get(name), self.names.get(name)
            content = before if before is after or rng.random() < 0.5 else after
            if content is not None:
                left[name] = content.survivor(rng)
        return left

    def xAccess(self, path: str, flags: int) -> bool:  # noqa: ARG002, N802 - SQLite's names
        return path in self.names

    def xFullPathname(self, path: str) -> str:  # noqa: N802
        return path

    def xDelete(self, path: str, sync: bool) -> None:  # noqa: N802
        if self.on():
            self.names.pop(path, None)
        if sync and self.on():
            self.safe_names = dict(self.names)

    def xOpen(self, name: Any, flags: list[int]) -> Any:  # noqa: N802
        path = name.filename() if isinstance(name, apsw.URIFilename) else name
        flags[1] = flags[0]
        content = self.names.get(path, Content())
        if path not in self.names and self.on():
            self.names[path] = content
        return File(self, content)

    def xRandomness(self, count: int) -> bytes:  # noqa: N802
        return bytes(count)

    def xSleep(self, microseconds: int) -> int:  # noqa: N802
        return microseconds

    def xCurrentTime(self) -> float:  # noqa: N802
        return 2461000.5


class File:
    """One open file of the disk."""

    def __init__(self, disk: Disk, content: Content) -> None:
        self.disk, self.content = disk, content

    def xRead(self, amount: int, offset: int) -> bytes:  # noqa: N802
        return bytes(self.content.now[offset : offset + amount])

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        if self.disk.on():
            self.content.write(bytes(data), offset)

    def xTruncate(self, size: int) -> None:  # noqa: N802
        if self.disk.on():
            del self.content.now[size:]

    def xSync(self, flags: int) -> None:  # noqa: ARG002, N802
        if self.disk.on():
            self.content.sync()
        # SQLite's own file system syncs the folder with the first sync of a new file.
        if self.disk.on():
            names = {name for name, content in self.disk.names.items() if content is self.content}
            self.disk.safe_names.update(dict.fromkeys(names, self.content))

    def xFileSize(self) -> int:  # noqa: N802
        return len(self.content.now)

    def xClose(self) -> None:  # noqa: N802
        pass

    def xLock(self, level: int) -> None:  # noqa: N802
        pass

    def xUnlock(self, level: int) -> None:  # noqa: N802
        pass

    def xCheckReservedLock(self) -> bool:  # noqa: N802
        return False

    def xFileControl(self, op: int, pointer: int) -> bool:  # noqa: ARG002, N802
        return False

    def xSectorSize(self) -> int:  # noqa: N802
        return SECTOR

    def xDeviceCharacteristics(self) -> int:  # noqa: N802
        return 0


class Connection:
    """As much of the standard library's connection as ours needs, on a disk of this module.

    Parameters
    ----------
    disk
        Where the files are.
    path
        Name of the database on it.
    instead
        Pragmas to run instead of others, for a control that must fail.
    """

    def __init__(self, disk: Disk, path: str, instead: dict[str, str]) -> None:
        flags = apsw.SQLITE_OPEN_READWRITE | apsw.SQLITE_OPEN_CREATE | apsw.SQLITE_OPEN_URI
        self._connection = apsw.Connection(path, flags=flags, vfs=disk.vfs_name)
        self._instead = instead

    def execute(self, sql: str, values: Any = ()) -> Cursor:
        sql = self._instead.get(sql, sql)
        if sql.startswith("ATTACH"):  # what is only read may lie on an ordinary disk
            values = [f"{each}&vfs={ORDINARY}" for each in values]
        with Translated():
            rows = list(self._connection.execute(sql, values))
        return Cursor(rows, self._connection.last_insert_rowid())

    def executemany(self, sql: str, values: Any) -> None:
        with Translated():
            list(self._connection.executemany(sql, values))

    def create_function(self, name: str, count: int, function: Any, **settings: bool) -> None:
        self._connection.create_scalar_function(name, function, count, **settings)

    @property
    def in_transaction(self) -> bool:
        return self._connection.in_transaction

    def rollback(self) -> None:
        if self.in_transaction:
            self.execute("ROLLBACK")

    def close(self) -> None:
        self._connection.close(force=True)


class Cursor:
    """The answer to a statement."""

    def __init__(self, rows: list[Any], lastrowid: int) -> None:
        self._rows, self.lastrowid = rows, lastrowid

    def fetchall(self) -> list[Any]:
        return self._rows

    def __iter__(self) -> Iterator[Any]:
        return iter(self._rows)


class Translated:
    """Raises the standard library's errors for those of the other driver."""

    def __enter__(self) -> None:
        pass

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if isinstance(error, apsw.Error):
            told = sqlite3.OperationalError(str(error))
            told.sqlite_errorcode = getattr(error, "extendedresult", sqlite3.SQLITE_ERROR)
            raise told from error
        if isinstance(error, PowerCutError):
            told = sqlite3.OperationalError("power cut")
            told.sqlite_errorcode = sqlite3.SQLITE_IOERR
            raise told from error
