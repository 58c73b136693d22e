"""Lines and paths in the tree of a document."""

from riglog.interchange.nodes import Sequence, follow, line_of, path_words
from riglog.interchange.yaml_reader import read_nodes


def test_every_node_knows_its_line() -> None:
    root, _ = read_nodes("a:\n  - b: 1\n    c: [x,\n        y]\n  - 2\nd: 3\n", "kit.yaml")
    assert root is not None
    assert line_of(root, ()) == 1
    assert line_of(root, ("a",)) == 1
    assert line_of(root, ("a", 0, "c")) == 3
    assert line_of(root, ("a", 0, "c", 1)) == 4
    assert line_of(root, ("a", 1)) == 5
    assert line_of(root, ("a", 0, "no such key", "c")) == 3
    assert line_of(root, ("d",)) == 6


def test_a_path_is_told_by_the_names_of_what_it_passes() -> None:
    root, _ = read_nodes("parts: [{component: lens-35, as: b, offset: [1, 2]}]", "kit.yaml")
    assert root is not None
    assert path_words(root, ("parts", 0, "offset", 1)) == "parts.b.offset"
    assert isinstance(follow(root, ("parts",)), Sequence)
