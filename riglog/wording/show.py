"""What `show` says: a kit document, with what else is known in its comments."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.records import Adjuster
from riglog.wording import described, kept, layout, objects, readings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from riglog.jobs.show import ShowAnswer, Stands
    from riglog.jobs.version_answers import Described
    from riglog.records import Component

_MILLIMETERS = Adjuster(id="pivot", axis="z", step=0.0001)


def say(answer: ShowAnswer) -> str:
    """A document that can be changed and added again."""
    from riglog.interchange import write_document

    comments = (layout.wrapped(line, "# ", "#   ") for line in _comments(answer))
    return "\n".join([*comments, write_document([answer.noun]).rstrip("\n")])


def _comments(answer: ShowAnswer) -> Iterator[str]:
    told = answer.kept
    by = f"recorded {kept.minute(told.at)} by {layout.harmless(told.author)}"
    if answer.kind == "reading":
        yield f"a reading of {answer.id}@{told.version}, {by}, entry {kept.short(told.entry)}"
    else:
        newest = "" if answer.newest else ", superseded"
        yield f"{answer.id}@{told.version}{newest}, {by}, entry {kept.short(told.entry)}"
    if told.forked:
        yield f"a fork: {answer.id} has another newest version, and nobody settled which counts"
    for other, component in answer.apart:
        who = f"{layout.harmless(other.author)} {kept.minute(other.at)}"
        yield f"weighed apart, and counts as well: {_weighed(component)} ({who}, @{other.version})"
    if answer.fate:
        yield f"it counts no longer: {described.fate_words(answer.fate)}"
    yield from map(_said, answer.said)
    if answer.stands and answer.stands.settings:
        yield f"stands, since {kept.minute(answer.stands.since)}: {_settings(answer.stands)}"


def _weighed(component: Component) -> str:
    """What somebody weighed, as documents write it."""
    from riglog.interchange.writer import written

    said = written(component)
    by = f" by {said['by']}" if "by" in said else ""
    return f"{said['mass']}{by}"


def _said(said: Described) -> str:
    """A note, a tag or a name, by whom and when; what it is about only where it is not plain."""
    who = f"{described.when(said)}, {kept.short(said.entry)}"
    words = layout.harmless(" ".join(said.words.split()))
    what = {"tag": "tagged", "name": "called"}.get(said.kind, said.kind)
    return f"{what} {words} ({who})" if what != "note" else f"note: {words} ({who})"


def _settings(stands: Stands) -> str:
    scales = stands.adjusters
    told = [
        f"{name} {readings.mark(setting, scales.get(name, _MILLIMETERS))}"
        for name, setting in stands.settings.items()
    ]
    return ", ".join([*told, *([f"head {stands.head}"] if stands.head else [])])


def tell(answer: ShowAnswer) -> dict[str, Any]:
    """What one record says, and what else is known of it, as one object.

    ``{"kind", "id", "version", "name", "entry", "author", "at", "forked", "newest", "document",
    "settings", "since", "head", "said", "fate", "apart"}``

    ``document`` has the document's own keys and words; ``settings`` tells where a build stands,
    ``head`` what its powered head does, ``said`` lists notes, tags and names, ``fate`` is as
    ``history`` has it. ``apart`` has ``{"name", "entry", "author", "at", "mass_kg"}`` of each
    newest version of a component that somebody else weighed apart from this one. A note, a tag, a
    name or an undo is shown as ``history`` tells it.
    """
    from riglog.interchange.writer import written

    return {
        "kind": answer.kind,
        "id": answer.id,
        **kept.as_json(answer.kept),
        "newest": answer.newest,
        "document": written(answer.noun),
        "settings": _settings_json(answer.stands) if answer.stands else None,
        "since": answer.stands.since if answer.stands else None,
        "head": answer.stands.head if answer.stands else None,
        "said": described.all_json(answer.said),
        "fate": described.fate_json(answer.fate),
        "apart": [
            {
                "name": other.version,
                "entry": other.entry,
                "author": other.author,
                "at": other.at,
                "mass_kg": objects.number(component.mass, "kg"),
            }
            for other, component in answer.apart
        ],
    }


def _settings_json(stands: Stands) -> list[dict[str, Any]]:
    return [
        {"adjuster": name, **readings.mark_json(setting, "at")}
        for name, setting in stands.settings.items()
    ]
