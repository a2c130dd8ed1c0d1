"""The owner's page of sharing: the switch, the links of a plan, each with its QR code."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Flask, current_app, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from app.errors import ElbowroomError, Fault, PlanError
from app.usecases import sharing
from app.web.errors import status_of
from app.web.guests.addresses import home_addresses
from app.web.guests.app import RANK, WORDS
from app.web.guests.server import WHO_CAN, GuestServer, qr_svg
from app.web.house import house

share_pages = Blueprint("share", __name__)
KEY = "elbowroom-guest-server"
HOURS = {"2": "2 hours", "24": "a day", "168": "a week", "720": "30 days"}


def put_guest_server(app: Flask, server: GuestServer) -> None:
    """Hand the application the server that its switch starts."""
    app.extensions[KEY] = server


def guest_server() -> GuestServer:
    """Return the server for guests of the application that answers just now."""
    server = current_app.extensions[KEY]
    assert isinstance(server, GuestServer)
    return server


@share_pages.get("/plan/<plan_id>/share")
def page(plan_id: str) -> str:
    """The switch, and the links of the plan."""
    return _page(plan_id, {}, {})


@share_pages.post("/plan/<plan_id>/share/on")
def on(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Serve guests on the address chosen."""
    house().open(plan_id)
    try:
        guest_server().start(request.form.get("address") or None)
    except ElbowroomError as error:
        return _page(plan_id, {}, {"address": error.sentence}), status_of(error)
    return _back(plan_id)


@share_pages.post("/plan/<plan_id>/share/off")
def off(plan_id: str) -> AnyResponse:
    """Serve no guests any more."""
    guest_server().stop()
    return _back(plan_id)


@share_pages.post("/plan/<plan_id>/share/links")
def make(plan_id: str) -> AnyResponse | tuple[str, int]:
    """Make a link from name, right and how long it opens; `address`: serve guests there first."""
    form = request.form.to_dict()
    try:
        link, secret = sharing.make_link(
            house(),
            plan_id,
            form.get("name", ""),
            form.get("rights", ""),
            _hours(form),
            ticks="ticks" in form,
            money="money" in form,
        )
    except PlanError as error:
        faults = {fault.field: fault.sentence for fault in error.faults}
        return _page(plan_id, form, faults), 400
    guest_server().remember(link, secret)
    address = form.get("address")
    if address and not guest_server().root:
        try:
            guest_server().start(address)
        except ElbowroomError as error:
            return _page(plan_id, {}, {"address": error.sentence}), status_of(error)
    return _back(plan_id)


@share_pages.post("/plan/<plan_id>/share/links/<link_id>/renew")
def renew(plan_id: str, link_id: str) -> AnyResponse:
    """Give a link a new address, for its old one is known no more."""
    guest_server().remember(*sharing.renew(house(), plan_id, link_id))
    return _back(plan_id)


@share_pages.post("/plan/<plan_id>/share/links/<link_id>/withdraw")
def withdraw(plan_id: str, link_id: str) -> AnyResponse:
    """Shut a link at once."""
    sharing.withdraw(house(), plan_id, link_id)
    guest_server().forget(link_id)
    return _back(plan_id)


def _hours(form: dict[str, str]) -> float:
    hours = form.get("hours", "")
    if not re.fullmatch(r"[0-9]{1,5}", hours):
        raise PlanError(Fault("hours", "must be a number of hours"))
    return float(hours)


def _page(plan_id: str, form: dict[str, str], faults: dict[str, str]) -> str:
    server = guest_server()
    return render_template(
        "share.html",
        plan_id=plan_id,
        plan=house().open(plan_id).plan,
        root=server.root,
        address=server.address,
        addresses=home_addresses(),
        who_can=WHO_CAN,
        links=[_shown(link, server.url(link)) for link in sharing.links(house(), plan_id)],
        rights=[(word, WORDS[word]) for word in RANK],
        hours=list(HOURS.items()),
        form=form,
        faults=faults,
    )


def _shown(link: sharing.Link, url: str | None) -> dict[str, Any]:
    return {
        "link": link,
        "may": WORDS[link.rights] + (", and tick works off" if link.ticks else ""),
        "url": url,
        "qr": None if url is None else Markup(qr_svg(url)),
    }


def _back(plan_id: str) -> AnyResponse:
    return redirect(url_for("share.page", plan_id=plan_id), 303)
