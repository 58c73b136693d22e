from __future__ import annotations

import pytest
from logbook.kit import NO_SUCH, build, component, draft, reading, record, rig

from riglog.errors import AmbiguousError, NotFoundError
from riglog.logbook import Entry, Logbook
from riglog.logbook.auditing.audit import audit


def test_what_was_appended_is_read_back_after_reopening(log: Logbook) -> None:
    made = [component("lens-35", mass=1.12), rig("post-one")]
    appended = record(log, *made)
    assert [(e.seq, e.kind, e.subject, e.author) for e in appended] == [
        (1, "component", "lens-35", "north"),
        (2, "rig", "post-one", "north"),
    ]
    assert [entry.id for entry in appended] == [each.envelope.id for each in made]
    with Logbook.open(log._database.path) as other:
        assert list(other.log()) == appended
        assert list(other.log(after=1)) == appended[1:]


def test_an_equal_entry_is_not_recorded_again(log: Logbook) -> None:
    first = record(log, component("lens-35"), component("lens-75"))
    again = record(log, component("lens-75"), component("lens-35"), component("lens-35"))
    assert again == [first[1], first[0], first[0]]
    assert list(log.log()) == first


def test_an_entry_without_its_parent_is_refused_and_nothing_of_its_batch_stays(
    log: Logbook,
) -> None:
    with pytest.raises(NotFoundError, match="supersedes 00000000, which is not here"):
        record(log, component("lens-75"), component("lens-35", NO_SUCH))
    assert list(log.log()) == []
    assert log.subjects("component") == []
    assert log.search("lens") == []
    (entry,) = record(log, component("lens-75"))
    assert entry.seq == 1


def test_after_a_refusal_a_write_can_go_on(log: Logbook) -> None:
    with log.writing() as transaction:
        (first,) = transaction.append([component("lens-35", note="soft")])
        with pytest.raises(NotFoundError):
            transaction.append([component("lens-75", note="sharp"), component("x", NO_SUCH)])
        (second,) = transaction.append([component("lens-99", note="new")])
    assert list(log.log()) == [first, second]
    assert (log.search("soft"), log.search("sharp"), log.search("new")) == ([first], [], [second])
    assert audit(log._database.path)[:2] == (2, ())


def test_a_parent_may_stand_earlier_in_the_same_batch(log: Logbook) -> None:
    first = component("lens-35")
    _, second = record(log, first, component("lens-35", first.envelope.id, mass=1.0))
    assert log.heads("component", "lens-35") == [second]


def test_an_exception_inside_a_write_leaves_nothing(log: Logbook) -> None:
    def spoiled() -> None:
        with log.writing() as transaction:
            transaction.append([component("lens-35")])
            assert transaction.subjects("component") == ["lens-35"]
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        spoiled()
    assert list(log.log()) == []


def test_an_entry_is_found_by_its_id_or_a_start_that_no_other_has(
    log: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = record(log, *(component(f"lens-{n}") for n in range(50)))
    assert log.entry(entries[7].id) == entries[7]
    assert log.entry(entries[7].id[:12].upper()) == entries[7]
    for word in ("", "abc", "zzzz", NO_SUCH, "____", "%%%%"):
        with pytest.raises(NotFoundError):
            log.entry(word)
    monkeypatch.setattr("riglog.logbook.reads._SHORTEST_ID", 1)
    starts = [entry.id[0] for entry in entries]
    shared = next(start for start in starts if starts.count(start) > 1)
    with pytest.raises(AmbiguousError, match=f'several entries start with "{shared}"'):
        log.entry(shared)


def test_ids_of_a_kind_are_listed_once_each_and_sorted(log: Logbook) -> None:
    (first,) = record(log, component("lens-75"))
    record(log, component("lens-35"), component("lens-75", first.id, mass=1.0), rig("post-one"))
    assert log.subjects("component") == ["lens-35", "lens-75"]
    assert log.subjects("rig") == ["post-one"]
    assert log.subjects("build") == []


def test_one_namespace_tells_what_an_id_is(path: object, entries: list[Entry]) -> None:
    with Logbook.open(path) as log:  # type: ignore[arg-type]
        kinds = [log.kind_of(name) for name in ("lens-35", "post-one", "a-cam", "lens-99")]
    assert kinds == ["component", "rig", "build", None]
    assert entries


def test_words_are_resolved_within_a_kind_or_in_all(log: Logbook) -> None:
    record(log, component("lens-35"), rig("post-one"), build("a-cam"), build("lens-test"))
    assert log.resolve("post") == "post-one"
    assert log.resolve("lens", "component") == "lens-35"
    assert log.resolve("lens-35") == "lens-35"
    with pytest.raises(AmbiguousError, match="lens-35 or lens-test"):
        log.resolve("lens")
    with pytest.raises(NotFoundError, match="did you mean a-cam"):
        log.resolve("b-cam", "build")


def test_search_finds_words_and_their_beginnings_whatever_their_accents(log: Logbook) -> None:
    soft, other = record(
        log,
        component("lens-35", note="Röhre: weich bei Blende 2"),
        component("lens-75", note="sharp", by="bench scale"),
    )
    (later,) = record(log, component("lens-35", soft.id, note="rohre fixed"))
    assert log.search("rohre") == [later, soft]
    assert log.search("RÖHRE weich") == [soft]
    assert log.search("benc sca") == [other]
    assert log.search("lens-75") == [other]
    assert log.search("lens north", limit=1) == [later]
    assert log.search("lens", before=later.seq) == [other, soft]
    assert log.search("sharp", kind="rig") == []
    assert log.search("weichs") == []  # no stemming


@pytest.mark.parametrize(
    "words",
    [
        "",
        "  ",
        '"',
        "'",
        "*",
        "()",
        "a AND",
        "NOT",
        "NEAR(x",
        "text:",
        "^",
        "-",
        "a-b+c",
        "\x00",
        "%",
    ],
)
def test_punctuation_in_a_search_is_never_an_error(log: Logbook, words: str) -> None:
    record(log, component("lens-35"))
    assert log.search(words) == []


def test_the_chosen_build_is_each_authors_own_and_no_part_of_the_log(log: Logbook) -> None:
    assert log.chosen("north") is None
    with log.writing() as transaction:
        transaction.choose("north", "a-cam")
        transaction.choose("south", "b-cam")
        transaction.choose("north", "c-cam")
    assert (log.chosen("north"), log.chosen("south")) == ("c-cam", "b-cam")
    assert list(log.log()) == []


def test_later_kinds_of_entries_need_no_change_here(log: Logbook) -> None:
    (lens,) = record(log, component("lens-35"))
    (note,) = record(log, draft("note", "lens-35", {"text": "front ring loose"}))
    assert log.heads("note", "lens-35") == [note]
    assert log.heads("component", "lens-35") == [lens]
    assert log.search("ring loose", kind="note") == [note]


def test_what_a_read_costs_does_not_grow_with_the_log(log: Logbook) -> None:
    """Counted in steps of SQLite's machine, which no other load on the computer changes."""
    (mine,) = record(log, build("a-cam", uses=("lens-35",)))
    (taken,) = record(log, reading(mine))
    record(log, *(component(f"thing-{n}") for n in range(8)))
    before = _costs(log, mine, taken)
    for batch in range(20):
        uses = tuple(f"thing-{n}" for n in range(8))
        (other,) = record(log, build(f"other-{batch}", uses=uses))
        record(log, *(reading(other, times=(3 + n / 100,)) for n in range(100)))
    after = _costs(log, mine, taken)
    assert len(list(log.log())) > 2000
    for question, steps in before.items():
        assert after[question] <= steps * 1.2, question


def _costs(log: Logbook, build: Entry, reading: Entry) -> dict[str, int]:
    return {
        "heads": _steps(log, lambda: log.heads("build", "a-cam")),
        "versions": _steps(log, lambda: log.versions("build", "a-cam")),
        "version": _steps(log, lambda: log.version("build", "a-cam", "1")),
        "version_of": _steps(log, lambda: log.version_of(build)),
        "entry": _steps(log, lambda: log.entry(reading.id)),
        "children": _steps(log, lambda: log.children(build.id)),
        "ancestors": _steps(log, lambda: log.ancestors(build.id)),
        "readings_of": _steps(log, lambda: log.readings_of("a-cam", limit=5)),
        "readings_using": _steps(log, lambda: log.readings_using("lens-35", limit=5)),
        "kind_of": _steps(log, lambda: log.kind_of("a-cam")),
        "subjects": _steps(log, lambda: log.subjects("component")),
        "resolve": _steps(log, lambda: log.resolve("lens-test", "component")),
    }


def _steps(log: Logbook, question: object) -> int:
    steps = 0

    def count() -> int:
        nonlocal steps
        steps += 1
        return 0

    log._database._connection.set_progress_handler(count, 1)
    try:
        question()  # type: ignore[operator]
    except NotFoundError:
        pass
    finally:
        log._database._connection.set_progress_handler(None, 1)
    return steps
