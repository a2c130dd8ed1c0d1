"""The use cases below pages and command line: judging once, keeping, reading what was sent."""

import json
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import Change, Command, moves
from app.checks.run import run
from app.errors import CommandError, EndingError, NotFoundError, OutdatedError, PlanError
from app.model.base import json_of
from app.model.kit import Pose
from app.model.versions import load
from app.scene.build import build_scene
from app.usecases.drawing_set import sheet_of_file
from app.usecases.files import judge, read_plan, samples
from app.usecases.plans import Elbowroom
from app.usecases.searches import mend_all, remedies
from tests.builders import make_plan, make_room, place
from tests.web.building import BAD_FILES, plan_data, text

ONTO = Pose(x_mm=3600, y_mm=2000)
PATIENCE_S = 120.0
"""Seconds after which a search that does not end is a fault; a busy machine takes some."""


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path)
    yield house
    house.close()


def test_a_revision_is_judged_once(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    first = house.judged(state.plan_id)
    assert house.judged(state.plan_id) is first
    house.do(state.plan_id, moves(state.plan, {"bench-1": ONTO}))
    second = house.judged(state.plan_id)
    assert (first.state.revision, second.state.revision) == (0, 1)


def test_a_drop_is_judged_on_what_was_answered_before_it(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    asked: list[int] = []
    house.judged(state.plan_id).scene.memo(("asked",), lambda: asked.append(0))
    state = house.do(state.plan_id, moves(state.plan, {"bench-1": ONTO}))
    dropped = house.judged(state.plan_id)
    dropped.scene.memo(("asked",), lambda: asked.append(1))
    assert asked == [0]
    assert dropped.findings.every_snag == run(build_scene(state.plan))
    house.rename(state.plan_id, "Another")
    house.judged(state.plan_id).scene.memo(("asked",), lambda: asked.append(2))
    assert asked == [0, 2]


def test_what_an_undo_leads_back_to_is_not_judged_again(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    first = house.judged(state.plan_id)
    house.do(state.plan_id, moves(state.plan, {"bench-1": ONTO}))
    second = house.judged(state.plan_id)
    house.undo(state.plan_id)
    back = house.judged(state.plan_id)
    assert (back.state.revision, back.findings) == (2, first.findings)
    assert back.findings is first.findings
    house.redo(state.plan_id)
    assert house.judged(state.plan_id).findings is second.findings


def test_a_long_search_ends_when_its_plan_is_another_or_the_program_ends(
    house: Elbowroom,
) -> None:
    state = house.create(load(text(plan_data())))
    other = house.create(load(text(plan_data())))
    pause = house.waiting.pause_for(state.plan_id, state.plan)
    house.do(other.plan_id, moves(other.plan, {"bench-1": ONTO}))
    pause()
    house.do(state.plan_id, moves(state.plan, {"bench-1": ONTO}))
    with pytest.raises(OutdatedError):
        pause()
    # the plan is as it was: what is found in it is wanted again
    house.undo(state.plan_id)
    pause()
    house.board.close()
    with pytest.raises(EndingError):
        pause()


def test_a_search_ends_when_who_asked_has_left_and_is_there_for_the_next(house: Elbowroom) -> None:
    racks = [place("full-rack", 900 + i * 900, 900, piece_id=f"rack-{i}") for i in range(2)]
    state = house.create(load(text(json_of(make_plan(*racks, room=make_room(6000, 6000))))))
    asked = 0

    def left() -> bool:
        nonlocal asked
        asked += 1
        return asked > 3

    for seek in (remedies, mend_all):
        asked = 0
        with pytest.raises(EndingError):
            seek(house, state.plan_id, left)
        # not one more step after it was known that nobody waits
        assert asked == 4
    assert remedies(house, state.plan_id)[1].remedies


def test_a_plan_changed_during_the_search_is_searched_anew(house: Elbowroom) -> None:
    # 30 racks into one another: seconds of search, whose answer nobody wants after the change
    crowd = [
        place("full-rack", 700 + i % 6 * 900, 700 + i // 6 * 900, piece_id=f"rack-{i}")
        for i in range(30)
    ]
    state = house.create(make_plan(*crowd, room=make_room(6000, 6000)))
    seen = house.judged(state.plan_id)
    answers = list[int]()
    search = threading.Thread(
        target=lambda: answers.append(remedies(house, state.plan_id)[0]), daemon=True
    )
    search.start()
    while not seen.findings.lock.locked():
        assert search.is_alive()
        time.sleep(0.001)
    changes = tuple(
        Change(path=("pieces", piece.id), before=piece.model_dump(mode="json"), after=None)
        for piece in state.plan.pieces[1:]
    )
    house.do(state.plan_id, Command(name="remove", says="remove racks", changes=changes))
    search.join(PATIENCE_S)
    assert answers == [1]
    # what was begun on the first revision was let go, not carried to its end
    assert "ways_out" not in vars(seen.findings)


def test_flag_numbers_outlive_the_program(tmp_path: Path) -> None:
    house = Elbowroom(tmp_path)
    state = house.create(load(text(plan_data())))
    # The first snags take the low numbers; what remains keeps its own when they go.
    crowd = moves(
        state.plan, {"bench-1": Pose(x_mm=0, y_mm=0), "bench-2": Pose(x_mm=100, y_mm=100)}
    )
    house.do(state.plan_id, crowd)
    house.judged(state.plan_id)
    plan = house.open(state.plan_id).plan
    house.do(state.plan_id, moves(plan, {"bench-1": Pose(x_mm=2500, y_mm=2500)}))
    before = dict(house.judged(state.plan_id).numbers)
    house.close()
    house = Elbowroom(tmp_path)
    assert before
    assert dict(house.judged(state.plan_id).numbers) == before
    house.close()


def test_a_drag_leaves_known_numbers_alone(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    at_rest = house.judged(state.plan_id).numbers
    tried = house.try_moves(state.plan_id, {"bench-1": ONTO})
    for snag in tried["snags"]:
        known = at_rest.get(snag["key"])
        assert snag["number"] == known or (
            known is None and snag["number"] > max(at_rest.values(), default=0)
        )
    with pytest.raises(CommandError, match="no piece 'bench-9'"):
        house.try_moves(state.plan_id, {"bench-9": ONTO})


def test_a_deleted_plan_is_not_answered_from_memory(house: Elbowroom) -> None:
    plan_id = house.create(load(text(plan_data()))).plan_id
    house.judged(plan_id)
    house.delete(plan_id)
    with pytest.raises(NotFoundError):
        house.try_moves(plan_id, {"bench-1": ONTO})
    with pytest.raises(NotFoundError):
        house.judged(plan_id)


def test_judging_a_plan_gives_the_whole_shape() -> None:
    data = plan_data()
    data["pieces"][1]["pose"] = {"x_mm": 1250, "y_mm": 2000}
    verdict = judge(read_plan(text(data)))
    assert verdict.keys() == {"plan", "counts", "snags"}
    clash = next(s for s in verdict["snags"] if s["code"] == "clash")
    assert clash.keys() == {
        "key",
        "number",
        "code",
        "severity",
        "who",
        "sentence",
        "lines",
        "pieces",
        "person",
        "movement",
        "situation",
        "measured",
        "required",
        "need",
        "unit",
        "working",
        "sources",
        "where",
        "remedy",
        "tried",
        "settled",
    }
    assert clash["severity"] == "stop"
    assert clash["pieces"] == ["bench-1", "bench-2"]
    assert [s["number"] for s in verdict["snags"]] == list(range(1, len(verdict["snags"]) + 1))
    open_ones = sum(1 for s in verdict["snags"] if not s["settled"])
    assert sum(verdict["counts"].values()) == open_ones
    json.dumps(verdict, allow_nan=False)


def test_a_drawing_of_a_file_escapes_its_name() -> None:
    svg = sheet_of_file(read_plan(text(plan_data(name="<b>Room</b>"))), "plan", "A3", 25).svg
    assert "&lt;b&gt;" in svg
    assert "<b>" not in svg


def test_what_cannot_be_built_is_not_kept(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data())))
    changes = tuple(
        Change(path=("room", "walls", wall, "lining_mm"), before=0, after=9000)
        for wall in ("back", "front")
    )
    with pytest.raises(PlanError, match="walls"):
        house.do(state.plan_id, Command(name="room", changes=changes))
    assert house.judged(state.plan_id).state == state


def test_a_copy_has_a_life_of_its_own(house: Elbowroom) -> None:
    state = house.create(load(text(plan_data(name="x" * 199))))
    copied = house.copy(state.plan_id)
    assert copied.plan.name == ("Copy of " + "x" * 199)[:200]
    house.do(copied.plan_id, moves(copied.plan, {"bench-1": ONTO}))
    assert house.open(state.plan_id).plan == state.plan


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("My garage", "my-garage.json"),
        ("Größe <b>", "gr-e-b.json"),
        ("../../etc", "etc.json"),
        ("日本", "plan.json"),
    ],
)
def test_the_name_of_an_exported_file_is_plain(house: Elbowroom, name: str, file: str) -> None:
    plan_id = house.create(load(text(plan_data(name=name)))).plan_id
    assert house.export(plan_id)[0] == file


@pytest.mark.parametrize("name", [n for n in BAD_FILES if n != "50 MB"])
def test_bad_files_are_refused_in_words(name: str) -> None:
    make, words = BAD_FILES[name]
    with pytest.raises(PlanError) as found:
        read_plan(make())
    assert words in found.value.sentence


def test_the_samples_are_read_and_named() -> None:
    assert len(samples()) >= 4
    assert len({sample.plan.name for sample in samples()}) == len(samples())
