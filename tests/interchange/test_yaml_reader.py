"""YAML and JSON as a plain tree, and all that is refused on the way."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.interchange.nodes import plain
from riglog.interchange.yaml_reader import read_nodes

SYNTAX = [
    (
        "a: [1",
        "did not find expected ',' or ']', while parsing a flow sequence that begins on line 1",
        "a bracket is not closed, or a comma is missing",
    ),
    (
        "a: 'x\n",
        "found unexpected end of stream, while scanning a quoted scalar that begins on line 1",
        "a quote is not closed",
    ),
    (
        "a:\n\t- 1",
        "found character that cannot start any token",
        "indent with spaces, and put a value that begins with @, ` or % in quotes",
    ),
    (
        "a: 1\nnote: say: hello",
        "mapping values are not allowed in this context",
        "put a value that holds a colon and a space in quotes",
    ),
    (
        "- a\nb: 1",
        (
            "did not find expected '-' indicator, while parsing a block collection that begins "
            "on line 1"
        ),
        "give all items of the list the same indent",
    ),
]
BINARY = "the file is binary, not text; give a YAML or JSON document"
UTF8 = "save the file as UTF-8"


def tree(text: str) -> object:
    root, findings = read_nodes(text, "kit.yaml")
    assert findings == []
    assert root is not None
    return plain(root)


def lines(data: bytes | str) -> list[str]:
    return [str(finding) for finding in read_nodes(data, "kit.yaml")[1]]


def test_every_scalar_stays_the_text_that_was_written() -> None:
    text = "a: 16:9\nb: 0123\nc: NO\nd: 1e3\ne: 25921e05\nf: '7'\ng: 2026-03-14\nh: 10:20:30:12\n"
    assert tree(text) == {
        "a": "16:9",
        "b": "0123",
        "c": "NO",
        "d": "1e3",
        "e": "25921e05",
        "f": "7",
        "g": "2026-03-14",
        "h": "10:20:30:12",
    }


def test_json_is_read_like_yaml() -> None:
    value = {"a": "caf\u00e9 \U0001f3a5", "b": ["x\\\\ud83d", '"', "\n"], "c": {"d/e": "1"}}
    assert tree(json.dumps(value)) == value
    assert tree(json.dumps(value, indent="\t", ensure_ascii=False)) == value
    assert tree('{"mass":4.2,"tilts":false}') == {"mass": "4.2", "tilts": "false"}


def test_a_byte_order_mark_is_passed_over() -> None:
    root, findings = read_nodes(b"\xef\xbb\xbfriglog: 1\n", "kit.yaml")
    assert (root and plain(root), findings) == ({"riglog": "1"}, [])


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            "a: &x [1]",
            "kit.yaml:1: anchors such as &x are not read; write the value out",
        ),
        ("a: 1\nb: *x", "kit.yaml:2: aliases such as *x are not read; write the value out"),
        ("a: !!int 3", "kit.yaml:1: tags such as !!int are not read; leave the tag out"),
        (
            "a: !!python/object/apply:os.system [ls]",
            (
                "kit.yaml:1: tags such as !!python/object/apply:os.system are not read; "
                "leave the tag out"
            ),
        ),
        ("a: ! 3", "kit.yaml:1: tags such as ! are not read; leave the tag out"),
        (
            "mass: 1\nid: x\nmass: 2",
            'kit.yaml:3: "mass" stands twice, first on line 1; keep one of them',
        ),
        ("? [a]\n: 1", "kit.yaml:1: a key is not text; write a word before the colon"),
        ("{a: 1}: 2", "kit.yaml:1: a key is not text; write a word before the colon"),
        ("{~: 2}", "kit.yaml:1: nothing stands here; write a value or leave it out"),
        ("a: 1\nb:\n", "kit.yaml:2: nothing stands here; write a value or leave it out"),
        ('{"a": null}', "kit.yaml:1: nothing stands here; write a value or leave it out"),
        ("a: [1, ~]", "kit.yaml:1: nothing stands here; write a value or leave it out"),
        (
            "a: 1\n---\nb: 2\n",
            "kit.yaml:2: a second document begins here; put it into a file of its own",
        ),
        ("", "kit.yaml:1: the document is empty; begin it with riglog: 1"),
        ("# nothing\n\n", "kit.yaml:1: the document is empty; begin it with riglog: 1"),
        (
            "[" * 22 + "]" * 22,
            "kit.yaml:1: lists and keys are more than 20 deep; write it flatter",
        ),
    ],
)
def test_what_a_kit_does_not_need_is_refused_with_its_line(text: str, line: str) -> None:
    assert lines(text) == [line]


@pytest.mark.parametrize(("text", "problem", "mend"), SYNTAX)
def test_what_is_no_yaml_is_told_where_it_broke_and_what_to_look_for(
    text: str, problem: str, mend: str
) -> None:
    assert lines(text) == [f"kit.yaml:2: this is not YAML: {problem}; {mend}"]


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (b"a: 1\nb: \xff\n", f"kit.yaml:2: the text is not UTF-8: byte 0xFF; {UTF8}"),
        (b"a: 1\nb: \0\n", f"kit.yaml:2: {BINARY}"),
        (b"\xff\xfea\0", "kit.yaml:1: the text is UTF-16; save the file as UTF-8"),
        (b"\x7fELF\x02\x01\0", f"kit.yaml:1: {BINARY}"),
        (b"a: \x1b[31m", "kit.yaml:1: a control character, U+001B; save the file as plain text"),
        (b"a: b\n" * 900_000, "kit.yaml: the document is larger than 4 MiB; split it"),
    ],
)  # fmt: skip
def test_bytes_that_are_no_text_are_refused(data: bytes, line: str) -> None:
    assert lines(data) == [line]


def test_an_alias_bomb_stays_as_small_as_it_was_written() -> None:
    bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n"
    for name, of in zip("bcdefgh", "abcdefg", strict=True):
        bomb += f"{name}: &{name} [{', '.join([f'*{of}'] * 9)}]\n"
    root, findings = read_nodes(bomb, "kit.yaml")
    assert len(findings) == 8 + 7 * 9
    assert len(str(root and plain(root))) < 1000


def test_all_mistakes_of_a_file_are_found_in_one_run() -> None:
    found = [line.partition(";")[0] for line in lines("a: &x 1\na: 2\nb:\nc: *x\nd: !t 3\n")]
    assert found == [
        "kit.yaml:1: anchors such as &x are not read",
        'kit.yaml:2: "a" stands twice, first on line 1',
        "kit.yaml:3: nothing stands here",
        "kit.yaml:4: aliases such as *x are not read",
        "kit.yaml:5: tags such as !t are not read",
    ]


YAMLISH = st.lists(
    st.sampled_from([
        "a", "b", ": ", ":", "- ", "\n", "  ", "[", "]", "{", "}", ", ", "'", '"', "&x ", "*x",
        "!!int ", "|", ">", "? ", "#", "---", "%", "\t", "\\ud83d", "null", "riglog: 1\n",
        "\u2028", "\x85", "\ufeff",
    ]),
    max_size=40,
).map("".join)  # fmt: skip


@given(st.one_of(st.binary(), st.text(), YAMLISH))
def test_any_bytes_and_any_text_end_in_a_tree_or_in_findings(data: bytes | str) -> None:
    root, findings = read_nodes(data, "kit.yaml")
    assert root is not None or findings
    assert all(finding.mend for finding in findings)
