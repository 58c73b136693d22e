"""What the pages say, against the program."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from riglog.cli import main
from riglog.cli.commands import commands
from riglog.interchange import read_document
from riglog.interchange.mapping import KEY, read_mapping
from riglog.interchange.sheets import document_from
from riglog.interchange.tables import table_of
from riglog.records.measurements import MEASUREMENT_KINDS
from riglog.records.readings import KINDS

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[1]
PAGES = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/*.md")])
YAML = re.compile(r"```yaml\n(.*?)```", re.DOTALL)
SHOWN = YAML.findall((ROOT / "docs" / "documents.md").read_text("utf-8"))
MAPPINGS = [text for text in SHOWN if text.startswith(KEY)]
MANUAL = [text for text in SHOWN if text not in MAPPINGS]
NOUNS = ("components", "rigs", "builds", "scales", "readings", "measurements")


def linked(page: Path) -> Iterator[str]:
    """Files of the tree that a page links to."""
    for target in re.findall(r"\]\(([^)#]+)", page.read_text("utf-8")):
        if "://" not in target:
            yield target


def asked(page: Path) -> Iterator[str]:
    """Commands that a page tells people to type."""
    words = r"(?:`|^ {2,}|^\$ |\| )riglog ([a-z-]+)"
    yield from re.findall(words, page.read_text("utf-8"), re.MULTILINE)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_links_to_what_is_there(page: Path) -> None:
    assert [target for target in linked(page) if not (page.parent / target).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_names_commands_that_there_are(page: Path) -> None:
    assert set(asked(page)) <= set(commands())


def test_a_document_of_the_manual_is_recorded_as_it_stands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert MANUAL
    library = ["--db", str(tmp_path / "kit.db"), "--author", "ada", "--json"]
    assert main(["init", *library]) == 0
    for number, text in enumerate(MANUAL):
        file = tmp_path / f"{number}.yaml"
        file.write_text(text, encoding="utf-8")
        capsys.readouterr()
        assert main(["add", str(file), *library]) == 0
        assert json.loads(capsys.readouterr().out)["warnings"] == []
    assert main(["predict", "a-cam", *library]) == 0


def test_a_mapping_of_the_manual_reads_a_spreadsheet(tmp_path: Path) -> None:
    (text,) = MAPPINGS
    file = tmp_path / "map.yaml"
    file.write_text(text, encoding="utf-8")
    table = table_of(
        "Item;Type;Weight (kg);Length (mm);Width (mm);Height;Serial;Tags\n"
        "Lens 35;Prime;1,250;120;95;95;0123;a, b\n",
        "kit.csv",
    )
    document = document_from(table, read_mapping(str(file)))
    assert document.findings == ()
    (lens,) = (placed.noun for placed in document.components)
    assert (lens.id, lens.kind, lens.mass, lens.tags) == ("lens-35", "lens", 1.25, ("a", "b"))


def test_the_manual_shows_every_kind_of_record() -> None:
    documents = [read_document(text) for text in MANUAL]
    shown = {each.noun.kind for document in documents for each in document.readings}
    assert shown == set(KINDS)
    measured = {each.noun.kind for document in documents for each in document.measurements}
    assert measured == set(MEASUREMENT_KINDS)
    assert all(any(getattr(each, kind) for each in documents) for kind in NOUNS)
