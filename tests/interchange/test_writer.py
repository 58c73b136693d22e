"""Nouns written as documents, and read again."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from noun_strategies import NOUNS

from riglog.interchange import Document, read_document, read_file, write_document
from riglog.records import Adjuster, Component, Drop, LoadRange, Mount, Rig

KIT = Path(__file__).parent / "kit.yaml"


def nouns(document: Document) -> list[object]:
    assert document.findings == ()
    groups = (
        document.components,
        document.rigs,
        document.builds,
        document.scales,
        document.readings,
        document.measurements,
    )
    return [placed.noun for group in groups for placed in group]


@settings(deadline=None, max_examples=200)
@given(NOUNS)
def test_any_noun_reads_back_as_the_same_noun(noun: object) -> None:
    assert nouns(read_document(write_document([noun]))) == [noun]


def test_the_kit_of_the_manual_reads_back_as_the_same_kit() -> None:
    kit = nouns(read_file(str(KIT)))
    assert nouns(read_document(write_document(kit))) == kit


def test_a_document_looks_as_a_person_would_write_it() -> None:
    pivot = Adjuster(id="pivot", axis="z", travel=(0.38, 0.6), step=0.0005)
    rig = Rig(
        id="post-one",
        type="post",
        mounts={"post": Mount(at=(0.0, 0.0, 0.0)), "yoke": Mount(at=(0.0, 0.0, 0.0), tilts=False)},
        adjusters=(pivot, Adjuster(id="stage", axis="x", travel=(-0.0508, 0.0508), unit="in")),
        rated_load={"rig": LoadRange(greatest=24.0)},
    )
    lens = Component(
        id="lens-35", kind="lens", mass=0.95, size=(0.12, 0.095, 0.095), serial="0123", note="16:9"
    )
    drop = Drop(build="a-cam", on="2026-03-14T09:10:00+01:00", times=(3.1, 3.0), nose="down")
    assert (
        write_document([drop, rig, lens])
        == """riglog: 1
components:
  - id: lens-35
    kind: lens
    mass: 950 g
    size: [120 mm, 95 mm, 95 mm]
    serial: '0123'
    note: '16:9'
rigs:
  - id: post-one
    type: post
    mounts:
      post: [0 mm, 0 mm, 0 mm]
      yoke: {at: [0 mm, 0 mm, 0 mm], tilts: false}
    adjusters:
      - {id: pivot, axis: z, travel: [380 mm, 600 mm], step: 0.5 mm}
      - {id: stage, axis: x, travel: [-2 in, 2 in], unit: in}
    rated_load: 24 kg
readings:
  - build: a-cam
    kind: drop
    times: [3.1 s, 3 s]
    from: down
    on: 2026-03-14T09:10:00+01:00
"""
    )


def test_words_that_other_readers_take_for_something_else_are_quoted() -> None:
    words = ("16:9", "0123", "1e3", "null", "~", "yes", "1.5", "0x10")
    text = write_document([Component(id="c", tags=words)])
    assert yaml.safe_load(text)["components"][0]["tags"] == list(words)


def test_a_load_between_two_masses_keeps_its_name() -> None:
    rig = Rig(id="r", type="post", rated_load={"rig": LoadRange(least=9.0, greatest=20.0)})
    text = write_document([rig])
    assert "rig: [9 kg, 20 kg]" in text
    assert nouns(read_document(text)) == [rig]


def test_no_nouns_are_a_document_too() -> None:
    assert write_document([]) == "riglog: 1\n"


@pytest.mark.parametrize("mass", [float("nan"), float("inf"), 1e300])
def test_what_no_document_can_hold_is_not_written(mass: float) -> None:
    with pytest.raises(ValueError, match="is no quantity of a rig"):
        write_document([Component(id="c", mass=mass)])
