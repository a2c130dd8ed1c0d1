"""What fits at a spot of the room, by a click on its drawing or by typing where."""

import re

import pytest
from flask.testing import FlaskClient

from app.arranging.whatfits import Fit
from app.library.kit import kit_types
from app.usecases.fitting import fitting_known
from app.usecases.plans import Elbowroom
from app.web.pages import fitting
from tests.builders import make_person, make_plan, make_room, place


@pytest.fixture
def closet(house: Elbowroom) -> str:
    """A room of 2.0 x 1.4 m, a freezer of 600 x 600 in a corner of it."""
    freezer = place("chest-freezer", 1700, 300, piece_id="cold", width=600, depth=600, stays=True)
    people = (make_person(1800, want=("squat",)),)
    return house.create(make_plan(freezer, room=make_room(2000, 1400, 2150), people=people)).plan_id


@pytest.mark.long
def test_a_spot_is_answered_with_its_height_and_what_stands_over_it(
    client: FlaskClient, closet: str
) -> None:
    at = f"/plan/{closet}/fits"
    first = client.get(f"{at}?across=400+mm&down=0.5").text
    assert f'data-more="{at}?part=&amp;across=400+mm&amp;down=0.5"' in first
    assert '<circle cx="400.0" cy="500.0"' in first
    page = client.get(f"{at}?whole=&across=400+mm&down=0.5").text
    assert "<dt>Height at this spot</dt><dd>2.15 m</dd>" in page
    assert "<dt>What stands there</dt><dd>nothing</dd>" in page
    assert "<li>Plate tree" in page
    # two metres and a half are in no room of two: asked again it is known without a search
    assert "data-more" not in client.get(f"{at}?across=400&down=500+mm").text


@pytest.mark.parametrize(
    ("asked", "words", "status"),
    [
        ("whole&across=1.7&down=0.3", "<dt>What stands there</dt><dd>chest freezer</dd>", 200),
        ("whole&across=2.4&down=0.3", "There is no floor at this spot", 200),
        ("across=a+bit&down=0.3", "From the left of the drawing: “a bit”", 400),
    ],
)
def test_what_stands_there_no_floor_and_no_length_are_said(
    client: FlaskClient, closet: str, asked: str, words: str, status: int
) -> None:
    answer = client.get(f"/plan/{closet}/fits?{asked}")
    assert answer.status_code == status
    assert words in answer.text


def test_the_whole_room_is_answered_piece_by_piece(
    client: FlaskClient, house: Elbowroom, closet: str
) -> None:
    at = f"/plan/{closet}/fits"
    first = client.get(at).text
    assert f'data-more="{at}?part="' in first
    assert "so far" not in first
    # each part as soon as it is found
    seen, page = [], client.get(f"{at}?part=next").text
    # the first says what takes least to find, and claims nothing of what is not tried yet
    assert "<dt>The largest open floor, for a mat</dt>" in page
    assert "<dt>The tallest rack</dt>" not in page
    for _ in range(10):
        seen.append(int(re.findall(r">(\d+) of \d+ so far<", page)[0]))
        page = client.get(f"{at}?part=next").text
    assert seen == sorted(seen)
    assert seen[-1] > 0
    assert "<dt>The tallest rack</dt>" in page
    # who leaves and comes back finds what was found, and it goes on from there
    again = client.get(at).text
    assert int(re.findall(r">(\d+) of \d+ so far<", again)[0]) >= seen[-1]
    found = fitting_known(house, closet)
    assert found is not None
    assert not found.whole


def test_what_several_cost_alike_is_said_once() -> None:
    def rows(*words: str) -> list[tuple[str, list[str]]]:
        kits = list(kit_types().values())[: len(words)]
        some = [
            Fit(kit, "tight", None, (), 0.1 * number, then=then)
            for number, (kit, then) in enumerate(zip(kits, words, strict=True))
        ]
        ((_, every),) = fitting.parts_of(some, ["tight"])
        return [(said, [one.kit.name for one in kinds]) for said, kinds in every]

    names = [kit.name for kit in list(kit_types().values())[:4]]
    two = rows("then the bike", "then the bike", "then the box", "")
    assert two == [("", names)]
    three = rows("then the bike", "then the bike", "then the bike", "")
    assert three == [("", names[3:]), ("then the bike", names[:3])]
    assert rows("", "", "") == [("", names[:3])]
