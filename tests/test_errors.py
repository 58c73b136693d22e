"""The words that every message is made of."""

import pytest

from riglog.errors import Finding, QuantityError, listed, mend_word, name_shown, nearest, quoted


def test_a_finding_is_one_line_with_its_place_and_its_mend() -> None:
    assert str(Finding("kit.yaml", 4, "no", "yes")) == "kit.yaml:4: no; yes"
    assert str(Finding("kit.yaml", 0, "no")) == "kit.yaml: no"


def test_an_error_says_what_is_wrong_and_what_to_do() -> None:
    assert str(QuantityError("no", hint="yes")) == "no; yes"
    assert str(QuantityError("no")) == "no"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("3 mm", '"3 mm"'),
        ("\x1b[2J\n", '"\\x1b[2J\\n"'),
        ("a\u202eb", '"a\\u202eb"'),
        ("\ud800", '"\\ud800"'),
        ("caf\u00e9", '"caf\u00e9"'),
        ("x" * 61, '"' + "x" * 57 + '..."'),
    ],
)
def test_words_in_a_message_are_short_and_harmless_to_a_terminal(text: str, shown: str) -> None:
    assert quoted(text) == shown


def test_a_name_needs_no_quotes_and_anything_else_does() -> None:
    assert name_shown("lens-35.front_2") == "lens-35.front_2"
    assert name_shown("a b") == '"a b"'
    assert name_shown("") == '""'


def test_the_nearest_word_is_offered_and_otherwise_all_of_them() -> None:
    assert nearest("lense", ["camera", "lens"]) == "lens"
    assert nearest("zzz", ["camera", "lens"]) == ""
    assert mend_word("lense", ["camera", "lens"]) == "did you mean lens?"
    assert mend_word("zzz", ["camera", "lens", "post"]) == "write camera, lens or post"
    assert listed(["a"]) == "a"
    assert listed([]) == "none"
