from __future__ import annotations

import shlex

from hypothesis import given
from hypothesis import strategies as st
from wcwidth import wcswidth

from riglog.wording import layout

WIDE = "カメラ本体"


def test_a_figure_stays_on_the_line_of_its_unit() -> None:
    text = f"{'x' * 76} 487.5 mm"
    assert layout.wrapped(text) == f"{'x' * 76}\n487.5 mm"


def test_an_id_is_not_broken_at_its_hyphens() -> None:
    text = f"{'x' * 74} lens-75 on"
    assert layout.wrapped(text) == f"{'x' * 74}\nlens-75 on"


def test_a_list_hangs_under_its_dashes() -> None:
    assert layout.listing("Mind:", ["word " * 20]) == (
        "Mind:\n- " + ("word " * 15).strip() + "\n  " + ("word " * 5).strip()
    )


def test_an_empty_list_has_no_heading() -> None:
    assert layout.listing("Mind:", []) == ""
    assert layout.numbered("Steps:", []) == ""


def test_ten_steps_stand_under_each_other() -> None:
    rows = layout.numbered("Steps:", ["go"] * 10).splitlines()
    assert rows[1] == " 1. go"
    assert rows[10] == "10. go"


def test_a_table_aligns_names_left_and_figures_right() -> None:
    rows = [["in mm", "from"], ["gimbal", "487.0"], ["base", "0"]]
    assert layout.table(rows, "<>") == "in mm    from\ngimbal  487.0\nbase        0"


def test_wide_letters_keep_the_columns_straight() -> None:
    rows = [["name", "mm"], [WIDE, "1"], ["a", "2"]]
    assert layout.table(rows, "<<") == f"name        mm\n{WIDE}  1\na           2"


def test_a_long_name_keeps_both_its_ends() -> None:
    assert layout.shortened("very-long-name-of-a-lens", 12) == "very-..-lens"
    assert layout.shortened("short", 12) == "short"


@given(st.lists(st.text("abc-", min_size=1, max_size=70), min_size=1, max_size=8))
def test_a_command_is_the_same_words_wherever_it_is_broken(words: list[str]) -> None:
    text = layout.command("riglog drop", *words)
    assert max(map(len, text.splitlines())) <= 80
    assert shlex.split(text.replace("\\\n", " ")) == ["riglog", "drop", *words]


@given(st.text(max_size=60), st.integers(8, 40))
def test_no_name_takes_more_columns_than_it_is_given(name: str, most: int) -> None:
    shown = layout.shortened(layout.harmless(name), most)
    assert wcswidth(shown) <= most


@given(st.text(max_size=200))
def test_a_persons_words_cannot_steer_a_terminal(words: str) -> None:
    shown = layout.harmless(words)
    assert shown.isprintable()
    assert all(wcswidth(line) <= 80 for line in layout.wrapped(shown).splitlines())


def test_escapes_and_marks_of_direction_are_spelled_out() -> None:
    assert layout.harmless("lens\x1b[2J\u202egnol") == "lens\\x1b[2J\\u202egnol"
    assert layout.harmless(f"{WIDE} ok") == f"{WIDE} ok"
