"""Tables as spreadsheets write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riglog.errors import DocumentError
from riglog.interchange.tables import DELIMITERS, decimal_mark, figure, table_of


def refusal(data: bytes | str) -> str:
    with pytest.raises(DocumentError) as caught:
        table_of(data, "kit.csv")
    return "\n".join(map(str, caught.value.findings))


@pytest.mark.parametrize("mark", DELIMITERS)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("start", ["", "\ufeff"])
def test_any_delimiter_line_end_and_byte_order_mark_make_the_same_table(
    mark: str, ends: str, start: str
) -> None:
    text = start + ends.join([f"id{mark}mass", f"a{mark}1", "", f"b{mark}2", ""])
    table = table_of(text.encode(), "kit.csv")
    assert table.columns == ["id", "mass"]
    assert [(row.number, row.cells) for row in table.rows] == [(2, ["a", "1"]), (4, ["b", "2"])]


def test_a_quoted_cell_keeps_its_delimiters_quotes_and_line_ends() -> None:
    table = table_of('id;note\na;"one; two ""three""\nfour"\nb;five\n', "kit.csv")
    assert table.rows[0].cells[1] == 'one; two "three"\nfour'
    assert table.rows[1].number == 3


def test_decimal_commas_do_not_hide_the_semicolon() -> None:
    assert table_of("id;mass\na;1,5\nb;2,5\n", "kit.csv").columns == ["id", "mass"]


def test_rows_of_another_length_are_named_and_the_rest_is_read() -> None:
    table = table_of("a,b,,\n1,2,,\n3\n4,5,6,7\n8,9\n", "kit.csv")
    assert [row.cells for row in table.rows] == [["1", "2"], ["8", "9"]]
    assert [str(each) for each in table.findings] == [
        (
            "kit.csv:3: 1 cell stands where the first row names 2 columns; put a cell that holds"
            " the delimiter in quotes"
        ),
        (
            "kit.csv:4: 4 cells stand where the first row names 2 columns; put a cell that holds"
            " the delimiter in quotes"
        ),
    ]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        ("", "the table is empty"),
        ("\n ;;\n", "the table is empty"),
        ("a;A \n1;2", '2 columns are called "a"'),
        ('a;b\n"1;2', "this is not CSV"),
        (b"a;b\n\xe4;2", "not UTF-8"),
        ("a;b\n1;2".encode("utf-16"), "UTF-16"),
        (b"PK\x03\x04\x00\x00", "binary"),
        (";".join(map(str, range(300))), "there are 300 columns"),
    ],
)
def test_what_is_no_table_is_refused(data: bytes | str, told: str) -> None:
    assert told in refusal(data)


@pytest.mark.parametrize(
    ("cells", "delimiter", "mark"),
    [
        (["1,5", "12"], ";", ","),
        (["1.5", "12"], ";", "."),
        (["1.234,5"], ";", ","),
        (["1,234.5"], ";", "."),
        (["0,125"], ";", ","),
        (["1.120", "2.5"], ";", "."),
        (["1.120"], ",", "."),
        (["12", "13"], ";", "."),
        (["1,120 kg", "1,5 kg"], ";", ","),
    ],
)
def test_the_decimal_mark_is_told_by_figures_that_can_be_read_in_one_way(
    cells: list[str], delimiter: str, mark: str
) -> None:
    assert decimal_mark(enumerate(cells, 2), "kit.csv", delimiter, "") == mark


@pytest.mark.parametrize(
    ("cells", "delimiter", "told"),
    [
        (["1,120"], ";", 'kit.csv:2: "1,120" can be 1120 and 1.120; say which'),
        (["7", "1.120"], ";", 'kit.csv:3: "1.120" can be 1120 and 1.120; say which'),
        (["1,120"], ",", '"1,120" can be 1120 and 1.120'),
        (["1,5", "2.5"], ";", 'kit.csv:3: figures have the decimal mark "." here and "," in row 2'),
    ],
)
def test_a_figure_that_can_be_two_is_refused(cells: list[str], delimiter: str, told: str) -> None:
    with pytest.raises(DocumentError) as caught:
        decimal_mark(enumerate(cells, 2), "kit.csv", delimiter, "say which")
    assert told in str(caught.value.findings[0])


@given(st.decimals(-99999, 99999, places=2), st.sampled_from([("1,2", "."), ("1.2", ",")]))
def test_a_figure_means_the_same_with_either_mark(value: object, marks: tuple[str, str]) -> None:
    grouping, decimal = marks[0][1], marks[1]
    whole, _, rest = f"{value:,.2f}".partition(".")
    written = whole.replace(",", grouping) + decimal + rest
    assert figure(written, decimal) == f"{value:.2f}"  # type: ignore[arg-type]  # one of both


def test_figures_with_units_keep_them() -> None:
    assert figure("2 lb 4,5 oz", ",") == "2 lb 4.5 oz"
    assert figure("18 3/8 in", ",") == "18 3/8 in"
