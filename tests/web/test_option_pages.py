"""The page of options: what is deleted there is put back there; what is for later is told apart."""

import re
from typing import Any

from app.changes.commands import edits
from app.usecases import options
from app.usecases.plans import Elbowroom


def _edit(client: Any, plan_id: str, **form: str) -> str:
    reply = client.post(f"/plan/{plan_id}/options", data=form)
    assert reply.status_code == 303
    return str(reply.headers["Location"])


def test_a_deleted_option_leaves_one_with_the_others_and_is_put_back_there(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    other = options.copy_as_option(house, plan_id, "Bench out").plan_id
    to = _edit(client, plan_id, edit="delete", of=other)
    assert to == f"/plan/{plan_id}/options?gone={other}"
    page = client.get(to).text
    assert "“Bench out” is deleted." in page
    assert page.count('class="paper option-card"') == 1
    assert re.search(r'value="put-back">Put back<span class="unseen"> Bench out</span>', page)
    back = _edit(client, plan_id, edit="put-back", of=other)
    page = client.get(back).text
    assert page.count('class="paper option-card"') == 2
    assert "is deleted" not in page
    assert [one.letter for one in options.options_of(house, plan_id)] == ["A", "B"]


def test_the_option_that_is_looked_from_can_go_too(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    other = options.copy_as_option(house, plan_id, "").plan_id
    assert _edit(client, other, edit="delete", of=other) == f"/plan/{plan_id}/options?gone={other}"


def test_the_only_option_is_not_deleted_here(client: Any, plan_id: str) -> None:
    reply = client.post(f"/plan/{plan_id}/options", data={"edit": "delete", "of": plan_id})
    assert reply.status_code in (400, 409, 422)
    assert "the only option" in reply.text
    assert client.get(f"/plan/{plan_id}").status_code == 200


def test_a_name_that_is_refused_stays_typed(client: Any, house: Elbowroom, plan_id: str) -> None:
    reply = client.post(f"/plan/{plan_id}/options", data={"edit": "copy", "name": "x" * 201})
    assert reply.status_code == 400
    assert "200 is the most" in reply.text
    assert f'value="{"x" * 201}"' in reply.text
    assert len(options.options_of(house, plan_id)) == 1


def test_kit_for_later_is_marked_in_the_pictures(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    plan = house.open(plan_id).plan
    house.do(plan_id, edits(plan, "bench-2", later=True))
    page = client.get(f"/plan/{plan_id}/options").text
    assert 'class="piece is-later" data-piece="bench-2"' in page
    assert 'class="piece" data-piece="bench-1"' in page


def test_it_says_what_free_floor_and_narrowest_way_count(client: Any, plan_id: str) -> None:
    # 5 x 4 m less two benches of 600 x 1220 mm: 20 - 1.464, both far from the walls
    page = client.get(f"/plan/{plan_id}/options").text
    assert "<dd>18.5 m² of 20.0 m²</dd>" in page
    assert "at least 600 mm wide all over" in page
    assert "<dd>no way to judge</dd>" in page


def test_each_option_and_the_phase_before_later_purchases_has_its_picture(
    client: Any, house: Elbowroom, plan_id: str
) -> None:
    other = options.copy_as_option(house, plan_id, "Bench later").plan_id
    house.do(other, edits(house.open(other).plan, "bench-2", later=True))
    page = client.get(f"/plan/{plan_id}/options").text
    shown = re.findall(r'<img class="small-picture" loading="lazy"[^>]* src="([^"]+)"', page)
    assert [url.split("?")[0] for url in shown] == [
        f"/plan/{one}/picture.svg" for one in (plan_id, other)
    ]
    (early,) = re.findall(r' src="([^"]+picture.svg[^"]+)"', client.get(f"/plan/{other}/now").text)

    def pieces(url: str) -> set[str]:
        reply = client.get(url.replace("&amp;", "&"))
        assert (reply.status_code, reply.mimetype) == (200, "image/svg+xml")
        # a picture in a page sees no font of the page: it carries its own
        assert "@font-face" in reply.text
        return set(re.findall(r'data-owner="(bench-[^"]+)"', reply.text))

    assert pieces(shown[1]) == {"bench-1", "bench-2"}
    assert pieces(early) == {"bench-1"}
