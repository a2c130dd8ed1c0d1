"""The real application over a real file of plans, asked without a network between."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.model.versions import load
from app.usecases.plans import Elbowroom
from app.web.app import create_app
from tests.web.building import plan_data, text


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans")
    yield house
    house.close()


@pytest.fixture
def application(house: Elbowroom) -> Flask:
    return create_app(house, "the mark")


@pytest.fixture
def client(application: Flask) -> FlaskClient:
    return application.test_client()


@pytest.fixture
def plan_id(house: Elbowroom) -> str:
    """A plan that is kept already."""
    return house.create(load(text(plan_data()))).plan_id
