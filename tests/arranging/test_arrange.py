"""Bad input: each a sentence at once; the command line; why there is no layout."""

import json
import math
from pathlib import Path

import pytest

from app.arranging.arrange import ArrangeError, begin, ready, unmended
from app.arranging.failure import too_much_floor
from app.arranging.problem import Problem, Task
from app.cli import main
from app.model.versions import dump, load
from tests.arranging.hand_made import sample
from tests.arranging.hidden import hidden_room
from tests.builders import judge, low_thing, make_person, make_plan, make_room, place


def test_no_time_is_said() -> None:
    for steps, seconds in ((0, None), (None, 0.0), (None, -1.0)):
        with pytest.raises(ArrangeError, match="There is no time to look in"):
            begin(Task(sample("single-garage")), 1, steps, seconds)


def test_time_without_end_and_a_seed_below_nought_are_said() -> None:
    for seconds in (math.nan, math.inf):
        with pytest.raises(ArrangeError, match="is no number of seconds"):
            begin(Task(sample("single-garage")), 1, None, seconds)
    with pytest.raises(ArrangeError, match="-5 is none"):
        begin(Task(sample("single-garage")), -5, 1)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("--keep", "0"), "--keep: 0 layouts are none to show; write 1 or more."),
        (("--seconds", "nan"), "“nan” is no number of seconds"),
        (("-o", "nowhere/out.json"), "cannot be written: there is no folder"),
        (("-o", "."), "cannot be written: it is a folder."),
    ],
)
def test_the_command_line_says_what_is_wrong_before_it_looks(
    asked: tuple[str, ...],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plan.json").write_text(dump(hidden_room(1)), encoding="utf-8")
    assert main(["arrange", "plan.json", *asked]) == 2
    assert words in capsys.readouterr().err


def test_an_empty_plan_and_one_where_all_stays_are_said() -> None:
    with pytest.raises(ArrangeError, match="nothing on the plan yet"):
        ready(Task(make_plan()))
    with pytest.raises(ArrangeError, match="all of it stays or is pinned"):
        ready(Task(make_plan(place("chest-freezer", stays=True))))


def test_a_list_of_two_hundred_is_said() -> None:
    pieces = [place("fan", piece_id=f"fan-{i}") for i in range(200)]
    with pytest.raises(ArrangeError, match="200 things to arrange; at most 60"):
        ready(Task(make_plan(*pieces)))


def test_what_fits_nowhere_alone_is_named() -> None:
    plan = make_plan(place("running-machine"), place("fan", 500, 500), room=make_room(1500, 1500))
    with pytest.raises(ArrangeError, match="No layout can hold the running machine: alone in"):
        ready(Task(plan))


def test_what_has_no_place_beside_a_car_names_the_car() -> None:
    # a car of 2.0 x 4.3 m in the middle of 3 x 5 m of floor leaves half a metre about it
    car = place("car", 1500, 2500, stays=True)
    plan = make_plan(car, place("running-machine"), room=make_room(3000, 5000))
    with pytest.raises(ArrangeError, match="stays here; without the car it would"):
        ready(Task(plan))


def test_more_kit_than_floor_cannot_be_and_says_so() -> None:
    # four boxes of 1 m2 on 3 m2 of floor
    crowd = [
        place("other-thing", piece_id=f"b{i}", width=1000, depth=1000, height=500) for i in range(4)
    ]
    words = too_much_floor(Problem(Task(make_plan(*crowd, room=make_room(2000, 1500)))))
    assert words is not None
    assert words.startswith("It cannot be: at 50 mm above the floor the kit alone takes 4.0 m²")
    assert too_much_floor(Problem(Task(make_plan(*crowd, room=make_room(3000, 2000))))) is None


def test_the_command_line_writes_the_best_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = hidden_room(1)
    file, out = tmp_path / "plan.json", tmp_path / "out.json"
    file.write_text(dump(plan), encoding="utf-8")
    code = main(["arrange", str(file), "--steps", "2", "--json", "-o", str(out)])
    answer = json.loads(capsys.readouterr().out)
    assert code == 0
    assert answer["layouts"][0]["stops"] == 0
    written = load(out.read_bytes())
    assert {piece.id for piece in written.pieces} == {piece.id for piece in plan.pieces}
    for key, pose in answer["layouts"][0]["poses"].items():
        assert written.piece(key).pose.x_mm == pytest.approx(pose["x_mm"])
    assert [snag.key for snag in judge(written) if snag.severity == "stop"] == []


def test_what_no_layout_mends_is_counted_as_the_judge_counts_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # nobody of 1.90 m skips under 1900, wherever in the room
    plan = make_plan(
        place("skipping-space", 2000, 2000),
        place("bike", 800, 4200),
        room=make_room(4000, 5000, 1900),
        people=[make_person(1900, want=("skip",))],
    )
    file, out = tmp_path / "plan.json", tmp_path / "out.json"
    file.write_text(dump(plan), encoding="utf-8")
    assert main(["arrange", str(file), "--steps", "1", "--json", "-o", str(out)]) == 0
    answer = json.loads(capsys.readouterr().out)
    for one, there in ((answer["now"], plan), (answer["layouts"][0], load(out.read_bytes()))):
        severities = [snag.severity for snag in judge(there)]
        assert one["stops"] == severities.count("stop") == 1
        assert one["cares"] == severities.count("care")
        assert one["unmendable"] == 1


def test_no_time_on_the_command_line_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "plan.json"
    file.write_text(dump(sample("single-garage")), encoding="utf-8")
    assert main(["arrange", str(file), "--seconds", "0"]) == 2
    assert capsys.readouterr().err.strip().startswith("There is no time to look in")


def test_what_is_too_low_everywhere_is_said_of_the_place_where_least_is_missing() -> None:
    # a man of 1.90 skips under a beam at 1800; without it the room is 1950 high, too low as well
    beam = low_thing([(0, 0), (2500, 0), (2500, 5000), (0, 5000)], 1800)
    plan = make_plan(
        place("skipping-space", 1250, 2500, piece_id="rope"),
        room=make_room(5000, 5000, 1950, low_things=[beam]),
        people=[make_person(1900, want=("skip",))],
    )
    problem = Problem(Task(plan))
    (here,) = [snag for snag in problem.verdict if snag.severity == "stop"]
    (said,) = unmended(problem)
    assert here.measured == 1800
    assert "at the best place found" in said
    assert "1950 of" in said
    assert "1800" not in said


def test_what_is_as_low_everywhere_is_said_of_where_it_stands() -> None:
    plan = make_plan(
        place("skipping-space", 2500, 2500, piece_id="rope"),
        room=make_room(5000, 5000, 1900),
        people=[make_person(1900, want=("skip",))],
    )
    (said,) = unmended(Problem(Task(plan)))
    assert "at the best place" not in said
