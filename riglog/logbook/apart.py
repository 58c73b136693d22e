"""Several newest versions of one thing: which of them are a fork, and which two weighings.

Two weighings of one component are two measurements and no conflict: neither has to give way, and
nobody has to decide. So heads of a component that differ in nothing but what somebody weighed are
no fork. All their weighings count, and the next version comes after all of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from riglog.logbook.entry import Body

# The figure, how well it is known, by what it was found, and what somebody wrote about it.
_WEIGHED = frozenset({"mass", "mass_sd", "by", "note"})


def differ(bodies: Iterable[Body]) -> bool:
    """Whether they say different things: one document recorded on two machines says the same."""
    first, *others = bodies
    return any(body != first for body in others)


def weighed_apart(kind: str, bodies: Iterable[Body]) -> bool:
    """Whether they differ, and in nothing but what was weighed."""
    known = list(bodies)
    if kind != "component" or not differ(known) or any("mass" not in body for body in known):
        return False
    return not differ([_but_weighed(body) for body in known])


def forked(kind: str, bodies: Iterable[Body]) -> bool:
    """Whether they say what cannot both be."""
    known = list(bodies)
    return differ(known) and not weighed_apart(kind, known)


def _but_weighed(body: Body) -> Body:
    return {key: value for key, value in body.items() if key not in _WEIGHED}
