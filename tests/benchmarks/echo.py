"""A server with the pages of the real one that answers every drag with a recorded verdict.

``python -m tests.benchmarks.echo URL FILE``: hands all questions on to the program at URL, but
answers those of a drag with the lines of FILE, one after the other. It prints its own address.
"""

import itertools
import sys
from pathlib import Path
from urllib.request import Request, urlopen

from flask import Flask, Response, request
from waitress.server import create_server

THREADS = 8
PASSED_ON = ("Content-Type", "Content-Security-Policy", "Cache-Control", "ETag")


def echo_app(real: str, answers: list[bytes]) -> Flask:
    """Make the application; `real` ends in a slash."""
    app = Flask("echo", static_folder=None)
    recorded = itertools.cycle(answers)

    @app.post("/api/plans/<plan_id>/try")
    def answer(plan_id: str) -> Response:
        request.get_data()
        return Response(next(recorded), mimetype="application/json")

    @app.get("/")
    @app.get("/<path:path>")
    def hand_on(path: str = "") -> Response:
        if path.endswith("/stream"):
            # a browser does not ask again after this: no news here
            return Response(status=204)
        query = request.query_string.decode()
        address = f"{real}{path}{'?' + query if query else ''}"
        with urlopen(Request(address), timeout=60) as reply:
            headers = {name: reply.headers[name] for name in PASSED_ON if name in reply.headers}
            return Response(reply.read(), headers=headers)

    return app


def main(real: str, file: str) -> None:
    """Serve until the process is ended."""
    answers = Path(file).read_bytes().splitlines()
    server = create_server(echo_app(real, answers), host="127.0.0.1", port=0, threads=THREADS)
    print(f"http://127.0.0.1:{server.effective_port}/", flush=True)
    server.run()


if __name__ == "__main__":
    main(*sys.argv[1:])
