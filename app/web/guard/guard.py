"""Who may ask what: own host names only, writes only from own pages, nothing too large.

A page somewhere on the web can make a browser send requests to this machine, by a name of its own
that points here or by a form or script of its own. Host and origin give both away.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Flask, Response, current_app, request

from app.errors import ElbowroomError

BODY_LIMIT = 16_000_000
PICTURE_MB = 40
PICTURE_LIMIT = (PICTURE_MB + 1) * 1_000_000
"""In bytes: a picture of 40 MB with the form around it."""
TAKE_PICTURES = frozenset({"sketch.take", "sketch.choose", "work_pages.change", "work_pages.tick"})
OWN_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})
READS = frozenset({"GET", "HEAD", "OPTIONS"})
OWN_SITES = frozenset({"same-origin", "none"})
NAVIGATIONS = frozenset({"navigate", None})

POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        "style-src 'self'{styles}",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'self'",
    )
)
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
OWN_STYLES = "elbowroom_own_styles"
NAMES = "ELBOWROOM_NAMES"
OF_THE_PROGRAM = frozenset({"static", "pages.shelf"})
"""What browsers may keep, asking each time whether it is still so: it says nothing of a plan."""
TRUSTED_ONLY = "Cross-Origin-Opener-Policy"
"""A header that browsers heed, and do not complain of, on this machine or over TLS only."""


class RefusedError(ElbowroomError):
    """The request comes from somewhere that has no business here."""

    code = "refused"


class TooLargeError(ElbowroomError):
    """The request carries more than is taken."""

    code = "too-large"


def guard(app: Flask, names: frozenset[str] = OWN_NAMES, body_limit: int = BODY_LIMIT) -> None:
    """Look at every request before anything else does, and put the headers on every answer.

    `names` are the hosts that the application answers to, `body_limit` is in bytes.
    """
    app.config[NAMES] = names
    app.config["MAX_CONTENT_LENGTH"] = body_limit
    app.config["MAX_FORM_MEMORY_SIZE"] = body_limit
    app.before_request(_look)
    app.after_request(_finish)


def style_elements_allowed() -> None:
    """Let the answer being made hold style elements: drawings carry their own."""
    request.environ[OWN_STYLES] = True


def _look() -> None:
    host = request.environ.get("HTTP_HOST", "")
    if not _is_own(host, request.environ.get("SERVER_PORT", "")):
        raise RefusedError("This program answers only to its own address on this machine.")
    limit = current_app.config["MAX_CONTENT_LENGTH"]
    takes_picture = request.endpoint in TAKE_PICTURES and limit >= BODY_LIMIT
    if takes_picture:
        # guests' pages make their photos small before they send them
        limit = request.max_content_length = PICTURE_LIMIT
    site = request.headers.get("Sec-Fetch-Site")
    followed = request.headers.get("Sec-Fetch-Mode") in NAVIGATIONS
    if site is not None and site not in OWN_SITES and not followed:
        # Another page may link here, but neither read nor load anything from here.
        raise RefusedError("Only the pages of this program may ask for that.")
    if request.method not in READS:
        origin = request.headers.get("Origin")
        if origin is not None and origin != f"{request.scheme}://{host}":
            raise RefusedError("Changes are taken only from the pages of this program.")
        if site is not None and site not in OWN_SITES:
            raise RefusedError("Changes are taken only from the pages of this program.")
    if (request.content_length or 0) > limit:
        has = (request.content_length or 0) / 1e6
        if takes_picture:
            raise TooLargeError(
                f"The picture has {has:.0f} MB; at most {PICTURE_MB} MB are taken. Nothing is "
                "changed: go back and choose a smaller one."
            )
        raise TooLargeError(
            f"What was sent has {has:.3g} MB; at most {limit / 1e6:.0f} MB are taken."
        )


def _is_own(host: str, own_port: str) -> bool:
    try:
        parts = urlsplit(f"//{host}")
        port = parts.port
    except ValueError:
        return False
    plain = parts.username is None and not (parts.path or parts.query or parts.fragment)
    # A port that is left out is 80.
    return plain and parts.hostname in current_app.config[NAMES] and str(port or 80) == own_port


def _finish(response: Response) -> Response:
    styles = " 'unsafe-inline'" if request.environ.get(OWN_STYLES) else ""
    response.headers["Content-Security-Policy"] = POLICY.format(styles=styles)
    for name, value in HEADERS.items():
        if name != TRUSTED_ONLY or current_app.config[NAMES] == OWN_NAMES:
            response.headers[name] = value
    if request.endpoint not in OF_THE_PROGRAM:
        response.headers["Cache-Control"] = "no-store"
    return response
