"""Two ways out that were offered together: the second is not taken on the word of before the first.

A way out was judged with everything where it stood then. Whether it still does what it says once
another one is taken nobody has looked at, so it is refused and looked for anew.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from app.usecases.as_found import EARLIER
from app.usecases.plans import Elbowroom
from tests.web.building import plan_data

SAMPLES = Path(__file__).parents[2] / "sample_rooms"


def kept(house: Elbowroom, plan_id: str) -> tuple[int, Any]:
    state = house.open(plan_id)
    return state.revision, state.plan


def take(client: Any, root: str, offered: dict[str, Any], key: str, **besides: Any) -> Any:
    """Take a way out as the desk does: on the revision in which it was found."""
    (command,) = offered["remedies"][key]["commands"]
    asked = {"command": command, "revision": offered["revision"], "as_found": True}
    return client.post(f"{root}/commands", json={**asked, **besides})


def offered_at(client: Any, sample: str) -> tuple[str, dict[str, Any]]:
    """A plan that has two ways out to be taken, and what is offered."""
    plan = json.loads((SAMPLES / f"{sample}.json").read_text())
    made = client.post("/api/plans/import", data=json.dumps(plan))
    root = f"/api/plans/{made.json['id']}"
    return root, client.get(f"{root}/remedies").json


@pytest.mark.parametrize(
    "sample", ["single-garage", pytest.param("double-garage", marks=pytest.mark.long)]
)
def test_the_second_of_two_ways_out_is_not_taken_as_it_was_offered_before_the_first(
    client: Any, house: Elbowroom, sample: str
) -> None:
    root, offered = offered_at(client, sample)
    plan_id = root.rsplit("/", 1)[1]
    first, second, *_ = offered["remedies"]
    told = take(client, root, offered, first)
    assert told.status_code == 200
    stands = kept(house, plan_id)

    refused = take(client, root, offered, second)
    assert refused.status_code == 409
    assert refused.json["error"]["code"] == "outdated"
    assert refused.json["error"]["message"] == EARLIER
    assert kept(house, plan_id) == stands

    # looked for anew, what is offered then is taken and does what it says
    anew = client.get(f"{root}/remedies").json
    assert anew["revision"] == told.json["revision"]
    key = next(iter(anew["remedies"]))
    after = take(client, root, anew, key)
    assert after.status_code == 200
    assert after.json["revision"] == anew["revision"] + 1


def test_what_was_found_is_carried_out_only_where_it_is_told_in_what(
    client: Any, house: Elbowroom
) -> None:
    root, offered = offered_at(client, "single-garage")
    plan_id = root.rsplit("/", 1)[1]
    key = next(iter(offered["remedies"]))
    stands = kept(house, plan_id)
    for revision in (None, offered["revision"] + 1):
        refused = take(client, root, offered, key, revision=revision)
        assert refused.json["error"]["code"] == "outdated"
    refused = take(client, root, offered, key, as_found="yes")
    assert (refused.status_code, refused.json["error"]["code"]) == (400, "bad-json")
    assert kept(house, plan_id) == stands


def test_what_mends_all_is_held_to_its_revision_too(client: Any, house: Elbowroom) -> None:
    root, offered = offered_at(client, "single-garage")
    plan_id = root.rsplit("/", 1)[1]
    mended = client.get(f"{root}/mending").json
    asked = {"command": mended["command"], "revision": mended["revision"], "as_found": True}
    client.post(f"{root}/name", json={"name": "Another name"})
    stands = kept(house, plan_id)
    refused = client.post(f"{root}/commands", json=asked)
    assert refused.json["error"]["code"] == "outdated"
    assert kept(house, plan_id) == stands
    asked["revision"] = offered["revision"] + 1
    assert client.post(f"{root}/commands", json=asked).status_code == 200


def test_any_other_change_is_merged_as_before(client: Any, house: Elbowroom) -> None:
    plan_id = client.post("/api/plans/import", data=json.dumps(plan_data())).json["id"]
    root = f"/api/plans/{plan_id}"
    client.post(f"{root}/name", json={"name": "Another name"})
    change = {"path": ["pieces", "bench-1", "pinned"], "before": False, "after": True}
    command = {"name": "edit", "says": "pin it", "changes": [change]}
    told = client.post(f"{root}/commands", json={"command": command, "revision": 0})
    assert told.status_code == 200
    assert house.open(plan_id).plan.name == "Another name"
