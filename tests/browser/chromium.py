"""Find a Chromium, Chrome or Edge on this machine, or bring one in."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import sync_playwright

CHOICE = "ELBOWROOM_BROWSER"

NAMES = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
    "microsoft-edge-stable",
    "chrome",
    "msedge",
)

UNIX_PLACES = (
    "/usr/bin/chromium",
    "/usr/bin/chromium-browser",
    "/usr/lib/chromium/chromium",
    "/usr/bin/google-chrome",
    "/opt/google/chrome/chrome",
    "/opt/microsoft/msedge/msedge",
    "/snap/bin/chromium",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)

WINDOWS_ROOTS = ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")
WINDOWS_PLACES = (
    "Chromium/Application/chrome.exe",
    "Google/Chrome/Application/chrome.exe",
    "Microsoft/Edge/Application/msedge.exe",
)

# Windows of this browser build pages of its own for their address line, as costly as ours: two
# thirds of what opening a page takes. Nobody types there.
OWN_PAGES = ("WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup")
# A process for the page that may come next, and one for each site: all pages here are of one.
SPARE_PROCESSES = ("SpareRendererForSitePerProcess", "IsolateOrigins", "site-per-process")
# The last switch of a name counts: what Playwright switches off by the same one is named again.
PLAYWRIGHTS = (
    "AimEnabled",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "ThirdPartyStoragePartitioning",
)

ANSWER_SECONDS = 30
DOWNLOAD_SECONDS = 240


class NoBrowserError(RuntimeError):
    """No browser could be found or brought in; the message says what to do."""


def launch_arguments() -> list[str]:
    """Return the switches that keep the browser quiet on the network and off the graphics card.

    It builds no pages of its own either. A browser passes over features that it does not know.
    """
    quiet = [
        f"--disable-features={','.join((*PLAYWRIGHTS, *OWN_PAGES, *SPARE_PROCESSES))}",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-gpu",
        "--disable-quic",
        "--disable-site-isolation-trials",
        "--disable-sync",
        "--no-first-run",
    ]
    return [*quiet, "--no-sandbox"] if _is_root() else quiet


def find() -> Path | None:
    """Return the first browser that answers, or None. ``ELBOWROOM_BROWSER`` overrules the search.

    Raises ``NoBrowserError`` if that variable names something that does not answer.
    """
    chosen = os.environ.get(CHOICE)
    if chosen:
        if not answers(Path(chosen)):
            raise NoBrowserError(f"{CHOICE} names {chosen}, which does not run as a browser.")
        return Path(chosen)
    return next((place for place in _places() if answers(place)), None)


def make_sure() -> Path:
    """Return a browser: one installed, else Playwright's own, else the distribution's package.

    Raises ``NoBrowserError`` when all three fail.
    """
    found = find() or _own_download()
    if found is None:
        found = _distribution_package()
    if found is None:
        raise NoBrowserError(
            "No browser for the browser tests. Install Chromium, Chrome or Edge, or run "
            f"`python -m playwright install chromium`, or set {CHOICE} to the program's path."
        )
    return found


def answers(program: Path) -> bool:
    """Return whether the program starts. Some packages leave a stub that only asks to install."""
    if not program.is_file():
        return False
    if sys.platform == "win32":
        # There `--version` opens a window instead of printing.
        return True
    try:
        reply = subprocess.run(
            [program, "--version"],
            capture_output=True,
            text=True,
            timeout=ANSWER_SECONDS,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return reply.returncode == 0 and any(letter.isdigit() for letter in reply.stdout)


def _places() -> Iterator[Path]:
    for name in NAMES:
        on_path = shutil.which(name)
        if on_path:
            yield Path(on_path)
    if sys.platform == "win32":
        for root in WINDOWS_ROOTS:
            if root in os.environ:
                yield from (Path(os.environ[root], place) for place in WINDOWS_PLACES)
    else:
        yield from map(Path, UNIX_PLACES)
    yield _playwright_place()


def _playwright_place() -> Path:
    with sync_playwright() as playwright:
        return Path(playwright.chromium.executable_path)


def _own_download() -> Path | None:
    print("No browser found; asking Playwright for its own.", flush=True)
    if not _runs(sys.executable, "-m", "playwright", "install", "chromium"):
        return None
    place = _playwright_place()
    return place if answers(place) else None


def _distribution_package() -> Path | None:
    if not (_is_root() and shutil.which("apt-get")):
        return None
    print("Playwright's did not come; installing the distribution's chromium.", flush=True)
    quietly = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    _runs("apt-get", "-qq", "update", environment=quietly)
    _runs("apt-get", "-qq", "-y", "install", "chromium", environment=quietly)
    return find()


def _runs(*command: str, environment: dict[str, str] | None = None) -> bool:
    try:
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            timeout=DOWNLOAD_SECONDS,
            env=environment,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as fault:
        print(f"{command[0]}: {fault}", flush=True)
        return False
    return done.returncode == 0


def _is_root() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0
