"""The real application over a real file of plans, asked without a network between."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.model.versions import load
from app.usecases.plans import Elbowroom
from app.web.api.following import STREAMS
from app.web.app import create_app, own_streams
from app.web.guests.server import GuestServer
from app.web.house import put_house
from app.web.pages.share import put_guest_server
from tests.web.building import plan_data, text

MARK = "the mark"


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans")
    yield house
    house.close()


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """The application of this worker: making one takes longer than most of what is asked of it."""
    nothing = Elbowroom(tmp_path_factory.mktemp("nothing"))
    yield create_app(nothing, MARK)
    nothing.close()


@pytest.fixture
def application(made_once: Flask, house: Elbowroom) -> Flask:
    """The application over the plans of this test; nothing is left of the test before."""
    put_house(made_once, house)
    put_guest_server(made_once, GuestServer(house, allowed=False))
    made_once.extensions[STREAMS] = own_streams()
    return made_once


@pytest.fixture
def own_application(house: Elbowroom) -> Flask:
    """An application of this test alone, to which it may add what it likes."""
    return create_app(house, MARK)


@pytest.fixture
def client(application: Flask) -> FlaskClient:
    return application.test_client()


@pytest.fixture
def plan_id(house: Elbowroom) -> str:
    """A plan that is kept already."""
    return house.create(load(text(plan_data()))).plan_id
