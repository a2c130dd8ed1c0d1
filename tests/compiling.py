"""What Python compiles, kept where the environment forbids it beside the sources."""

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def compiled_once() -> Iterator[None]:
    """Let workers and the programs they start share what Python compiles.

    Where the environment forbids compiled files beside the sources, each of them would compile
    the tests and the program anew.
    """
    if not sys.dont_write_bytecode:
        yield
        return
    with tempfile.TemporaryDirectory(prefix="compiled-") as folder:
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = folder
        yield
