"""Scripts and styles are sent packed to who can unpack them, and are then still the same."""

import gzip
import os
import re
from pathlib import Path
from typing import Any

from app.resources import folder
from app.web.program_files import state_of

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


def test_a_script_stands_in_pages_under_an_address_that_browsers_keep_for_good(client: Any) -> None:
    (address,) = re.findall(r'src="(/static/v-[0-9a-f]+/js/pages/menus\.js)"', client.get("/").text)
    with client.get(address) as reply:
        assert reply.headers["Cache-Control"] == "max-age=31536000, immutable"
        assert reply.data == (folder("static") / "js" / "pages" / "menus.js").read_bytes()
    # what it imports is found beside it, by the same mark
    with client.get(address.replace("pages/menus.js", "dom.js")) as reply:
        assert reply.headers["Cache-Control"] == "max-age=31536000, immutable"


def test_a_tab_from_before_the_files_changed_gets_what_there_is_and_keeps_it_not(
    client: Any,
) -> None:
    with client.get("/static/v-000000000000/js/main.js") as reply:
        assert reply.headers["Cache-Control"] == "no-cache"
        assert reply.data == (folder("static") / "js" / "main.js").read_bytes()
    for beyond in ("/static/v-000000000000/../app/cli.py", "/static/v-0/%2e%2e/pyproject.toml"):
        assert client.get(beyond).status_code == 404


def test_the_address_changes_with_the_files(tmp_path: Path) -> None:
    file = tmp_path / "one.js"
    file.write_text("1")
    before = state_of(tmp_path)
    assert state_of(tmp_path) == before
    file.write_text("12")
    longer = state_of(tmp_path)
    os.utime(file, ns=(0, 0))
    older = state_of(tmp_path)
    file.rename(tmp_path / "two.js")
    assert len({before, longer, older, state_of(tmp_path)}) == 4
