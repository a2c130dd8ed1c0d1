"""Sends scripts, styles and drawings packed to browsers that can unpack them."""

from __future__ import annotations

import gzip
from functools import lru_cache

from flask import Flask, Response, request

PACKED_TYPES = frozenset({"text/javascript", "text/css"})
PACKED_PAGES = frozenset({"pages.shelf"})
"""What does not change while the program runs, and so is packed once."""
ANSWERS_AT_MOST = 256


def packing(app: Flask) -> None:
    """Pack what is sent of an application's scripts and styles; each file is packed once."""
    app.after_request(_pack)


def _pack(response: Response) -> Response:
    packs = response.mimetype in PACKED_TYPES or request.endpoint in PACKED_PAGES
    if not packs or response.status_code != 200:
        return response
    response.vary.add("Accept-Encoding")
    if not request.accept_encodings["gzip"] or "Content-Encoding" in response.headers:
        return response
    response.direct_passthrough = False
    response.set_data(_packed(response.get_data()))
    response.headers["Content-Encoding"] = "gzip"
    tag, weak = response.get_etag()
    if tag and not weak:
        # the same file in another form: alike for whoever shows it, not to the byte
        response.set_etag(tag, weak=True)
    return response


@lru_cache(maxsize=ANSWERS_AT_MOST)
def _packed(data: bytes) -> bytes:
    # no time stamp: the same file packs to the same bytes
    return gzip.compress(data, mtime=0)
