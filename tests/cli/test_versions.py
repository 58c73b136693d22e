from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest
from library.kit import KIT, WHOLE, fork, written

from riglog.logbook import Draft, Logbook

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Done

    Riglog = Callable[..., Done]

QUANTITIES = ("mass_kg", "below_mm", "lean_deg", "drop_s", "mark_mm")


def told(riglog: Riglog, *words: str) -> Any:
    done = riglog(*words, "--json")
    assert done.status == 0, done.err
    return json.loads(done.out)


def added(riglog: Riglog, folder: Path, *texts: str) -> None:
    riglog("init")
    for text in texts:
        assert riglog("add", *written(folder, text)).status == 0


def effects(answer: Any) -> list[Any]:
    found = [each["effect"] for each in answer["differences"]]
    return [each for each in [*found, answer["together"], answer["again"]] if each]


DROP = """\
readings:
  - {build: a-cam, kind: drop, times: [2.9 s], on: 2026-03-15T09:00:00+01:00}
"""
OTHER = KIT.replace("component: lens-35", "component: lens-75")


def test_a_version_and_itself_say_the_same(riglog: Riglog, kit: str) -> None:
    assert kit
    assert riglog("diff", "a-cam", "a-cam").out == "a-cam@1 and a-cam@1 say the same.\n"
    answer = told(riglog, "diff", "lens-35@1", "@1")
    assert answer["differences"] == []
    for word in ("post-one", "a-cam"):
        assert told(riglog, "diff", word, word)["differences"] == []


def test_a_lens_exchanged_is_one_difference_with_what_it_does(
    riglog: Riglog, tmp_path: Path
) -> None:
    """Both centers are 157.7 mm ahead of the post, 1 mm to the right and 842 mm up, by the kit."""
    center = "kind: lens, cg: [50 mm, 0 mm, 0 mm],"
    whole = [text.replace("kind: lens,", center) for text in (KIT, OTHER)]
    added(riglog, tmp_path, *whole)
    answer = told(riglog, "diff", "a-cam@1", "a-cam@2")
    (one,) = answer["differences"]
    assert (one["do"], one["what"], one["new"]["component"]) == ("swap", "lens-35", "lens-75")
    assert one["effect"]["mass_kg"] == pytest.approx(0.33, abs=1e-6)
    old, new = answer["before"], answer["after"]
    assert new["mass_kg"] - old["mass_kg"] == pytest.approx(0.33, abs=1e-6)
    for axis, where in enumerate((157.7, -1.0, 842.0)):
        moment = old["mass_kg"] * old["cg_mm"][axis] + 0.33 * where
        cg = moment / new["mass_kg"]
        assert new["cg_mm"][axis] == pytest.approx(cg, abs=1e-6)
        change = cg - old["cg_mm"][axis]
        assert one["effect"]["cg_mm"][axis] == pytest.approx(change, abs=1e-6)
    out = riglog("diff", "a-cam@1", "a-cam@2").out
    assert out.startswith("a-cam@2 against a-cam@1: +330 g, drop ")
    assert "mostly lens-75 for lens-35." in out.replace("\n", " ")


def test_what_each_difference_does_adds_up_with_what_they_do_together(
    riglog: Riglog, tmp_path: Path
) -> None:
    later = OTHER.replace("pivot: 487 mm, stage-side: -1 mm", "pivot: 493 mm, stage-side: 2 mm")
    added(
        riglog,
        tmp_path,
        WHOLE,
        later,
        DROP,
    )
    answer = told(riglog, "diff", "a-cam@1", "a-cam@2")
    assert {each["do"] for each in answer["differences"]} == {"swap", "set"}
    for name in QUANTITIES:
        shares = [each[name] for each in effects(answer)]
        if None not in shares:
            whole = answer["after"][name] - answer["before"][name]
            assert sum(shares) == pytest.approx(whole, abs=1e-9), name
    moves = [
        (each["effect"]["below_mm"] ** 2 + each["effect"]["cg_mm"][0] ** 2) ** 0.5
        for each in answer["differences"]
    ]
    assert moves == sorted(moves, reverse=True)
    pivot = next(each for each in answer["differences"] if each["what"] == "pivot")
    # The first version stood at 490 mm, as its last drop told.
    assert (pivot["old"], pivot["new"]) == (490.0, 493.0)
    assert pivot["effect"]["mass_kg"] == pytest.approx(0.0, abs=1e-12)
    assert pivot["effect"]["below_mm"] == pytest.approx(3.0, abs=1e-6)


def test_a_part_that_comes_with_another_is_told_on_top_of_it(
    riglog: Riglog, tmp_path: Path
) -> None:
    box = (
        "components:\n"
        "  - {id: box, kind: matte-box, mass: 600 g, mounts: {tray: [10 mm, 0 mm, 0 mm]}}\n"
        "  - {id: nd, kind: filter, mass: 180 g}\n"
    )
    parts = "      - {component: lens-35, on: body-north.lens}\n"
    more = "component: box, on: body-north.lens}\n      - {component: nd, on: box.tray"
    builds = KIT[KIT.index("builds:") :].replace(parts, f"{parts}      - {{{more}}}\n")
    added(riglog, tmp_path, KIT, f"{box}{builds}")
    answer = told(riglog, "diff", "a-cam@1", "@2")
    masses = {each["new"]["component"]: each["effect"]["mass_kg"] for each in answer["differences"]}
    assert masses == {"box": pytest.approx(0.6), "nd": pytest.approx(0.18)}
    assert told(riglog, "diff", "a-cam@2", "@1")["after"]["mass_kg"] == pytest.approx(
        answer["before"]["mass_kg"]
    )


def test_a_body_exchanged_takes_its_lens_along(riglog: Riglog, tmp_path: Path) -> None:
    mounts = "mounts: {lens: [80 mm, 0 mm, 60 mm]}"
    body = f"components: [{{id: body-south, kind: camera, mass: 3 kg, {mounts}}}]\n"
    builds = KIT[KIT.index("builds:") :].replace("body-north", "body-south")
    added(riglog, tmp_path, KIT, body + builds)
    (one,) = told(riglog, "diff", "a-cam@1", "a-cam@2")["differences"]
    assert (one["do"], one["what"], one["new"]["component"]) == ("swap", "body-north", "body-south")


def test_a_mass_set_anew_is_told_on_a_build_that_has_it(riglog: Riglog, tmp_path: Path) -> None:
    weighed = KIT.replace("mass: 1.12 kg", "mass: 1.20 kg, by: bench scale, serial: x1")
    added(riglog, tmp_path, KIT, weighed)
    answer = told(riglog, "diff", "lens-35@1", "lens-35@2")
    assert [each["what"] for each in answer["differences"]] == ["mass", "by", "serial"]
    assert answer["build"] == "a-cam"
    assert answer["differences"][0]["effect"]["mass_kg"] == pytest.approx(0.08, abs=1e-6)
    assert answer["differences"][2]["effect"] is None
    out = riglog("diff", "lens-35").out
    assert out.startswith("lens-35@2 against lens-35@1: +80 g, ")
    assert "- serial nothing to x1." in out


# A rig of which only the lens is listed, as the first steps of a library have it.
ALONE = """\
components: [{id: lens-65, kind: lens, mass: MASS}]
rigs:
  - id: north-rig
    type: post
    mounts: {stage: {at: [100 mm, 0 mm, 760 mm], sd: 30 mm}}
    adjusters: [{id: pivot, axis: z, travel: [380 mm, 600 mm], step: 0.5 mm}]
builds:
  - id: north
    rig: north-rig
    wanted_drop: 3 s
    parts: [{component: lens-65, on: stage}]
    settings: {pivot: 487 mm}
readings:
  - {build: north, kind: drop, times: [3.1 s, 3.0 s], on: 2026-03-13T09:10:00+01:00}
"""


@pytest.mark.parametrize(
    ("old", "new", "grams"),
    [
        ("1.95 kg, by: bench scale", "1.9 kg, by: bench scale", -50),
        ("1.84 kg, by: bench scale", "1.95 kg, by: bench scale", 110),
        ("1.12 kg, by: maker's sheet", "1.13 kg, by: bench scale", 10),
        ("1.2 kg, by: guess", "2 kg", 800),
    ],
)
def test_a_lens_weighed_anew_changes_the_weight_by_the_difference_however_little_is_listed(
    riglog: Riglog, tmp_path: Path, old: str, new: str, grams: int
) -> None:
    added(riglog, tmp_path, *(ALONE.replace("MASS", each) for each in (old, new)))
    answer = told(riglog, "diff", "lens-65")
    before, after = answer["before"], answer["after"]
    for gained in (
        answer["differences"][0]["effect"]["mass_kg"],
        after["mass_kg"] - before["mass_kg"],
    ):
        assert gained == pytest.approx(grams / 1000, abs=1e-9)
    # The law of the lever: what is gained sits where a lens on the stage does.
    gained_at = [
        (a * after["mass_kg"] - b * before["mass_kg"]) / grams * 1000
        for a, b in zip(after["cg_mm"], before["cg_mm"], strict=True)
    ]
    assert gained_at == pytest.approx([175, 0, 760], abs=60)
    out = riglog("diff", "lens-65").out
    assert out.startswith(f"lens-65@2 against lens-65@1: {grams:+} g, ")
    assert "no rig moved and every mark stands." in out.replace("\n", " ")


def test_by_which_scale_a_mass_is_stands_in_its_row(riglog: Riglog, tmp_path: Path) -> None:
    old, new = ("1.12 kg, by: maker's sheet", "1.13 kg, by: bench scale")
    added(riglog, tmp_path, *(ALONE.replace("MASS", each) for each in (old, new)))
    out = riglog("diff", "lens-65").out
    rows = out.splitlines()
    row = next(i for i, line in enumerate(rows) if line.startswith("mass 1.12 kg to 1.13 kg  "))
    assert rows[row + 1] == "  by maker's sheet to bench scale"
    assert "mostly mass 1.12 kg to 1.13 kg, by maker's sheet to bench scale." in out.replace(
        "\n", " "
    )
    assert "Also different" not in out
    assert max(map(len, rows)) <= 80


def test_a_mount_that_moved_is_told_on_a_build_of_that_rig(riglog: Riglog, tmp_path: Path) -> None:
    added(riglog, tmp_path, KIT, KIT.replace("760 mm]", "765 mm]"))
    (one,) = told(riglog, "diff", "post-one")["differences"]
    assert one["what"] == "mounts.stage"
    assert one["effect"]["mass_kg"] == 0.0
    assert one["effect"]["mark_mm"] > 1.0


def test_two_builds_are_compared_and_other_fields_are_told(riglog: Riglog, tmp_path: Path) -> None:
    builds = KIT[KIT.index("builds:") :].replace("id: a-cam", "id: b-cam\n    note: spare")
    added(riglog, tmp_path, KIT, builds)
    answer = told(riglog, "diff", "a-cam", "b-cam")
    assert [(each["do"], each["what"], each["new"]) for each in answer["differences"]] == [
        ("field", "note", "spare")
    ]
    assert "note nothing to spare." in riglog("diff", "a-cam", "b-cam").out


def on_two_rigs(riglog: Riglog, tmp_path: Path) -> None:
    """Another build on another rig, with lens-75 for lens-35 and a battery more."""
    battery = "components:\n  - {id: cell, kind: battery, mass: 1.3 kg}\n"
    rig = KIT[KIT.index("rigs:") : KIT.index("builds:")].replace("post-one", "post-two")
    build = KIT[KIT.index("builds:") :].replace("a-cam", "b-cam").replace("post-one", "post-two")
    build = build.replace(
        "      - {component: lens-35,", "      - {component: cell, on: stage}\n"
        "      - {component: lens-75,",
    )  # fmt: skip
    added(riglog, tmp_path, KIT, battery + rig, build)


def test_builds_on_two_rigs_are_told_by_the_weight_of_each_part(
    riglog: Riglog, tmp_path: Path
) -> None:
    on_two_rigs(riglog, tmp_path)
    answer = told(riglog, "diff", "a-cam", "b-cam")
    weights = [each for each in answer["differences"] if each["effect"]]
    assert [(each["do"], each["effect"]) for each in weights] == [
        ("add", {"mass_kg": pytest.approx(1.3, abs=1e-6)}),
        ("swap", {"mass_kg": pytest.approx(0.33, abs=1e-6)}),
    ]
    # Nobody listed the posts: of both the same is believed.
    assert answer["unlisted_kg"] == pytest.approx(0, abs=1e-6)
    gained = answer["after"]["mass_kg"] - answer["before"]["mass_kg"]
    assert gained == pytest.approx(1.63, abs=1e-6)


def test_why_no_mark_is_told_part_by_part_between_two_rigs_is_said(
    riglog: Riglog, tmp_path: Path
) -> None:
    on_two_rigs(riglog, tmp_path)
    out = riglog("diff", "a-cam", "b-cam").out
    assert " mm where a-cam has " in out.replace("\n", " ")
    assert "mostly cell added." in out.replace("\n", " ")
    rows = [line.split() for line in out.splitlines()]
    assert ["in", "all", "+1630"] in rows
    assert ["CHANGE", "GRAMS"] in rows
    assert "cannot be told part by part" in out.replace("\n", " ")
    assert "- rig post-one to post-two.\n" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_version_is_held_against_the_newest_and_the_newest_against_the_one_before(
    riglog: Riglog, tmp_path: Path
) -> None:
    added(riglog, tmp_path, KIT, OTHER)
    for words in (("a-cam",), ("a-cam@1",), ("a-cam@1", "@2")):
        assert riglog("diff", *words).out.startswith("a-cam@2 against a-cam@1: ")


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (("a-cam", "lens-35"), 2, "a-cam is a build, lens-35 a component\n"),
        (("a-cam", "@9"), 3, 'a-cam has no version "9"\n'),
        (("lens-35",), 3, "lens-35 has no version before its first\n"),
        (("nosuch",), 3, 'there is no record "nosuch"\n'),
    ],
)
def test_what_cannot_be_compared_is_said(
    riglog: Riglog, kit: str, words: tuple[str, ...], status: int, message: str
) -> None:
    assert kit
    done = riglog("diff", *words)
    assert (done.status, done.out) == (status, "")
    assert done.err.startswith(f"riglog: {message}")


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (("a-cam", "2"), 2, "a-cam is a build, slide-2 a component"),
        (("a-cam", "today"), 3, 'there is no record "today"'),
        (("lens-35", "1"), 3, 'there is no record "1"'),
        (("a-cam", "5"), 2, '"5" fits several'),
    ],
)
def test_a_version_without_its_at_sign_is_asked_about(
    riglog: Riglog, tmp_path: Path, words: tuple[str, str], status: int, message: str
) -> None:
    added(riglog, tmp_path, KIT, OTHER)
    done = riglog("diff", *words)
    assert (done.status, done.out) == (status, "")
    asked = f"  did you mean {words[0]}@{words[1]}?\n"
    assert done.err.startswith(f"riglog: {message}\n")
    assert done.err.endswith(asked) == (words[1] != "5")


def test_the_build_in_use_is_meant_where_none_is_named(riglog: Riglog, tmp_path: Path) -> None:
    added(riglog, tmp_path, KIT, OTHER)
    for command in ("diff", "history", "show"):
        done = riglog(command)
        assert (done.status, done.out) == (2, "")
        assert done.err == (
            "riglog: no build is named\n  name one, or take one in use: riglog use BUILD\n"
        )
    riglog("use", "a-cam")
    for command in ("diff", "history", "show"):
        assert riglog(command) == riglog(command, "a-cam")
    assert riglog("history", "-n", "1") == riglog("history", "a-cam", "-n", "1")
    assert riglog("show", "@1") == riglog("show", "a-cam@1")
    assert riglog("diff", "@1", "@2") == riglog("diff", "a-cam@1", "a-cam@2")


def test_heads_of_a_fork_are_compared_by_name(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    one, two = fork(db, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    answer = told(riglog, "diff", f"a-cam@{one.id[:8]}", f"@{two.id[:8]}")
    assert [(each["old"], each["new"]) for each in answer["differences"]] == [("mine", "yours")]
    assert riglog("diff", "a-cam").status == 3


def test_what_differs_of_a_thing_is_told_as_documents_write_it(
    riglog: Riglog, tmp_path: Path
) -> None:
    added(riglog, tmp_path, KIT)
    assert "- mass 1.12 kg to 1.45 kg.\n" in riglog("diff", "lens-35", "lens-75").out
    (mass, *_) = told(riglog, "diff", "lens-35", "lens-75")["differences"]
    assert (mass["what"], mass["old"], mass["new"]) == ("mass", "1.12 kg", "1.45 kg")


def test_of_a_mount_or_adjuster_only_what_differs_is_told(riglog: Riglog, tmp_path: Path) -> None:
    rig = KIT[KIT.index("rigs:") : KIT.index("builds:")]
    other = rig.replace("post-one", "post-two").replace("600 mm]", "580 mm]")
    added(riglog, tmp_path, KIT, other.replace("760 mm", "740 mm"))
    out = riglog("diff", "post-one", "post-two").out
    assert out.splitlines()[2:] == [
        "Different:",
        "- mounts.stage.at 0 mm, 0 mm, 760 mm to 0 mm, 0 mm, 740 mm.",
        "- adjusters.pivot.travel 380 mm, 600 mm to 380 mm, 580 mm.",
    ]


def test_a_page_of_differences_keeps_to_80_columns(riglog: Riglog, tmp_path: Path) -> None:
    added(riglog, tmp_path, KIT, OTHER)
    out = riglog("diff", "a-cam").out
    assert max(map(len, out.splitlines())) <= 80
    heading = next(line for line in out.splitlines() if line.startswith("CHANGE"))
    assert heading.split() == [
        "CHANGE", "GRAMS", "FORWARD", "LEFT", "UP", "LEAN", "DROP", "MARK",
    ]  # fmt: skip


WEIGHED = KIT.replace("mass: 1.12 kg", "mass: 1.15 kg, by: bench scale")


def test_who_set_a_mass_when_by_which_scale_and_what_came_before(
    riglog: Riglog, tmp_path: Path
) -> None:
    added(riglog, tmp_path, KIT)
    assert riglog("add", *written(tmp_path, WEIGHED), "--author", "ada").status == 0
    riglog("add", *written(tmp_path, WEIGHED.replace("bench scale", "bench scale, serial: x1")))
    out = " ".join(riglog("who", "lens-35", "mass").out.split())
    assert out.startswith("lens-35 mass 1.15 kg: ada by bench scale, 20")
    assert "(@2); before, 1.12 kg, kim, 20" in out
    assert out.endswith("(@1).")
    (field,) = told(riglog, "who", "lens-35", "mass")["fields"]
    assert (field["now"]["version"], field["now"]["source"]) == ("2", "bench scale")
    assert (field["before"]["value"], field["before"]["author"]) == ("1.12 kg", "kim")


def test_who_goes_along_the_parents_and_not_along_the_clock(
    riglog: Riglog, tmp_path: Path, db: Path
) -> None:
    added(riglog, tmp_path, KIT)
    with Logbook.open(db, write=True) as log, log.writing() as transaction:
        (head,) = log.heads("component", "lens-35")
        early = Draft(
            kind="component", subject="lens-35", at="1999-01-01T00:00:00Z", author="noor",
            body={**head.body, "mass": 1.3}, parents=(head.id,),
        )  # fmt: skip
        transaction.append([early])
    (field,) = told(riglog, "who", "lens-35", "mass")["fields"]
    assert (field["now"]["author"], field["before"]["author"]) == ("noor", "kim")


def test_who_moved_an_adjuster_is_told_by_the_reading(riglog: Riglog, kit: str) -> None:
    assert kit
    (field,) = told(riglog, "who", "a-cam", "pivot")["fields"]
    assert (field["field"], field["now"]["value"]) == ("settings.pivot", "490 mm")
    assert (field["now"]["version"], field["before"]["version"]) == (None, "1")
    assert "(reading " in riglog("who", "a-cam", "pivot").out
    (side,) = told(riglog, "who", "a-cam", "settings.stage-side")["fields"]
    assert (side["now"]["version"], side["before"]) == ("1", None)


def test_who_tells_every_field_and_both_heads(riglog: Riglog, kit: str, db: Path) -> None:
    assert kit
    every = told(riglog, "who", "lens-35")["fields"]
    fields = {each["field"]: each["now"]["value"] for each in every}
    assert fields == {"mass": "1.12 kg", "states.long": {"cg": ["70 mm", "0 mm", "0 mm"]}}
    fork(db, "component", "lens-35", {"mass": 1.1}, {"mass": 1.2})
    masses = told(riglog, "who", "lens-35", "mass")["fields"]
    assert [each["now"]["value"] for each in masses] == ["1.1 kg", "1.2 kg"]
    assert all(each["head"].startswith("2.") for each in masses)


def test_who_speaks_of_both_heads_first_and_keeps_to_80_columns(
    riglog: Riglog, tmp_path: Path, db: Path
) -> None:
    sized = KIT.replace("mass: 1.12 kg,", "mass: 1.12 kg, size: [120 mm, 110.5 mm, 110.5 mm],")
    added(riglog, tmp_path, sized)
    one, two = fork(db, "component", "lens-35", {"mass": 1.1}, {"mass": 1.2})
    out = riglog("who", "lens-35").out
    assert max(map(len, out.splitlines())) <= 80
    said, *tables = out.split("\n\n")
    for head, mass in ((one, "1.1 kg"), (two, "1.2 kg")):
        assert f"lens-35@2.{head.id[:4]} mass {mass}: " in said
        assert sum(each.startswith(f"lens-35@2.{head.id[:4]}\nFIELD ") for each in tables) == 1


def test_who_placed_a_part_tells_its_offset(riglog: Riglog, tmp_path: Path) -> None:
    added(riglog, tmp_path, KIT.replace("on: stage}", "on: stage, offset: [5 mm, 0 mm, 0 mm]}"))
    out = riglog("who", "a-cam", "slide-2").out
    assert out.startswith("a-cam parts.slide-2 on stage, offset [5 mm, 0 mm, 0 mm]: ")


def test_who_took_a_field_out_is_told_too(riglog: Riglog, tmp_path: Path) -> None:
    added(riglog, tmp_path, KIT, KIT.replace("wanted_drop: 3 s\n", "mode: high\n"))
    (field,) = told(riglog, "who", "a-cam", "wanted_drop")["fields"]
    assert (field["now"]["value"], field["now"]["version"]) == (None, "2")
    assert "no longer said" in riglog("who", "a-cam", "wanted-drop").out


def test_who_took_a_reading_is_told_by_its_entry(riglog: Riglog, kit: str) -> None:
    assert kit
    name = told(riglog, "list", "readings")[0]["entry"][:8]
    out = " ".join(riglog("who", name, "times").out.split())
    assert out.startswith(f"{name} times 2.6 s: kim, 20")


def test_a_field_that_there_is_not_is_answered_with_the_nearest(riglog: Riglog, kit: str) -> None:
    assert kit
    done = riglog("who", "lens-35", "maas")
    assert (done.status, done.err) == (
        2,
        'riglog: lens-35 has no field "maas"\n  did you mean mass?\n',
    )
    assert "it has" in riglog("who", "lens-35", "zzz").err


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (("lens-35", "weight"), "mass"),
        (("a-cam", "mark"), "settings.pivot"),
        (("a-cam", "drop"), "wanted_drop"),
    ],
)
def test_a_field_is_offered_by_its_meaning(
    riglog: Riglog, kit: str, words: tuple[str, str], meant: str
) -> None:
    assert kit
    done = riglog("who", *words)
    assert (done.status, done.err.splitlines()[1]) == (2, f"  did you mean {meant}?")


def test_who_tells_what_an_adjuster_or_a_mount_says_by_itself(
    riglog: Riglog, tmp_path: Path
) -> None:
    wider = KIT.replace("travel: [380 mm, 600 mm]", "travel: [380 mm, 620 mm]")
    added(riglog, tmp_path, KIT)
    riglog("add", *written(tmp_path, wider), "--author", "noor")
    (one,) = told(riglog, "who", "post-one", "adjusters.pivot.travel")["fields"]
    assert one["now"]["value"] == ["380 mm", "620 mm"]
    assert (one["now"]["author"], one["before"]["author"]) == ("noor", "kim")
    (step,) = told(riglog, "who", "post-one", "adjusters.pivot.step")["fields"]
    assert step["now"]["author"] == "kim"
    fields = told(riglog, "who", "post-one", "travel")["fields"]
    assert [each["field"] for each in fields] == [
        "adjusters.pivot.travel", "adjusters.stage-side.travel",
    ]  # fmt: skip


def test_the_mend_of_a_fork_is_told_in_lines_of_80_columns(
    riglog: Riglog, kit: str, db: Path
) -> None:
    assert kit
    fork(db, "build", "a-cam", {"note": "mine"}, {"note": "yours"})
    done = riglog("show", "a-cam")
    assert done.status == 3
    _, *mend = done.err.splitlines()
    assert len(mend) > 1
    assert max(map(len, mend)) <= 80
    assert "riglog settle a-cam" in " ".join(each.strip() for each in mend)


def test_weighings_are_told_beside_the_mass_that_was_written_down(
    riglog: Riglog, tmp_path: Path
) -> None:
    added(riglog, tmp_path, KIT, "components: [{id: cage, kind: bracket}]\n")
    assert riglog("weigh", "lens-35", "1.118kg", "--author", "ada").status == 0
    out = riglog("who", "lens-35", "mass").out
    assert out.startswith("lens-35 mass 1.12 kg: kim, ")
    assert "Measured, and counted too:\n- the " in out
    assert "(ada, " in " ".join(out.split())
    assert riglog("weigh", "cage", "300g").status == 0
    assert riglog("who", "cage", "mass").out.startswith("cage mass: nobody wrote one down.\n")
    assert len(told(riglog, "who", "cage", "mass")["measured"]) == 1
    assert told(riglog, "who", "lens-35", "states.long")["measured"] == []
