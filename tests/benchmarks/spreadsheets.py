"""What it costs to import a large spreadsheet, over parsing and validating it alone.

python tests/benchmarks/spreadsheets.py --rows 100000
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from riglog.interchange import Nothing, cross_check
from riglog.interchange.mapping import read_mapping
from riglog.interchange.sheets import read_sheet
from riglog.jobs.spreadsheet import import_sheet
from riglog.library import Library

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

MAPPING = """\
riglog_import: 1
rows: components
columns:
  id: {column: Item, slug: true}
  kind: {column: Type, words: {Lens: lens, Camera: camera, Battery: battery}}
  mass: Weight
  size: [Length, Width, Height]
  serial: Serial
  note: Remarks
"""
HEAD = "Item;Type;Weight (kg);Length (mm);Width (mm);Height (mm);Serial;Remarks"


def write_rows(path: Path, count: int) -> None:
    """An inventory with decimal commas."""
    rng = np.random.default_rng(7)
    kinds = rng.choice(["Lens", "Camera", "Battery"], count)
    masses, sizes = rng.uniform(0.1, 6.0, count), rng.integers(40, 400, (count, 3))
    rows = [
        f"Thing {i};{kinds[i]};{masses[i]:.4f};{a};{b};{c};{i:07};shelf {i % 97}".replace(".", ",")
        for i, (a, b, c) in enumerate(sizes)
    ]
    path.write_text("\n".join([HEAD, *rows]), encoding="utf-8")


def main(arguments: Sequence[str] | None = None, say: Callable[[str], None] = print) -> None:
    """Print both times and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=100_000)
    count = parser.parse_args(arguments).rows
    with tempfile.TemporaryDirectory() as folder:
        sheet, mapping = Path(folder) / "house.csv", Path(folder) / "house.yaml"
        write_rows(sheet, count)
        mapping.write_text(MAPPING)
        start = time.process_time()
        document = read_sheet(str(sheet), read_mapping(str(mapping)))
        assert not cross_check([document], Nothing())
        alone = time.process_time() - start
        del document
        start = time.process_time()
        with Library.create(Path(folder) / "house.db", "bench") as library:
            answer = import_sheet(library, str(sheet), str(mapping))
        whole = time.process_time() - start
        assert len(answer.rows) == count
    say(f"{count:,} rows parsed and validated in {alone:.1f} s, imported in {whole:.1f} s")
    say(f"{whole / alone:.2f} times the cost of parsing and validating alone (at most 3)")


if __name__ == "__main__":
    main()
