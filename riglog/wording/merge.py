"""What `merge` says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from riglog.errors import listed
from riglog.wording import kept, layout
from riglog.wording.kept import many

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from riglog.errors import Finding
    from riglog.jobs.merge import MergeAnswer
    from riglog.logbook.transfer.merge import Fork, Head, Odd, Plan
    from riglog.wording.warned import Message

_SHOWN = 12


def say(answer: MergeAnswer) -> str:
    """How much is new, from where; what is forked now; what is odd."""
    plan = answer.plan
    return layout.page(
        layout.lines(_first(answer)),
        _made(answer),
        layout.table([("FROM", "ENTRIES", "NEW"), *_sources(plan)], "<>>"),
        _left_out(answer),
        layout.lines(*map(_fork, plan.forks[:_SHOWN]), _more(plan.forks)),
        _settle(plan),
        layout.lines(*map(_weighed, plan.weighed[:_SHOWN]), _more(plan.weighed)),
        layout.lines(*(message for _, message in warnings(plan))),
        f"Fingerprint now: {answer.fingerprint}" if answer.fingerprint else "",
    )


def _first(answer: MergeAnswer) -> str:
    plan = answer.plan
    if not plan.new:
        return "Nothing new: every entry is here already."
    kinds = listed([many(count, kind) for kind, count in plan.kinds.items()], "and")
    authors = listed([layout.harmless(name) for name in list(plan.authors)[:_SHOWN]], "and")
    merged = "Would merge" if answer.dry_run else "Merged"
    return f"{merged} {many(plan.new, 'new entry')}: {kinds}, of {authors}."


def _made(answer: MergeAnswer) -> str:
    would = "It would make a new library" if answer.dry_run else "A new library"
    return f"{would}: {layout.harmless(answer.path)}" if answer.made else ""


def _sources(plan: Plan) -> Iterator[tuple[str, str, str]]:
    for source, new in plan.sources:
        yield layout.harmless(str(source.path)), str(source.entries), str(new)


def _left_out(answer: MergeAnswer) -> str:
    if not answer.left_out:
        return ""
    would = "Would leave out" if answer.dry_run else "Left out"
    told = [layout.harmless(str(each)) for each in answer.left_out[:_SHOWN]]
    more = len(answer.left_out) - _SHOWN
    return layout.listing(
        f"{would} {many(len(answer.left_out), 'entry')}, which a backup or a bundle can bring in:",
        [*told, *([f"{more} more"] if more > 0 else [])],
    )


def _fork(fork: Fork) -> str:
    heads = listed([_head(fork, head) for head in fork.heads], "and")
    return f"Forked: {fork.subject} has {len(fork.heads)} newest versions, {heads}."


def _head(fork: Fork, head: Head) -> str:
    who = layout.harmless(head.author)
    return f"{fork.subject}@{head.name} ({who}, {kept.day(head.at)})"


def _weighed(fork: Fork) -> str:
    heads = listed([_head(fork, head) for head in fork.heads], "and")
    return f"Weighed apart: {fork.subject}, {heads}. All count."


def _more(forks: Sequence[Fork]) -> str:
    more = len(forks) - _SHOWN
    return f"So {'has' if more == 1 else 'have'} {more} more." if more > 0 else ""


def _settle(plan: Plan) -> str:
    """A command for each fork that is told."""
    if not plan.forks:
        return ""
    told = (layout.command("riglog settle", each.subject) for each in plan.forks[:_SHOWN])
    return "\n".join(["Nothing is lost. To say which counts:", *told])


def warnings(plan: Plan) -> Iterator[Message]:
    """Ids that mean two things, and times that cannot be right."""
    for subject, kinds in plan.clashes:
        named = listed([f"a {kind}" for kind in kinds], "and")
        yield "two_kinds", f"{subject} is {named}: name one of them anew."
    if plan.ahead:
        yield "clock_ahead", _odd(plan.ahead, "in the future", "up to")
    if plan.long_ago:
        yield "clock_long_ago", _odd(plan.long_ago, "before 2000", "down to")
    if plan.behind:
        yield "clock_behind", _odd(plan.behind, "before what they supersede", "down to")


def _odd(odd: Odd, where: str, end: str) -> str:
    are = "1 entry is" if odd.entries == 1 else f"{odd.entries} entries are"
    until = "" if odd.entries == 1 else f", {end} {kept.day(odd.at)}"
    on = f", on {kept.day(odd.at)}" if odd.entries == 1 else until
    return (
        f"{are} dated {where}{on}: a clock was wrong. What supersedes what does not go by clocks."
    )


def tell(answer: MergeAnswer) -> dict[str, Any]:
    """What came in, or would, as one object.

    ``{"path", "dry_run", "made", "new", "kinds", "authors", "sources", "left_out", "forks",
    "weighed", "warnings", "fingerprint"}``

    ``kinds`` and ``authors`` count new entries; ``sources`` holds ``{"path", "entries", "new",
    "fingerprint"}`` of each, the fingerprint null of one that was rescued; ``left_out`` what was
    not sound of those, each ``{"file", "line", "message"}``; ``forks`` holds ``{"kind",
    "id", "heads"}`` of each thing that several people changed apart from each other, each head
    ``{"name", "entry", "author", "at"}``, named as ``show``, ``diff`` and ``settle`` take it.
    ``weighed`` holds the same of each component that several people weighed apart from each other:
    all of that counts. The fingerprint of the library is null in a dry run.
    """
    plan = answer.plan
    return {
        "path": answer.path,
        "dry_run": answer.dry_run,
        "made": answer.made,
        "new": plan.new,
        "kinds": dict(plan.kinds),
        "authors": dict(plan.authors),
        "sources": [
            {
                "path": str(source.path),
                "entries": source.entries,
                "new": new,
                "fingerprint": source.fingerprint or None,
            }
            for source, new in plan.sources
        ],
        "left_out": [_left_out_json(each) for each in answer.left_out],
        "forks": [_fork_json(fork) for fork in plan.forks],
        "weighed": [_fork_json(fork) for fork in plan.weighed],
        "warnings": [{"code": code, "message": message} for code, message in warnings(plan)],
        "fingerprint": answer.fingerprint,
    }


def _left_out_json(left: Finding) -> dict[str, Any]:
    return {"file": left.file, "line": left.line, "message": left.message}


def _fork_json(fork: Fork) -> dict[str, Any]:
    heads = [
        {"name": head.name, "entry": head.id, "author": head.author, "at": head.at}
        for head in fork.heads
    ]
    return {"kind": fork.kind, "id": fork.subject, "heads": heads}
