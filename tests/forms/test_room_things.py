"""What is in the room already: placed on its wall and owned, or floor and mass for the works."""

import math

import pytest
import shapely

from app.errors import CommandError
from app.forms.room_edits import edit
from app.forms.room_edits_things import shown, standing, things_that_stay
from app.model.plan import Plan
from app.model.situations import OUT, out_while_training
from app.published.register import published
from app.scene.build import build_scene
from app.web.pages.room_things_view import ThingsView
from app.works.contents import contents
from tests.builders import judge, make_room
from tests.forms.test_room_edits import after, faults

# out of square: no two walls parallel, none along the paper
SKEWED = ((0, 0), (5000, 200), (5200, 4100), (-150, 3900))


def plan(clockwise: bool = True) -> Plan:
    corners = SKEWED if clockwise else (SKEWED[0], *reversed(SKEWED[1:]))
    return Plan(name="Garage", room=make_room(corners=corners))


@pytest.mark.parametrize("clockwise", [True, False])
@pytest.mark.parametrize("side", ["back", "right", "front", "left"])
def test_what_stays_has_its_back_on_its_wall_where_it_was_taped(clockwise: bool, side: str) -> None:
    before = plan(clockwise)
    done = after(before, "add-found", kind="chest-freezer", wall=side, along="1.20 m", width="1 m")
    (piece,) = things_that_stay(done)
    assert done.usual_entry(f"piece.{piece.id}").standing == "owned"
    placed = build_scene(done).placed[piece.id]
    (x0, y0), (x1, y1) = done.room.wall_ends(side)
    face = shapely.LineString([(x0, y0), (x1, y1)])
    corners = shapely.get_coordinates(placed.footprint.minimum_rotated_rectangle)[:4]
    near = sorted(corners.tolist(), key=lambda at: face.distance(shapely.Point(at)))[:2]
    assert [face.distance(shapely.Point(at)) for at in near] == pytest.approx([0, 0], abs=0.02)
    # seen from inside with one's face to the wall, its left end is the start of a clockwise walk
    left = (x0, y0) if clockwise else (x1, y1)
    assert sorted(math.dist(left, at) for at in near) == pytest.approx([1200, 2200], abs=0.03)
    assert not [s for s in judge(done) if s.severity == "stop"]
    at = standing(done, piece)
    assert at is not None
    assert (at.wall, round(at.along_mm), round(at.away_mm)) == (side, 1200, 0)
    # sent back as it is shown, it changes nothing
    texts = {name: "" if v is None else f"{v}" for name, v in shown(done, piece).items()}
    assert edit(done, f"found.{piece.id}", texts) is None


def test_two_bicycles_stand_side_by_side_and_one_may_go() -> None:
    done = after(plan(), "add-found", kind="bike-stored", wall="back", along="0", count="2")
    one, other = things_that_stay(done)
    assert math.dist((one.pose.x_mm, one.pose.y_mm), (other.pose.x_mm, other.pose.y_mm)) == (
        pytest.approx(1750, abs=0.02)
    )
    less = after(done, f"found.{one.id}", fate="goes")
    assert things_that_stay(less) == (other,)
    (gone,) = less.works.stored
    # a stored bicycle of the library: 1750 x 600, 14 kg
    assert (gone.width_mm, gone.depth_mm, gone.mass_kg, gone.becomes) == (1750, 600, 14, "house")


def test_what_is_only_in_the_way_is_floor_and_mass_of_the_works() -> None:
    fields = {"kind": "other-thing", "fate": "meanwhile", "label": "Sofa"}
    done = after(plan(), "add-found", **fields, width="2 m", depth="0.9 m", mass="45")
    (sofa,) = done.works.stored
    assert (sofa.label, sofa.mass_kg, sofa.becomes) == ("Sofa", 45, "stays")
    assert contents(build_scene(done)).covered_m2 == pytest.approx(1.8)
    assert after(done, "remove-thing", thing=sofa.id).works.stored == ()


def test_a_column_stands_where_it_was_taped_and_a_car_is_kept_here() -> None:
    fields = {"kind": "column", "wall": "left", "along": "1 m", "away": "2 m"}
    done = after(plan(), "add-found", **fields, width="0.3", depth="0.3")
    (column,) = done.room.columns
    assert shapely.Polygon(column.outline).area == pytest.approx(300 * 300, abs=10)
    assert faults(plan(), "add-found", **fields) == {
        "width": "its width along the wall is missing",
        "depth": "its depth is missing",
    }
    car = after(plan(), "add-found", kind="car", wall="back", along="0.5")
    assert car.room.climate.car_kept_here == "yes"


def test_what_is_not_said_of_a_place_is_asked_and_nothing_is_guessed() -> None:
    assert faults(plan(), "add-found") == {"kind": "choose what it is by its picture"}
    assert faults(plan(), "add-found", kind="boiler") == {
        "wall": "say at which wall it is",
        "along": "how far it is from the left end of the wall is missing",
    }
    far = faults(plan(), "add-found", kind="boiler", wall="back", along="4.80")
    assert far["along"].startswith("it would end 5.25 m along wall A, which is 5.004 m long")
    many = faults(plan(), "add-found", kind="boiler", wall="back", along="0", count="99")
    assert many == {"count": "how many there are must be a number from 1 to 12"}
    with pytest.raises(CommandError, match="no longer stays"):
        edit(plan(), "found.boiler-1", {"fate": "goes"})


def test_how_full_the_room_is_decides_how_much_is_cleared() -> None:
    area = shapely.Polygon(SKEWED).area / 1e6
    for full, row in (("little", ".little"), ("half", ""), ("full", ".full")):
        scene = build_scene(after(plan(), "full", full=full))
        share = published(f"works.covered-share{row}")
        assert contents(scene).covered_m2 == pytest.approx(area * share)


def test_two_bicycles_may_stand_one_in_front_of_the_other() -> None:
    fields = {"kind": "bike-stored", "wall": "back", "along": "3.2", "count": "2", "row": "behind"}
    one, other = things_that_stay(after(plan(), "add-found", **fields))
    # the second stands off the wall by what the first is deep: 600
    assert math.dist((one.pose.x_mm, one.pose.y_mm), (other.pose.x_mm, other.pose.y_mm)) == (
        pytest.approx(600, abs=0.02)
    )
    assert one.pose.angle_deg == other.pose.angle_deg


def test_a_car_that_is_out_while_people_train_is_in_where_nobody_does() -> None:
    done = after(plan(), "add-found", kind="car", wall="back", along="0.5", fate="out")
    (car,) = things_that_stay(done)
    parked, training = done.situations
    assert (training.trains, parked.trains, parked.label) == (True, False, "Car in")
    assert out_while_training(done) == {car.id}
    scene = build_scene(done)
    assert scene.in_training().placed[car.id].piece.state == OUT
    assert scene.in_situation(parked).placed[car.id].piece.state is None
    assert shown(done, car)["fate"] == "out"
    # said otherwise, nothing is left of the two situations; taken away, neither
    assert after(done, f"found.{car.id}", fate="stays", wall="as-drawn").situations == ()
    assert after(done, "remove-found", found=car.id).situations == ()


def test_a_second_thing_that_comes_and_goes_shares_the_situations() -> None:
    car = after(plan(), "add-found", kind="car", wall="back", along="0.5", fate="out")
    both = after(car, "add-found", kind="other-thing", wall="left", along="0.5", fate="out")
    assert len(both.situations) == 2
    assert out_while_training(both) == {piece.id for piece in things_that_stay(both)}


def test_sizes_sent_back_as_they_are_shown_stay_exact() -> None:
    done = after(plan().model_copy(update={"units": "feet"}), "add-found", kind="car",
                 wall="back", along="1 ft", mass="2000")  # fmt: skip
    (car,) = things_that_stay(done)
    # 2000 lb x 0.45359237
    assert car.mass_kg == pytest.approx(907.18474)
    sent = ThingsView(done).fields(car)
    # 2000 mm are 6' 6.74", to a sixteenth 6' 6 3/4"
    assert (sent["width"], sent["mass"]) == ("6' 6 3/4\"", "2000")
    assert edit(done, f"found.{car.id}", sent) is None
