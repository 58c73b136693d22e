"""What came from what: searches along the parents, told by a callback.

The callback answers with the parents of an entry; a dict's ``__getitem__`` will do.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator

ParentsOf = Callable[[str], Iterable[str]]


def ancestors(start: str, parents_of: ParentsOf) -> Iterator[str]:
    """Everything that an entry came from, nearest first, each once, without the entry itself."""
    seen = {start}
    waiting = deque([start])
    while waiting:
        for parent in parents_of(waiting.popleft()):
            if parent not in seen:
                seen.add(parent)
                waiting.append(parent)
                yield parent
