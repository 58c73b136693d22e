"""A build as jotted lines are read against it, changed by each."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from riglog.errors import NoAnswerError
from riglog.estimation.inference import Inference
from riglog.estimation.kit import Hung
from riglog.jobs.exchange import Change, parse_change
from riglog.jobs.fitting import fit
from riglog.jobs.free import free_adjusters
from riglog.jobs.jot_scene import Scene
from riglog.jobs.jots import Doubt
from riglog.jobs.placing import place
from riglog.jobs.swap_question import ASKED, by_ids, refuse_unset
from riglog.library.adjusters import adjusters_of
from riglog.library.evidence import kit_for

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from riglog.jobs.fitting import Fitted
    from riglog.library import Library
    from riglog.records import Adjuster, Build, Setting

_SHORTEST = 3


class State(NamedTuple):
    """Where the build stands between two lines: as recorded, or as the lines above have it."""

    build: Build
    settings: Mapping[str, Setting]
    adjusters: Mapping[str, Adjuster]

    def after(self, library: Library, build: Build, settings: Mapping[str, Setting]) -> State:
        """The state with another build, or with adjusters elsewhere."""
        known = self.adjusters if build is self.build else adjusters_of(library, build)
        kept = {name: at for name, at in {**self.settings, **settings}.items() if name in known}
        return State(build, kept, known)


def scene_of(library: Library, state: State, ask: Callable[[Doubt], bool] | None) -> Scene:
    """What the next line is read against."""
    build = state.build

    def fitting(names: Sequence[str], changes: Sequence[Change]) -> Sequence[Change]:
        return fit(library, build, names, changes, choose).changes if names or changes else ()

    choose = None if ask is None else lambda name, mount: ask(Doubt("place", name, mount))

    return Scene(
        type=library.rig(build.rig).type,
        stood=state.settings.get("pivot"),
        adjusters=state.adjusters,
        component=lambda word: _component(library, word),
        like=lambda word: _like(library, build, word),
        part=lambda word: _part(build, word),
        change=lambda text: by_ids(library, build, parse_change(text)),
        fit=fitting,
        ask=ask,
    )


def _spellings(word: str) -> list[str]:
    """An id as it may be meant: lens75, Lens-75 and lens_75 are lens-75."""
    small = word.casefold().replace("_", "-")
    apart = re.sub(r"(?<=[a-z])(?=[0-9])", "-", small)
    return list(dict.fromkeys([small, apart, small.replace("-", "")]))


def _component(library: Library, word: str) -> str | None:
    if not any(c.isalpha() for c in word):
        return None
    spellings = _spellings(word)
    return next((s for s in spellings if library.logbook.kind_of(s) == "component"), None)


def _part(build: Build, word: str) -> str | None:
    """A part on the build, by its name, or by a word of its name that no other has."""
    names = [part.id for part in build.parts]
    exact = [name for name in names if name in _spellings(word)]
    found = exact or [name for name in names if word.casefold() in name.split("-")]
    return found[0] if len(found) == 1 and word else None


def _like(library: Library, build: Build, word: str) -> list[str]:
    """Components of whose names a word is one, unless something on the build is called so."""
    said = word.casefold().strip(".,;:!?()")
    if len(said) < _SHORTEST or not said.isalpha():
        return []
    if any(said in part.component.split("-") for part in build.parts):
        return []
    return [name for name in library.logbook.subjects("component") if said in name.split("-")]


def after_swap(
    library: Library, state: State, fitted: Fitted, told: Mapping[str, Setting], day: str
) -> tuple[dict[str, Setting], str]:
    """Where all adjusters stand after a swap, and why that is not known of those nobody told.

    The rig was trimmed then, so that the others are where a swap would put them; where nothing
    within the travel trims it, they are left where they stood.

    Raises
    ------
    CallError
        If an adjuster that came with a part was never set.
    """
    known = adjusters_of(library, fitted.build)
    settings = {name: at for name, at in {**state.settings, **told}.items() if name in known}
    refuse_unset(known, settings, ())
    if "pivot" not in settings:
        return settings, "nobody said where the pivot stands"
    hung = Hung(build=fitted.build, version=ASKED, settings=settings, day=day)
    parts = [change.new for change in fitted.changes if change.new]
    end = Inference(kit_for(library.logbook, [hung], parts), [hung]).stands[0]
    kept = ["pivot", *(name for name in told if name != "pivot")]
    try:
        moves = place(end, free_adjusters(end.tree, [], kept), None).moves
    except NoAnswerError as error:
        return settings, error.message
    return {**settings, **{move.name: move.set_m for move in moves if move.free}}, ""
