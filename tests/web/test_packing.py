"""Scripts and styles are sent packed to who can unpack them, and are then still the same."""

import gzip
from typing import Any

from app.resources import folder

SCRIPT = "/static/js/main.js"


def test_a_script_is_packed_and_unpacks_to_the_file(client: Any) -> None:
    with client.get(SCRIPT, headers={"Accept-Encoding": "gzip, deflate"}) as reply:
        file = (folder("static") / "js" / "main.js").read_bytes()
        assert reply.headers["Content-Encoding"] == "gzip"
        assert gzip.decompress(reply.data) == file
        assert len(reply.data) < len(file) / 2
        assert "Accept-Encoding" in reply.headers["Vary"]


def test_who_cannot_unpack_gets_it_as_it_is(client: Any) -> None:
    plain = {"Accept-Encoding": "identity"}
    with client.get("/static/css/tokens.css", headers=plain) as reply:
        assert "Content-Encoding" not in reply.headers
        assert reply.data == (folder("static") / "css" / "tokens.css").read_bytes()


def test_an_unchanged_script_is_not_sent_again(client: Any) -> None:
    packed = {"Accept-Encoding": "gzip"}
    with client.get(SCRIPT, headers=packed) as first:
        tag = first.headers["ETag"]
    with client.get(SCRIPT, headers={**packed, "If-None-Match": tag}) as again:
        assert (again.status_code, again.data) == (304, b"")
