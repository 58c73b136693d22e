"""A rig engraved in inches: its masses in pounds and ounces, in words and never in JSON."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

import pytest
from jobs.flown import WHOLE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

ENGRAVED = WHOLE.replace(
    "{id: pivot, axis: z, travel: [380 mm, 600 mm], step: 0.5 mm}",
    "{id: pivot, axis: z, travel: [15 in, 24 in], step: 1/32 in, unit: in}",
).replace("ring-one", "ring-inch")
METRIC = re.compile(r"\d (kg|g)\b|\bkg\b|\bgrams\b|GRAMS")
ASKED = [
    ["predict", "a-cam"],
    ["swap", "a-cam", "lens-35=lens-75"],
    ["drop", "a-cam", "2.6", "--want", "3s"],
    ["shot", "a-cam"],
    ["sensitivity", "a-cam"],
    ["lens-table", "a-cam", "--swap", "lens-35", "--with", "lens-*"],
    ["weigh", "a-cam", "31 lb 4 oz"],
    ["weigh", "lens-35", "2 lb 8 oz"],
    ["list", "rigs"],
    ["list", "components"],
    ["check", "a-cam"],
    ["history", "a-cam"],
    ["list", "readings"],
]


@pytest.fixture
def inches(riglog: Riglog, tmp_path: Path) -> Riglog:
    """A library whose rigs are all engraved in inches, with a build that was weighed."""
    file = tmp_path / "flown.yaml"
    file.write_text(ENGRAVED)
    assert riglog("init").status == 0
    assert riglog("add", str(file)).status == 0
    assert riglog("weigh", "a-cam", "31 lb").status == 0
    return riglog


@pytest.mark.parametrize("words", ASKED, ids=" ".join)
def test_masses_are_told_in_pounds_and_ounces(inches: Riglog, words: list[str]) -> None:
    done = inches(*words)
    assert done.status == 0
    assert re.search(r"\b(lb|oz|ounces)\b", done.out)
    assert not METRIC.search(done.out)


@pytest.mark.parametrize("words", ASKED, ids=" ".join)
def test_json_has_the_unit_of_its_keys(inches: Riglog, words: list[str]) -> None:
    told = json.loads(inches(*words, "--json").out)
    assert not [key for key, _ in keyed(told) if key.endswith(("_lb", "_oz"))]


def test_what_two_versions_differ_in_is_told_in_ounces(inches: Riglog) -> None:
    inches("swap", "a-cam", "lens-35=lens-75", "--save", "a-cam")
    page = inches("diff", "a-cam@1", "a-cam@2").out
    assert "OUNCES" in page
    told = re.match(r"a-cam@2 against a-cam@1: \+([0-9.]+) oz, ", page)
    assert told is not None
    # By their documents 1.84 kg for 1.12 kg; the weighing of the whole moves both a little.
    assert float(told[1]) == pytest.approx((1.84 - 1.12) / 0.028349523125, abs=2)
    assert not METRIC.search(page)


def test_a_load_past_its_rating_is_told_in_pounds(inches: Riglog) -> None:
    page = " ".join(inches("swap", "a-cam", "=body-south@base", "--drop", "3s").out.split())
    # 15 kg, by its documents.
    assert re.search(r"The gimbal carries 3\d\.\d lb and is rated for 33\.1 lb at most", page)
    assert re.search(r"; gimbal 3\d\.\d of 33\.1 lb, more than it is rated for", page)


def test_where_a_rig_is_in_millimeters_a_component_is_told_in_grams(
    inches: Riglog, tmp_path: Path
) -> None:
    """It may go on either."""
    other = tmp_path / "other.yaml"
    other.write_text(
        "riglog: 1\nrigs: [{id: spare, type: post, adjusters: [{id: pivot, axis: z}]}]\n"
    )
    assert inches("weigh", "lens-35", "2 lb 8 oz").out.startswith("lens-35 weighs 2.")
    assert inches("add", str(other)).status == 0
    assert " g (" in inches("weigh", "lens-35").out.splitlines()[0]


def keyed(told: Any) -> Iterator[tuple[str, Any]]:
    """Keys and values of an object, however deep."""
    if isinstance(told, dict):
        for key, value in told.items():
            yield key, value
            yield from keyed(value)
    elif isinstance(told, list):
        for each in told:
            yield from keyed(each)
