"""Weighing, balancing and swinging components, as a crew does it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from riglog.logbook import Logbook
from riglog.logbook.auditing.proof import proof

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

SCALES = """\
riglog: 1
components:
  - {id: block-battery, kind: battery, size: [70 mm, 110 mm, 170 mm]}
scales:
  - {id: bench-one, resolution: 1 g, linearity: 2 g, checked: 2026-11-01}
  - {id: bench-two, resolution: 1 g, checked: 2026-11-01}
  - {id: crane, resolution: 10 g, checked: 2020-01-01, reference: 10 kg, showed: 10.2 kg}
  - {id: loft, resolution: 5 g}
"""
WITH_POST = """\
riglog: 1
components:
  - {id: tube, kind: post, mass: 2.2 kg, size: [50 mm, 50 mm, 750 mm]}
builds:
  - id: b-cam
    rig: post-one
    parts: [{component: tube, on: stage}, {component: body-north, on: stage}]
    settings: {pivot: 487 mm, stage-side: 0 mm}
"""


@pytest.fixture
def scales(riglog: Riglog, kit: str, tmp_path: Path) -> str:
    file = tmp_path / "scales.yaml"
    file.write_text(SCALES)
    assert kit
    assert riglog("add", str(file)).status == 0
    return str(file)


def told(done: Done) -> Any:
    assert done.status == 0, done.err
    return json.loads(done.out)


def entries(riglog: Riglog) -> int:
    return int(told(riglog("audit", "--json"))["entries"])


def test_scales_are_listed_and_shown_as_they_were_written(riglog: Riglog, scales: str) -> None:
    assert scales
    rows = told(riglog("list", "scales", "--json"))
    assert [row["scale"] for row in rows] == ["bench-one", "bench-two", "crane", "loft"]
    assert rows[0]["resolution_kg"] == pytest.approx(0.001)
    assert "- id: crane\n" in riglog("show", "crane").out


def test_a_weighing_sharpens_the_mass_that_was_stated(riglog: Riglog, scales: str) -> None:
    assert scales
    before = told(riglog("weigh", "lens-75", "--json"))
    assert before["entry"] is None
    after = told(riglog("weigh", "lens-75", "1.452kg", "1.451kg", "--scale", "bench-one", "--json"))
    assert after["before_kg"] == before["mass_kg"] == pytest.approx(1.45)
    assert after["mass_sd_kg"] < before["mass_sd_kg"] / 3
    assert 1.451 < after["mass_kg"] < 1.452
    assert [each["by"] for each in after["weighings"]] == [None, "bench-one"]
    assert after["warnings"] == []
    assert told(riglog("weigh", "lens-75", "--json"))["mass_kg"] == after["mass_kg"]


def test_a_weighing_is_first_said_in_words(riglog: Riglog, scales: str) -> None:
    assert scales
    said = riglog("weigh", "lens-75", "1.452kg", "--scale", "bench-one").out.splitlines()
    assert said[0].startswith("lens-75 weighs 1452 g (14")
    assert "Before: 1450 g" in " ".join(said[:2])


def test_a_part_that_was_weighed_is_no_longer_taken_for_granted(
    riglog: Riglog, kit: str, tmp_path: Path
) -> None:
    assert kit
    bare = tmp_path / "bare.yaml"
    bare.write_text(
        "riglog: 1\ncomponents: [{id: clip-on, kind: filter}]\nbuilds:\n"
        "  - {id: b-cam, rig: post-one, parts: [{component: clip-on, on: stage}],"
        " settings: {pivot: 487 mm, stage-side: 0 mm}}\n"
    )
    assert riglog("add", str(bare)).status == 0
    before = told(riglog("predict", "b-cam", "--json"))
    assert before["evidence"]["unweighed"] == ["clip-on"]
    told(riglog("weigh", "clip-on", "120g", "--json"))
    after = told(riglog("predict", "b-cam", "--json"))
    assert after["evidence"]["unweighed"] == []
    assert after["mass_kg"] - before["mass_kg"] == pytest.approx(0.12 - 0.15, abs=1e-6)


def test_by_difference_what_the_rig_weighs_without_it_is_taken_off(
    riglog: Riglog, scales: str
) -> None:
    assert scales
    call = ("weigh", "block-battery", "17.640kg", "--without", "16.120kg", "--scale", "bench-one")
    after = told(riglog(*call, "--json"))
    assert after["mass_kg"] == pytest.approx(1.52)
    assert after["mass_sd_kg"] == pytest.approx((2 * (1 / 12 + 4 / 3)) ** 0.5 / 1000, rel=0.01)


def test_a_lens_that_weighs_what_it_never_did_is_doubted(riglog: Riglog, scales: str) -> None:
    assert scales
    after = told(riglog("weigh", "lens-75", "1.55kg", "--scale", "bench-one", "--json"))
    assert [each["code"] for each in after["warnings"]] == ["unlike_before"]
    assert after["surprise_sd"] > 3
    assert after["mass_sd_kg"] > 0.01


def test_a_scale_that_was_never_or_long_not_checked_is_doubted(riglog: Riglog, scales: str) -> None:
    assert scales
    crane = told(riglog("weigh", "block-battery", "1.5kg", "--scale", "crane", "--json"))
    assert [each["code"] for each in crane["warnings"]] == ["scale_check_old", "scale_off"]
    loft = told(riglog("weigh", "lens-75", "1.45kg", "--scale", "loft", "--json"))
    assert [each["code"] for each in loft["warnings"]] == ["scale_unchecked"]


def test_a_scale_that_shows_more_than_all_others_is_noticed(
    riglog: Riglog, kit: str, scales: str, tmp_path: Path
) -> None:
    assert kit
    assert scales
    masses = {f"part-{number}": 0.8 + 0.3 * number for number in range(5)}
    parts = tmp_path / "parts.yaml"
    listed = "".join(f"  - {{id: {name}}}\n" for name in masses)
    parts.write_text(f"riglog: 1\ncomponents:\n{listed}")
    assert riglog("add", str(parts)).status == 0
    for name, mass in masses.items():
        riglog("weigh", name, f"{mass:.3f}kg", "--scale", "bench-one")
    codes = []
    for name, mass in masses.items():
        shown = f"{1.01 * mass:.3f}kg"
        done = told(riglog("weigh", name, shown, "--scale", "bench-two", "--json"))
        codes.append({each["code"] for each in done["warnings"]})
    assert ["scale_drifts" in each for each in codes] == [False, False, False, True, True]


def test_a_whole_rig_is_held_against_the_sum_of_its_parts(
    riglog: Riglog, scales: str, tmp_path: Path
) -> None:
    assert scales
    (tmp_path / "post.yaml").write_text(WITH_POST)
    riglog("add", str(tmp_path / "post.yaml"))
    call = ("weigh", "b-cam", "6.415kg", "--scale", "bench-one")
    fitting = told(riglog(*call, "--json"))
    assert fitting["parts_kg"] == pytest.approx(6.41)
    # Two masses as stated, 0.2 % of each, and the scale: 1 g in steps, 2 g of linearity.
    sd = (4.4**2 + 8.42**2 + 1 / 12 + 4 / 3) ** 0.5
    assert fitting["tolerance_kg"] == pytest.approx(1.96 * sd / 1000, rel=0.15)
    assert fitting["fits"] is True
    said = " ".join(riglog("weigh", "b-cam", "6.5kg", "--scale", "bench-one").out.split())
    assert "+90 g against the sum of its parts, which does NOT fit (tolerance" in said
    assert "a part missing, listed twice" in said


def test_what_nobody_listed_or_weighed_is_said_beside_the_sum(riglog: Riglog, scales: str) -> None:
    assert scales
    found = told(riglog("weigh", "a-cam", "19kg", "--json"))
    assert (found["unweighed"], found["unlisted"], found["fits"]) == ([], True, True)
    said = " ".join(riglog("weigh", "a-cam", "19kg").out.split())
    assert "Never weighed: all that is not listed; the tolerance is mostly theirs." in said


def test_an_edge_tells_where_a_lens_balances(riglog: Riglog, scales: str) -> None:
    assert scales
    found = told(riglog("cg", "lens-75", "--edge", "92mm", "--datum", "30mm", "--json"))
    assert found["measured_mm"] == pytest.approx(62.0)
    assert abs(found["at_mm"] - 62) < 1
    assert found["before_mm"] is None
    again = told(riglog("cg", "lens-75", "--edge", "63mm", "--json"))
    assert 62 < again["at_mm"] < 63
    assert again["sd_mm"] < found["sd_mm"]


def test_two_supports_or_one_and_the_mass_tell_the_same(riglog: Riglog, scales: str) -> None:
    assert scales
    riglog("weigh", "block-battery", "2.09kg", "--scale", "bench-one")
    both = ("--supports", "300mm", "--front", "1.22kg", "--rear", "0.87kg", "--scale", "bench-one")
    two = told(riglog("cg", "block-battery", *both, "--json"))
    assert two["measured_mm"] == pytest.approx(300 * 1.22 / 2.09)
    one = told(riglog("cg", "block-battery", *both[:4], "--scale", "bench-one", "--json"))
    assert one["measured_mm"] == pytest.approx(two["measured_mm"])


def test_turned_onto_its_side_it_tells_another_axis(riglog: Riglog, scales: str) -> None:
    assert scales
    up = told(riglog("cg", "block-battery", "--edge", "81mm", "--axis", "z", "--json"))
    assert (up["along"], round(up["at_mm"])) == ("z", 81)
    assert "81" in riglog("cg", "block-battery", "--edge", "81mm", "--axis", "z").out
    assert " above its datum." in riglog("cg", "block-battery", "--edge", "81mm", "--axis", "z").out


def test_small_swings_tell_the_inertia(riglog: Riglog, scales: str) -> None:
    assert scales
    call = ("inertia", "block-battery", "--swings", "10", "--in", "7.6s", "--hung", "120mm")
    refused = riglog(*call)
    assert (refused.status, "mass of block-battery is not known" in refused.err) == (2, True)
    riglog("weigh", "block-battery", "1.5kg", "--scale", "bench-one")
    found = told(riglog(*call, "--json"))
    expected = 1.5 * 0.12 * (9.80665 * (0.76 / 6.283185307) ** 2 - 0.12)
    assert found["measured_kg_m2"] == pytest.approx(expected, rel=1e-4)
    assert found["inertia_sd_kg_m2"] < found["before_sd_kg_m2"]


@pytest.mark.parametrize(
    "words",
    [
        ("weigh", "lens-75", "1.45kg"),
        ("weigh", "a-cam", "14kg"),
        ("cg", "lens-75", "--edge", "62mm"),
        ("inertia", "lens-75", "--swings", "10", "--in", "7.6s", "--hung", "120mm"),
    ],
)
def test_a_day_that_cannot_be_right_is_taken_and_told(
    riglog: Riglog, scales: str, words: tuple[str, ...]
) -> None:
    assert scales
    done = riglog(*words, "--on", "2731-01-01")
    assert done.status == 0
    assert "It is dated 2731-01-01, which cannot be right" in " ".join(done.out.split())
    found = told(riglog(*words, "--on", "1903-05-01", "--json"))
    assert "untimed_year" in [each["code"] for each in found["warnings"]]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["weigh", "lens-75", "1.4"], "has no unit"),
        (["weigh", "lens-75", "0g"], "not more than nothing"),
        (["weigh", "lens-75", "-1kg"], "not more than nothing"),
        (["weigh", "lens-75", "1kg", "--without", "1.2kg"], "would weigh nothing"),
        (["weigh", "lens-75", "1kg", "--by", "eye"], "no source"),
        (["weigh", "post-one", "1kg"], "is a rig"),
        (["weigh", "a-cam"], "no mass of a-cam"),
        (["cg", "lens-75"], "say where it balances"),
        (["cg", "lens-75", "--edge", "62mm", "--supports", "30cm"], "say where it balances"),
        (["cg", "lens-75", "--edge", "62mm", "--axis", "q"], "no axis"),
        (["cg", "lens-75", "--supports", "300mm"], "no support's mass"),
        (["cg", "lens-75", "--supports", "5mm", "--front", "1kg"], "closer than a ruler"),
        (["cg", "lens-75", "--supports", "300mm", "--front", "9kg"], "more than lens-75 weighs"),
        (["cg", "block-battery", "--supports", "300mm", "--front", "1kg"], "is not known"),
        (["inertia", "lens-75", "--swings", "1", "--in", "1s", "--hung", "1cm"], "no period"),
        (["inertia", "lens-75", "--swings", "9", "--in", "1s", "--hung", "12cm"], "nothing hung"),
    ],
)
def test_words_that_cannot_be_are_refused_and_record_nothing(
    riglog: Riglog, scales: str, words: list[str], says: str
) -> None:
    assert scales
    before = entries(riglog)
    done = riglog(*words)
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert entries(riglog) == before


def test_a_scale_that_nobody_listed_is_no_answer(riglog: Riglog, scales: str) -> None:
    assert scales
    done = riglog("weigh", "lens-75", "1.4kg", "--scale", "attic")
    assert done.status == 3
    assert "riglog list scales" in done.err


def test_measurements_come_from_documents_too_and_only_once(
    riglog: Riglog, scales: str, tmp_path: Path
) -> None:
    assert scales
    file = tmp_path / "measured.yaml"
    file.write_text(
        "riglog: 1\nmeasurements:\n"
        "  - {component: lens-75, kind: weighing, shown: [1.452 kg], scale: bench-one,"
        " on: 2026-03-14T09:00Z}\n"
    )
    first = told(riglog("add", str(file), "--json"))
    assert [each["what"] for each in first["recorded"]] == ["new"]
    again = told(riglog("add", str(file), "--json"))
    assert [each["what"] for each in again["recorded"]] == ["same"]
    assert len(told(riglog("weigh", "lens-75", "--json"))["weighings"]) == 2


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("scales: [{id: bench-nine}]", "resolution is missing"),
        ("scales: [{id: bench-nine, resolution: 0 g}]", "not more than zero"),
        ("scales: [{id: bench-nine, resolution: 1 g, reference: 5 kg}]", "showed is missing"),
        ("scales: [{id: lens-75, resolution: 1 g}]", "has a component of that id"),
        ("measurements: [{component: lens-75, kind: guess, on: 2026-03-14T09:00Z}]", "no kind of"),
        (
            (
                "measurements: [{component: lens-99, kind: weighing, shown: [1 kg],"
                " on: 2026-03-14T09:00Z}]"
            ),
            "no component lens-99",
        ),
        (
            (
                "measurements: [{component: lens-75, kind: weighing, shown: [1 kg], scale: attic,"
                " on: 2026-03-14T09:00Z}]"
            ),
            "no scale attic",
        ),
        (
            (
                "measurements: [{component: lens-75, kind: weighing, shown: [1 kg], without: 2 kg,"
                " on: 2026-03-14T09:00Z}]"
            ),
            "weighs no more",
        ),
    ],
)
def test_what_cannot_be_in_a_document_is_named_with_its_line(
    riglog: Riglog, scales: str, tmp_path: Path, line: str, says: str
) -> None:
    assert scales
    file = tmp_path / "wrong.yaml"
    file.write_text(f"riglog: 1\n{line}\n")
    done = riglog("add", str(file))
    assert done.status == 2
    assert f"{file}:2: " in done.err
    assert says in done.err


def test_what_was_measured_stands_in_the_history_of_the_component(
    riglog: Riglog, scales: str
) -> None:
    assert scales
    told_then = ("--on", "2026-03-10T08:00:00Z", "--note", "with its cap")
    riglog("weigh", "lens-75", "1.452kg", "1.451kg", "--scale", "bench-one", *told_then)
    riglog("cg", "lens-75", "--edge", "62mm")
    events = told(riglog("history", "lens-75", "--json"))
    assert [each["event"] for each in events] == ["measurement", "measurement", "version"]
    assert events[1]["words"] == "weighing 1.452, 1.451 kg, bench-one"
    assert events[1]["on"] == "2026-03-10T08:00:00+00:00"
    riglog("note", "lens-75", "front cap lost")
    heading, _, *lines = riglog("history", "lens-75").out.splitlines()
    assert heading == ("lens-75, a component: 1 version, 2 measurements, 1 remark, newest first")
    page = " ".join(" ".join(lines).split())
    assert "center 62.0 mm along x, edge at 62mm, datum at 0mm [" in page
    weighed = "2026-03-10 08:00 kim weighing 1.452, 1.451 kg, bench-one: with its cap ["
    assert weighed in page


def test_a_weighing_can_be_taken_back(riglog: Riglog, scales: str) -> None:
    assert scales
    before = told(riglog("weigh", "lens-75", "--json"))["mass_kg"]
    entry = told(riglog("weigh", "lens-75", "1.7kg", "--json"))["entry"]
    assert told(riglog("weigh", "lens-75", "--json"))["mass_kg"] > before
    assert riglog("undo", entry[:12], "--yes").status == 0
    assert told(riglog("weigh", "lens-75", "--json"))["mass_kg"] == before


def test_two_people_who_change_a_scale_apart_make_a_fork_that_merge_tells(
    riglog: Riglog, scales: str, tmp_path: Path, db: Path
) -> None:
    assert scales
    other = tmp_path / "other.db"
    other.write_bytes(db.read_bytes())
    for path, step in ((db, "2 g"), (other, "9 g")):
        file = tmp_path / f"{step[0]}.yaml"
        file.write_text(f"riglog: 1\nscales: [{{id: loft, resolution: {step}}}]\n")
        assert riglog("add", str(file), "--db", str(path), "--author", f"by-{step[0]}").status == 0
    told = json.loads(riglog("merge", str(other), "--json").out)
    assert [each["id"] for each in told["forks"]] == ["loft"]
    forked = riglog("show", "loft")
    assert (forked.status, "riglog settle loft" in forked.err) == (3, True)


def test_a_library_with_measurements_is_proven_sound_and_so_is_one_that_took_it_in(
    riglog: Riglog, scales: str, tmp_path: Path, db: Path
) -> None:
    assert scales
    riglog("weigh", "lens-75", "1.452kg", "--scale", "bench-one", "--on", "2026-03-14T09:00Z")
    taken = tmp_path / "taken.db"
    assert riglog("init", "--db", str(taken)).status == 0
    assert riglog("merge", str(db), "--db", str(taken)).status == 0
    for path in (db, taken):
        with Logbook.open(path) as log, log.snapshot() as reader:
            assert proof(reader._database) is not None  # the proof is what is tested
    assert len(told(riglog("weigh", "lens-75", "--db", str(taken), "--json"))["weighings"]) == 2
