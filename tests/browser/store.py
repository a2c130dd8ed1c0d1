"""What the running program keeps, asked over its own address and past its pages."""

import json
from collections.abc import Mapping
from typing import Any
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import Request, urlopen

from app.model.plan import Plan
from app.model.versions import dump

ANSWER_SECONDS = 60.0
Data = dict[str, Any]


class PlanStore:
    """The plans of a running program. ``url`` ends in a slash."""

    def __init__(self, url: str) -> None:
        self.url = url

    def ask(self, path: str, body: bytes | None = None) -> bytes:
        """Get an address, or post a body to it, and give the answer; a refusal is a failure."""
        return self._sent(Request(self.url + path, body, {"Content-Type": "application/json"}))

    def send_form(self, path: str, fields: Mapping[str, str]) -> str:
        """Post a form as a page without scripts does, and give the page that comes then."""
        return self._sent(Request(self.url + path, urlencode(fields).encode())).decode()

    def _sent(self, request: Request) -> bytes:
        try:
            with urlopen(request, timeout=ANSWER_SECONDS) as answer:
                whole: bytes = answer.read()
                return whole
        except HTTPError as refusal:
            told = refusal.read().decode()
            raise AssertionError(f"{request.full_url}: {refusal.code} {told}") from None

    def put(self, plan: Plan) -> str:
        """Keep a plan and give its id."""
        told: Data = json.loads(self.ask("api/plans/import", dump(plan).encode()))
        return str(told["id"])

    def sample(self, key: str) -> str:
        """Keep a plan made from a sample and give its id."""
        told: Data = json.loads(self.ask("api/plans", json.dumps({"sample": key}).encode()))
        return str(told["id"])

    def plans(self) -> dict[str, str]:
        """Give name by id of the plans on the list."""
        return {entry["id"]: entry["name"] for entry in self._list()["plans"]}

    def deleted(self) -> dict[str, str]:
        """Give name by id of the plans that were deleted and can come back."""
        return {entry["id"]: entry["name"] for entry in self._list()["deleted"]}

    def read(self, plan_id: str) -> Data:
        """Give a plan with its revision and verdict."""
        told: Data = json.loads(self.ask(f"api/plans/{plan_id}"))
        return told

    def plan(self, plan_id: str) -> Data:
        """Give a plan as JSON data."""
        plan: Data = self.read(plan_id)["plan"]
        return plan

    def pieces(self, plan_id: str) -> dict[str, Data]:
        """Give the pieces of a plan by their id."""
        return {piece["id"]: piece for piece in self.plan(plan_id)["pieces"]}

    def pose(self, plan_id: str, piece_id: str) -> tuple[float, float, float]:
        """Give where a piece stands: x and y in mm, angle in degrees."""
        pose = self.pieces(plan_id)[piece_id]["pose"]
        return pose["x_mm"], pose["y_mm"], pose["angle_deg"]

    def snags(self, plan_id: str) -> dict[str, Data]:
        """Give the snags of a plan by their key."""
        return {snag["key"]: snag for snag in self.read(plan_id)["verdict"]["snags"]}

    def stops(self, plan_id: str) -> int:
        """Give how many stops are open."""
        count: int = self.read(plan_id)["verdict"]["counts"]["stop"]
        return count

    def tried(self, plan_id: str, moves: Data) -> Data:
        """Give the whole verdict with pieces at other poses; nothing is kept."""
        body = json.dumps({"moves": moves}).encode()
        verdict: Data = json.loads(self.ask(f"api/plans/{plan_id}/try", body))["verdict"]
        return verdict

    def _list(self) -> Data:
        told: Data = json.loads(self.ask("api/plans"))
        return told
