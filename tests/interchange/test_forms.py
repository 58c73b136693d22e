"""Single values that are no quantities."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import CallError
from riglog.interchange import forms
from riglog.records.form import is_instant

ID = "write small letters, digits and single hyphens"
PLACE = "write a name, or part.name, in small letters, digits and single hyphens"
INSTANT = "write a day and an hour, as 2026-03-14T09:10 or 2026-03-14T09:10:00+01:00"
FIGURE = "write a figure, as 23.976"


@pytest.mark.parametrize("text", ["a", "lens-35", "0", "a-b-c", "25921e05", "x" * 64])
def test_ids_are_small_letters_digits_and_single_hyphens(text: str) -> None:
    assert forms.identifier(text) == text


@pytest.mark.parametrize(
    ("read", "text", "message"),
    [
        (forms.identifier, "Lens 35", f'"Lens 35" is no id; {ID}, as lens-35'),
        (forms.identifier, "a--b", f'"a--b" is no id; {ID}, as a-b'),
        (forms.identifier, "../../x", f'"../../x" is no id; {ID}, as x'),
        (forms.identifier, "\u00e9", f'"\u00e9" is no id; {ID}'),
        (forms.identifier, "", f'"" is no id; {ID}'),
        (forms.identifier, "x\n", f'"x\\n" is no id; {ID}, as x'),
        (forms.identifier, "x" * 65, f'"{"x" * 57}..." is no id; write at most 64 characters'),
        (forms.place, "a.b.c", f'"a.b.c" is no name of a place; {PLACE}'),
        (forms.place, "a.", f'"a." is no name of a place; {PLACE}'),
        (forms.line, "a\nb", '"a\\nb" has more than one line; write it on one'),
        (forms.line, "x" * 201, f'"{"x" * 57}..." has 201 characters; keep to 200'),
        (forms.note, "\x1b[2J", '"\\x1b[2J" holds the control character U+001B; take it out'),
        (forms.note, "a\u202eb", '"a\\u202eb" holds the control character U+202E; take it out'),
        (forms.note, "\ud800", '"\\ud800" holds the control character U+D800; take it out'),
        (forms.note, "x" * 10_001, f'"{"x" * 57}..." has 10001 characters; keep to 10000'),
        (forms.boolean, "no", '"no" is neither true nor false; write false'),
        (forms.boolean, "True", '"True" is neither true nor false; write true'),
        (forms.boolean, "1", '"1" is neither true nor false; write true or false'),
        (forms.figure, "nan", f'"nan" is no plain number; {FIGURE}'),
        (forms.figure, "24 fps", f'"24 fps" is no plain number; {FIGURE}'),
        (forms.figure, "1" * 5000, f'"{"1" * 57}..." is no plain number; {FIGURE}'),
        (forms.whole, "1.5", '"1.5" is no count; write a whole figure, as 10'),
        (forms.whole, "\u0663", '"\u0663" is no count; write a whole figure, as 10'),
        (forms.day, "14.3.2026", '"14.3.2026" is no day; write it as 2026-03-14'),
        (forms.day, "2026-02-30", '"2026-02-30" is no day; write it as 2026-03-14'),
        (forms.day, "0000-02-20", '"0000-02-20" is no day; write it as 2026-03-14'),
        (forms.instant, "yesterday", f'"yesterday" is no time of a day; {INSTANT}'),
        (forms.instant, "2026-03-14T25", f'"2026-03-14T25" is no time of a day; {INSTANT}'),
        (forms.instant, "10000-01-01", f'"10000-01-01" is no time of a day; {INSTANT}'),
        (
            forms.instant, "0001-01-01T00:00+00:44:30",
            f'"0001-01-01T00:00+00:44:30" is no time of a day; {INSTANT}',
        ),
    ],
)  # fmt: skip
def test_a_word_that_does_not_fit_is_told_what_to_write(
    read: Callable[[str], object], text: str, message: str
) -> None:
    with pytest.raises(CallError) as caught:
        read(text)
    assert str(caught.value) == message


def test_a_choice_names_the_nearest_word_or_the_few_there_are() -> None:
    with pytest.raises(CallError, match="did you mean lens"):
        forms.choice("lense", ("camera", "lens"))
    with pytest.raises(CallError, match="write up or down"):
        forms.choice("sideways", ("up", "down"))


def test_text_is_stored_in_composed_form() -> None:
    assert forms.line("cafe\u0301") == "caf\u00e9"
    assert forms.note("a\n\tb") == "a\n\tb"


def test_a_time_without_an_offset_is_that_of_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    monkeypatch.setenv("TZ", "UTC-05:30")
    time.tzset()
    assert forms.instant("2026-03-14T09:10") == "2026-03-14T09:10:00+05:30"
    assert forms.instant("2026-03-14") == "2026-03-14T00:00:00+05:30"
    assert forms.instant("2026-03-14T09:10Z") == "2026-03-14T09:10:00+00:00"
    assert forms.instant("2026-03-14 09:10:11.5-03:00") == "2026-03-14T09:10:11.500000-03:00"
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize("zone", ["UTC", "UTC-12", "UTC+12"])
@pytest.mark.parametrize("text", ["0001-01-01", "1903-05-01T09:00", "9999-12-31T23:59:59"])
def test_a_day_of_any_year_is_kept(text: str, zone: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import time

    monkeypatch.setenv("TZ", zone)
    time.tzset()
    assert forms.instant(text).startswith(text)
    assert is_instant(forms.instant(text))
    assert forms.day(text[:10]) == text[:10]
    monkeypatch.undo()
    time.tzset()


def test_an_offset_with_seconds_is_turned_into_utc() -> None:
    assert forms.instant("1971-01-01T00:00-00:44:30") == "1971-01-01T00:44:30+00:00"


READERS = [*forms.TEXTS.values(), forms.line, forms.boolean, forms.figure, forms.whole]


@given(st.text(), st.sampled_from(READERS))
def test_any_text_fits_or_ends_in_a_mend(text: str, read: Callable[[str], object]) -> None:
    try:
        outcome = str(read(text)) or "an empty note"
    except CallError as error:
        outcome = error.hint
    assert outcome
