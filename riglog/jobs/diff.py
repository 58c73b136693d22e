"""`diff`: what differs between two versions or builds, and what that does to the balance."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import AmbiguousError, CallError, NoAnswerError, NotFoundError, RiglogError
from riglog.jobs.described import Describer
from riglog.jobs.diff_answers import DiffAnswer, Difference
from riglog.library.fields import as_documents
from riglog.library.forks import only_head
from riglog.library.reversing import differing, field_name, flat
from riglog.library.standing import Meant

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from riglog.estimation.hanging import Hanging
    from riglog.estimation.kit import Hung, Kit
    from riglog.jobs.diff_answers import Effect, Hangs
    from riglog.jobs.differences import Step
    from riglog.library import Library, Standing
    from riglog.logbook import Entry

# Told change by change, or nothing to the balance.
_TOLD = {"id", "parts", "settings", "states", "head", "mode", "rig"}
# Fields that tell one thing together.
_TOGETHER = {"mass_sd": "mass", "by": "mass", "cg_sd": "cg", "shape": "size"}
_NO_WEIGHT = {"id", "tags", "note", "serial", "wanted_drop", "also"}


def diff(library: Library, one: str | None = None, other: str | None = None) -> DiffAnswer:
    """What differs between two versions of a thing, or between two builds.

    Parameters
    ----------
    one, other
        ``ID@VERSION`` each; of the second ``@VERSION`` is enough. Without it, a version that is
        named is held against the newest, and a thing against the version before its newest. Without
        either, the build in use is meant.

    Raises
    ------
    CallError
        If they are of different kinds, or no build is in use where none is named.
    NotFoundError, AmbiguousError, ForkError
        If a word does not name one version.
    NoAnswerError
        If there is no version before.
    """
    old, new = _sides(library, one or library.in_use(), other)
    if old.version.entry.kind == "build":
        return _of_builds(library, old, new)
    return _of_things(library, old, new)


def _sides(library: Library, one: str, other: str | None) -> tuple[Meant, Meant]:
    first = library.meant(one)
    if other is not None:
        return first, _second(library, first.version.entry, other)
    log, entry = library.logbook, first.version.entry
    if "@" in one:
        return first, Meant(log.version_of(only_head(log, entry.kind, entry.subject)))
    before = [each for each in map(log.entry, entry.parents) if each.kind == entry.kind]
    if not before:
        hint = f"name two versions, or another {entry.kind}"
        raise NoAnswerError(f"{entry.subject} has no version before its first", hint=hint)
    return Meant(log.version_of(before[0])), first


def _second(library: Library, first: Entry, words: str) -> Meant:
    """What the first is held against; a version of it that lacks its @ is asked about."""
    if words.startswith("@"):
        return library.meant(f"{first.subject}{words}")
    try:
        second = library.meant(words)
    except (NotFoundError, AmbiguousError) as error:
        if hint := _forgot(library, first, words):
            raise type(error)(error.message, hint=hint) from error
        raise
    entry = second.version.entry
    if entry.kind != first.kind:
        names = f"{first.subject} is a {first.kind}, {entry.subject} a {entry.kind}"
        raise CallError(names, hint=_forgot(library, first, words) or "name two of a kind")
    return second


def _forgot(library: Library, first: Entry, words: str) -> str:
    """Asks for a version of the first, where the words name one."""
    try:
        library.meant(f"{first.subject}@{words}")
    except RiglogError:
        return ""
    return f"did you mean {first.subject}@{words}?"


def _fields(old: Entry, new: Entry, left_out: set[str]) -> Iterator[Difference]:
    """Fields that differ, beside those that are told otherwise."""
    one, two = as_documents(old), as_documents(new)
    for path in differing(one, two):
        if path[0] not in left_out:
            yield Difference("field", field_name(path), one.get(path), two.get(path))


def _of_builds(library: Library, old: Meant, new: Meant) -> DiffAnswer:
    from riglog.jobs.differences import steps

    stands = (library.stands(old), library.stands(new))
    first, last = (each.hung(each.since[:10]) for each in stands)
    describer = Describer(library)
    entries = (old.version.entry, new.version.entry)
    answer = DiffAnswer(describer.described(entries[0]), describer.described(entries[1]), ())
    fields = list(_fields(*entries, _TOLD))
    changes = steps(first, last, library.component)
    if first.build.rig != last.build.rig:
        rig = Difference("field", "rig", first.build.rig, last.build.rig)
        told = [*(step.difference for step in changes), rig, *fields]
        return _on_two_rigs(library, stands, (first, last), answer._replace(differences=told))
    return _between(library, stands, (first, last), changes, answer._replace(differences=fields))


def _on_two_rigs(
    library: Library, stands: tuple[Standing, Standing], ends: tuple[Hung, Hung], answer: DiffAnswer
) -> DiffAnswer:
    """The answer with what each part weighs; none of them could go over by itself."""
    from riglog.estimation.inference import Inference
    from riglog.jobs.diff_effects import by_weight, hangs
    from riglog.library.evidence import kit_for

    old, new = ends
    wanted = stands[1].build.wanted_drop or stands[0].build.wanted_drop
    kit = kit_for(library.logbook, ends, _touched(old, new))
    before, after = Inference(kit, ends).stands
    told, unlisted_kg = by_weight(answer.differences, before, after)
    return answer._replace(
        differences=told,
        build=new.build.id,
        pivot=after.tree.scales[after.tree.pivot],
        wanted_s=wanted,
        before=hangs(before, wanted),
        after=hangs(after, wanted),
        unlisted_kg=unlisted_kg,
    )


def _between(
    library: Library,
    stands: tuple[Standing, Standing],
    ends: tuple[Hung, Hung],
    changes: Sequence[Step],
    answer: DiffAnswer,
) -> DiffAnswer:
    """The answer with what every change does alone, by one estimate of all that lies between."""
    from riglog.estimation.inference import Inference
    from riglog.jobs.diff_effects import effect, hangs, rest, size
    from riglog.jobs.differences import closure, made
    from riglog.library.evidence import kit_for

    old, new = ends
    wanted = stands[1].build.wanted_drop or stands[0].build.wanted_drop
    differences = [step.difference for step in changes]
    sets = [closure(changes, place) for place in range(len(changes))]
    every = tuple(range(len(changes)))
    ways = dict.fromkeys([(), every, *map(tuple, sets), *map(_with_it, enumerate(sets))])
    # Each is set anew, the first too: so none has the setting error that a reading told of.
    states = [
        made(old, new, [differences[n] for n in way])._replace(version=f"with {way}")
        for way in ways
    ]
    kit = kit_for(library.logbook, ends, _touched(old, new))
    inference = Inference(kit, [old, new, *states])
    before, after, *between = (hangs(each, wanted) for each in inference.stands)
    found = dict(zip(ways, between, strict=True))
    shares = [
        effect(found[tuple(each)], found[_with_it((place, each))])
        for place, each in enumerate(sets)
    ]
    told = [
        each._replace(effect=share, adjuster=_scale(inference.stands[:2], each))
        for each, share in zip(differences, shares, strict=True)
    ]
    told.sort(key=lambda each: -size(each.effect))
    tree = inference.stands[1].tree
    listed = effect(found[()], found[every])
    return answer._replace(
        differences=[*told, *answer.differences],
        build=new.build.id,
        pivot=tree.scales[tree.pivot],
        wanted_s=wanted,
        before=before,
        after=after,
        together=rest(listed, shares) if changes else None,
        again=rest(effect(before, after), [listed]),
    )


def _with_it(step: tuple[int, Sequence[int]]) -> tuple[int, ...]:
    """A step and all that has to come with it."""
    return tuple(sorted({step[0], *step[1]}))


def _touched(old: Hung, new: Hung) -> list[str]:
    """Components that are not on both."""
    sides = ({part.component for part in each.build.parts} for each in (old, new))
    one, two = sides
    return sorted(one ^ two)


def _scale(stands: Sequence[Hanging], each: Difference) -> Any:
    if each.do != "set":
        return None
    for hanging in stands:
        if each.what in hanging.tree.adjusters:
            return hanging.tree.scales[hanging.tree.adjusters.index(each.what)]
    return None


def _of_things(library: Library, old: Meant, new: Meant) -> DiffAnswer:
    entries = (old.version.entry, new.version.entry)
    describer = Describer(library)
    fields = list(_fields(*entries, {"id"}))
    answer = DiffAnswer(describer.described(entries[0]), describer.described(entries[1]), fields)
    same = entries[0].subject == entries[1].subject
    build = _hung_with(library, entries[1].subject) if same and fields else None
    if build is None:
        return answer
    return _felt(library, entries, build, answer)


def _hung_with(library: Library, thing: str) -> str | None:
    """The build in use if the thing is on it, else the newest that it is on."""
    log = library.logbook
    builds = [each.subject for each in log.builds_using(thing, limit=50)]
    chosen = log.chosen(library.author)
    return chosen if chosen in builds else next(iter(builds), None)


def _felt(
    library: Library, entries: tuple[Entry, Entry], build: str, answer: DiffAnswer
) -> DiffAnswer:
    """What each field does to a build, changed one at a time."""
    from riglog.jobs.diff_effects import effect, rest, size

    standing = library.standing(build)
    hang = _hanger(library, standing, entries[1])
    groups = _groups(answer.differences)
    before, after = hang(entries[0].body), hang(entries[1].body)
    if before is None or after is None:
        return answer
    one, two = flat(entries[0].body), flat(entries[1].body)
    told: list[Difference] = []
    shares: list[Effect] = []
    for group in groups:
        found = hang(_with(one, two, group)) if group[0].what not in _NO_WEIGHT else None
        if found is None:
            told += group
            continue
        share = effect(before, found)
        told.append(group[0]._replace(effect=share, along=tuple(group[1:])))
        shares.append(share)
    told.sort(key=lambda each: -size(each.effect))
    pivot = next(each for each in library.rig(standing.build.rig).adjusters if each.id == "pivot")
    return answer._replace(
        differences=told,
        build=build,
        pivot=pivot,
        wanted_s=standing.build.wanted_drop,
        before=before,
        after=after,
        together=rest(effect(before, after), shares),
    )


def _groups(fields: Sequence[Difference]) -> list[list[Difference]]:
    """Fields that tell one thing together, such as a mass and how well it is known."""
    found: dict[str, list[Difference]] = {}
    for each in sorted(fields, key=lambda each: each.what in _TOGETHER):
        found.setdefault(_TOGETHER.get(each.what, each.what), []).append(each)
    return list(found.values())


def _with(one: dict[Any, Any], two: dict[Any, Any], group: Sequence[Difference]) -> dict[str, Any]:
    """The old content with a few fields of the new one."""
    from riglog.library.reversing import folded

    names = {each.what for each in group}
    mixed = {path: value for path, value in one.items() if field_name(path) not in names}
    mixed |= {path: value for path, value in two.items() if field_name(path) in names}
    return folded(mixed)


def _hanger(library: Library, standing: Standing, entry: Entry) -> Callable[[Any], Hangs | None]:
    """How a build hangs with a thing that says this or that; None where it cannot.

    All else is as one estimate has it, that of the thing as ``entry`` has it: were each asked by
    itself, what nobody listed would weigh more or less along with the thing.
    """
    from riglog.estimation.guess import as_if
    from riglog.estimation.inference import Inference
    from riglog.jobs.diff_effects import hangs
    from riglog.library.evidence import kit_for

    hung = standing.hung(standing.since[:10])
    kit = kit_for(library.logbook, [hung], [entry.subject])
    # What was weighed is said by the versions themselves, which are told apart here.
    weighings = {name: all_ for name, all_ in kit.weighings.items() if name != entry.subject}
    kit = kit._replace(weighings=weighings)
    try:
        told = Inference(_said(kit, entry, entry.body), [hung])
    except (KeyError, ValueError):
        return lambda _: None  # a mount that parts sit on is not there yet

    def hang(body: Any) -> Hangs | None:
        try:
            guess = as_if(_said(kit, entry, body), hung, told.parameters, told.theta)
            return hangs(guess, standing.build.wanted_drop)
        except (KeyError, ValueError):
            return None

    return hang


def _said(kit: Kit, entry: Entry, body: Any) -> Kit:
    """The kit with a thing that says this."""
    from riglog.records import Component, Rig, from_body

    if entry.kind == "rig":
        return kit._replace(rigs={**kit.rigs, entry.subject: from_body(Rig, body)})
    noun = from_body(Component, body)
    return kit._replace(components={**kit.components, entry.subject: noun})
