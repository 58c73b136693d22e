"""Where parts are, by examples worked by hand. Meters along the rig's x, y and z."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from riglog.estimation.forward import Balance, balance
from riglog.estimation.kit import Hung, Kit
from riglog.estimation.parameters import Parameters
from riglog.estimation.tree import Tree, flatten
from riglog.records import (
    Adjuster,
    Build,
    Component,
    Mount,
    Part,
    PivotPair,
    Rig,
    Scale,
    Setting,
    Spread,
    State,
    Turn,
)

DAY = "2026-03-14"
RIG = Rig(
    id="post-one",
    type="post",
    mounts={
        "post": Mount(at=(0.0, 0.0, 0.0)),
        "stage": Mount(at=(0.0, 0.0, 0.76), moved_by=("slide",)),
        "yoke": Mount(at=(0.0, 0.0, 0.01), moved_by=("pivot",)),
        "handle": Mount(at=(0.0, 0.03, 0.0), moved_by=("pivot",), tilts=False),
    },
    adjusters=(
        Adjuster(id="pivot", axis="z", travel=(0.4, 0.6)),
        Adjuster(id="slide", axis="x", scale=Scale(zero=0.035, reads="down")),
    ),
)
PLATE = Component(
    id="plate", kind="dovetail", mass=0.5, size=(0.2, 0.09, 0.02), cg=(0.01, 0.02, 0.03),
    mounts={"top": Mount(at=(0.1, 0.0, 0.02), moved_by=("run",))},
    adjusters=(Adjuster(id="run", axis="x", travel=(-0.02, 0.06), scale=Scale(zero=0.01)),),
)  # fmt: skip
BODY = Component(
    id="body", kind="camera", mass=4.0, size=(0.3, 0.15, 0.16),
    mounts={"lens": Mount(at=(0.09, 0.0, 0.06))},
)  # fmt: skip
LENS = Component(
    id="lens", kind="lens", mass=1.5, size=(0.12, 0.1, 0.1),
    states={"long": State(cg=(0.08, 0.0, -0.002))},
)  # fmt: skip
POST = Component(id="tube", kind="post", mass=2.0, size=(0.05, 0.05, 0.76))
YOKE = Component(id="inner", kind="gimbal", mass=0.3, size=(0.06, 0.08, 0.03))
GRIP = Component(id="grip", mass=0.9, size=(0.05, 0.05, 0.12))
PARTS = (
    Part(component="tube", on="post"),
    Part(component="plate", on="stage", turn=Turn(about="z", by=pi / 2)),
    Part(component="body", on="plate.top", offset=(0.005, 0.0, 0.0)),
    Part(component="lens", on="body.lens"),
    Part(component="inner", on="yoke"),
    Part(component="grip", on="handle"),
)
BUILD = Build(id="a-cam", rig="post-one", parts=PARTS)
SETTINGS: dict[str, Setting] = {"pivot": 0.47, "slide": 0.015, "plate.run": 0.03}
# One grid for positions: rounding is far below it.
EXACT = 1e-14


def kit(*components: Component, rig: Rig = RIG) -> Kit:
    all_of_them = (PLATE, BODY, LENS, POST, YOKE, GRIP, *components)
    return Kit(rigs={"post-one": rig}, components={each.id: each for each in all_of_them})


def hung(build: Build = BUILD, day: str = DAY, settings: dict[str, Setting] | None = None) -> Hung:
    stands = SETTINGS if settings is None else settings
    return Hung(build=build, version="v1", settings=stands, day=day)


class Flat:
    """A build as arrays and how it hangs by the priors."""

    def __init__(self, stood: Hung, of: Kit | None = None) -> None:
        self.parameters = Parameters(of or kit())
        self.tree: Tree = flatten(self.parameters, stood)
        self.positions = self.tree.positions(stood)
        self.hangs: Balance = self.at(self.parameters.mean)

    def at(self, theta: np.ndarray) -> Balance:
        return balance(self.tree, theta, self.positions[None])

    def cg(self, part: str) -> list[float]:
        row = self.hangs.part_cg_m[0, self.tree.parts.index(part)]
        return [float(each) for each in row]

    def column(self, *key: str) -> int:
        return self.parameters.block(key, [], [])[0]


@pytest.mark.parametrize(
    ("part", "cg"),
    [
        ("tube", (0.0, 0.0, 0.38)),
        # The slide reads down: it stands at 35 - 15 = 20 mm. A quarter turn takes x to y.
        ("plate", (0.02 - 0.02, 0.01, 0.79)),
        # On the plate 100 + (10 + 30) run + 5 offset along the turned x; half its height up.
        ("body", (0.02, 0.145, 0.76 + 0.02 + 0.08)),
        # 90 mm further, and a lens's center is half its length ahead.
        ("lens", (0.02, 0.145 + 0.09 + 0.06, 0.76 + 0.02 + 0.06)),
        ("inner", (0.0, 0.0, 0.01 + 0.47 + 0.015)),
        ("grip", (0.0, 0.03, 0.47 + 0.06)),
    ],
)
def test_a_part_is_where_its_mounts_turns_and_slides_put_it(
    part: str, cg: tuple[float, float, float]
) -> None:
    assert Flat(hung()).cg(part) == pytest.approx(cg, abs=EXACT)


def test_a_handle_that_does_not_tilt_weighs_and_does_not_swing() -> None:
    hangs = Flat(hung()).hangs
    assert float(hangs.mass_kg) == pytest.approx(2.0 + 0.5 + 4.0 + 1.5 + 0.3)
    assert float(hangs.weight_kg) == pytest.approx(8.3 + 0.9)
    height = 2.0 * 0.38 + 0.5 * 0.79 + 4.0 * 0.86 + 1.5 * 0.84 + 0.3 * 0.495
    assert hangs.cg_m[0, 2] == pytest.approx(height / 8.3)


def test_what_sits_on_something_that_does_not_tilt_does_not_tilt_either() -> None:
    grip = replace(GRIP, mounts={"side": Mount(at=(0.0, 0.05, 0.0))})
    parts = (*PARTS, Part(component="plate", on="grip.side", name="spare"))
    flat = Flat(hung(replace(BUILD, parts=parts)), kit(grip))
    assert flat.tree.tilts[flat.tree.parts.index("spare")] == np.False_
    assert float(flat.hangs.mass_kg) == pytest.approx(8.3)


def test_a_turned_part_turns_its_inertia() -> None:
    flat = Flat(hung())
    number = flat.tree.parts.index("plate")
    # Across the tilt axis now lie what were its 90 mm and its height.
    assert flat.hangs.part_gyration_m2[number] == pytest.approx((0.09**2 + 0.02**2) / 12)


def test_a_slide_on_a_turned_plate_moves_parts_sideways() -> None:
    flat = Flat(hung())
    run = flat.tree.adjusters.index("plate.run")
    assert flat.tree.along(run) == 1
    assert flat.tree.sense(run) == 1.0
    back = (*PARTS[:1], replace(PARTS[1], turn=Turn(about="z", by=-pi / 2)), *PARTS[2:])
    turned = Flat(hung(replace(BUILD, parts=back))).tree
    assert turned.along(run) == 1
    assert turned.sense(run) == -1.0


def test_a_part_that_hangs_by_a_mount_of_its_own_has_that_where_its_datum_was() -> None:
    camera = replace(BODY, mounts={**BODY.mounts, "top": Mount(at=(0.01, 0.0, 0.16))})
    over = Turn(about="x", by=pi)
    parts = (PARTS[0], Part(component="body", on="stage", by="top", turn=over), PARTS[3])
    flat = Flat(hung(replace(BUILD, parts=parts)), kit(camera))
    # The slide stands at 20 mm; turned over, its datum is 160 mm above the stage, and its center
    # of gravity, 80 mm above its datum, 80 mm above the stage.
    assert flat.cg("body") == pytest.approx((0.02 - 0.01, 0.0, 0.76 + 0.16 - 0.08), abs=EXACT)
    assert flat.cg("lens") == pytest.approx(
        (0.02 - 0.01 + 0.09 + 0.06, 0.0, 0.76 + 0.16 - 0.06), abs=EXACT
    )
    low, high = flat.tree.spans[1]
    assert (low, high) == pytest.approx((0.76, 0.92), abs=EXACT)
    # An error of that mount's place moves the camera the other way, turned as it is.
    theta = flat.parameters.mean
    columns = flat.parameters.block(("place", ("body", "top")), [], [])
    theta[list(columns)] = (0.001, 0.002, 0.004)
    moved = flat.at(theta).part_cg_m[0, 1] - flat.hangs.part_cg_m[0, 1]
    assert moved == pytest.approx((-0.001, 0.002, 0.004), abs=EXACT)


def test_a_slide_that_holds_a_part_moves_it_the_other_way() -> None:
    parts = (PARTS[0], Part(component="plate", on="stage", by="top"))
    there, further = (
        Flat(hung(replace(BUILD, parts=parts), settings={**SETTINGS, "plate.run": at})).cg("plate")
        for at in (0.03, 0.05)
    )
    assert further[0] - there[0] == pytest.approx(-0.02, abs=EXACT)
    held = Flat(hung(replace(BUILD, parts=parts))).tree
    assert held.sense(held.adjusters.index("plate.run")) == -1.0


def test_what_is_hung_another_way_seats_itself_anew() -> None:
    camera = replace(BODY, mounts={**BODY.mounts, "top": Mount(at=(0.0, 0.0, 0.16))})

    def seat(part: Part) -> str:
        return Flat(hung(replace(BUILD, parts=(PARTS[0], part))), kit(camera)).tree.seats[1]

    ways = [
        Part(component="body", on="stage"),
        Part(component="body", on="stage", by="top"),
        Part(component="body", on="stage", turn=Turn(about="x", by=pi)),
    ]
    assert len({seat(part) for part in ways}) == 3


def test_the_order_in_which_parts_are_listed_changes_nothing() -> None:
    there = Flat(hung(replace(BUILD, parts=tuple(reversed(PARTS)))))
    assert there.hangs.cg_m[0] == pytest.approx(Flat(hung()).hangs.cg_m[0], abs=EXACT)
    assert there.cg("lens") == pytest.approx(Flat(hung()).cg("lens"), abs=EXACT)


def test_two_of_a_kind_go_by_their_own_names_and_share_what_they_are() -> None:
    parts = (
        PARTS[0],
        Part(component="plate", on="stage", name="low"),
        Part(component="plate", on="low.top", name="high"),
    )
    stood = hung(replace(BUILD, parts=parts), settings={"low.run": 0.02, "high.run": 0.05})
    flat = Flat(stood)
    assert flat.tree.parts == ("tube", "low", "high")
    assert set(flat.tree.adjusters) == {"pivot", "slide", "low.run", "high.run"}
    # The pivot and the slide that nobody set: the slide's scale has no travel and reads zero.
    assert flat.cg("high") == pytest.approx(
        (0.035 + 0.1 + 0.01 + 0.02 + 0.01, 0.02, 0.76 + 0.02 + 0.03), abs=EXACT
    )
    theta = flat.parameters.mean
    theta[flat.column("mass", "plate")] += np.log(2.0)
    assert flat.at(theta).part_mass_kg == pytest.approx([2.0, 1.0, 1.0])


def test_an_adjuster_that_nobody_set_is_taken_in_the_middle_of_its_travel() -> None:
    flat = Flat(hung(settings={}))
    stands = dict(zip(flat.tree.adjusters, flat.positions, strict=True))
    assert stands == pytest.approx({"pivot": 0.5, "slide": 0.035, "plate.run": 0.01 + 0.02})


def test_two_side_pivots_stand_at_their_mean() -> None:
    settings = {**SETTINGS, "pivot": PivotPair(left=0.468, right=0.471)}
    assert Flat(hung(settings=settings)).positions[0] == pytest.approx(0.4695)


def test_a_state_moves_the_center_of_gravity_to_where_it_says() -> None:
    moved = Flat(hung(replace(BUILD, states={"lens": "long"}))).cg("lens")
    assert moved == pytest.approx((0.02, 0.145 + 0.09 + 0.08, 0.84 - 0.002), abs=EXACT)


def test_a_state_that_the_component_does_not_have_changes_nothing() -> None:
    assert Flat(hung(replace(BUILD, states={"lens": "wide"}))).cg("lens") == Flat(hung()).cg("lens")


def test_units_of_a_type_share_its_parameters_and_have_their_own_deviations() -> None:
    units = [
        Component(id=f"lens-{serial}", like="lens", spread=Spread(mass=0.01, cg=0.003))
        for serial in ("a", "b")
    ]
    parts = (
        PARTS[0],
        Part(component="lens-a", on="stage"),
        Part(component="lens-b", on="stage"),
    )
    flat = Flat(hung(replace(BUILD, parts=parts)), kit(*units))
    assert flat.tree.kinds == ("post", "lens", "lens")
    assert flat.hangs.part_mass_kg == pytest.approx([2.0, 1.5, 1.5])
    theta = flat.parameters.mean
    theta[flat.column("mass", "lens")] += np.log(1.1)
    theta[flat.column("mass", "lens-b")] += 0.02
    assert flat.at(theta).part_mass_kg == pytest.approx([2.0, 1.65, 1.65 * np.exp(0.02)])
    sd = np.sqrt(flat.parameters.variance)
    assert sd[flat.column("mass", "lens-b")] == 0.01
    assert sd[flat.column("cg", "lens-a")] == 0.003


def test_a_unit_that_was_weighed_has_a_mass_of_its_own() -> None:
    unit = Component(id="lens-a", like="lens", mass=1.6)
    parts = (PARTS[0], Part(component="lens-a", on="stage"))
    flat = Flat(hung(replace(BUILD, parts=parts)), kit(unit))
    theta = flat.parameters.mean
    theta[flat.column("cg", "lens")] += 0.004
    moved = flat.at(theta)
    assert moved.part_mass_kg == pytest.approx([2.0, 1.6])
    assert moved.part_cg_m[0, 1, 0] - flat.hangs.part_cg_m[0, 1, 0] == pytest.approx(0.004)


def test_a_part_before_it_was_modified_is_another_thing() -> None:
    lighter = replace(BODY, mass=3.0)
    of = kit()._replace(former={"body": (("2026-03-14", lighter),)})
    before, after = Flat(hung(day="2026-03-13"), of), Flat(hung(day="2026-03-14"), of)
    masses = [flat.hangs.part_mass_kg[flat.tree.parts.index("body")] for flat in (before, after)]
    assert masses == pytest.approx([3.0, 4.0])
    parameters = Parameters(of)
    trees = [flatten(parameters, hung(day=day)) for day in ("2026-03-13", "2026-03-14")]
    of_body = [set(parameters.cg("body", day)[0]) for day in ("2026-03-13", "2026-03-14")]
    assert of_body[0] <= set(trees[0].columns) - set(trees[1].columns)
    assert of_body[1] <= set(trees[1].columns) - set(trees[0].columns)


def test_a_rig_whose_post_is_not_listed_carries_a_lump_near_its_marks() -> None:
    flat = Flat(hung(replace(BUILD, parts=PARTS[1:])))
    assert flat.tree.parts[-1] == "unlisted"
    assert flat.cg("unlisted") == pytest.approx((0.0, 0.0, 0.47))
    assert flat.hangs.part_gyration_m2[-1] == pytest.approx(0.34**2)
    assert "unlisted" not in Flat(hung()).tree.parts


def test_low_mode_turns_up_over() -> None:
    assert Flat(hung(replace(BUILD, mode="low"))).tree.up == -1.0
    assert Flat(hung()).tree.up == 1.0


def test_a_part_on_a_mount_that_there_is_not_is_refused() -> None:
    parts = (Part(component="tube", on="nowhere"),)
    with pytest.raises(KeyError, match="nowhere"):
        Flat(hung(replace(BUILD, parts=parts)))
