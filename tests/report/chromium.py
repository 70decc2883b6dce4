"""A headless Chromium that tests look at pages with: it is clicked and typed at, and tells what it shows.

It is driven through Chromium's own DevTools protocol (https://chromedevtools.github.io/devtools-protocol/) over a
pair of pipes (``--remote-debugging-pipe``: one JSON text a message, each ended by a zero byte, read from descriptor
3 and written to 4), so that no port is opened and no driver is needed.
"""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--disable-dev-shm-usage",
    "--remote-debugging-pipe",
)  # fmt: skip
# Becomes the browser, with its end of the pipes where it looks for them.
LAUNCH = """
import os, sys
os.dup2(int(sys.argv[1]), 103), os.dup2(int(sys.argv[2]), 104)  # out of the way first
os.dup2(103, 3), os.dup2(104, 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
SECONDS = 60.0  # for any one answer: a loaded machine starts a browser slowly
KEYS = {
    "Tab": ("Tab", 9, ""),
    "Enter": ("Enter", 13, "\r"),
    " ": ("Space", 32, " "),
    "ArrowDown": ("ArrowDown", 40, ""),
}


def find_chromium() -> str | None:
    return next((path for path in map(shutil.which, NAMES) if path), None)


class Chromium:
    """A browser with one page open.  ``requests`` are the addresses that the page asked for."""

    def __init__(self, program: str, folder: Path) -> None:
        to_browser, ours = os.pipe()
        self._read, from_browser = os.pipe()
        self._write = ours

        ends = (to_browser, from_browser)
        command = [program, *FLAGS, f"--user-data-dir={folder}", "about:blank"]
        self.process = subprocess.Popen(
            [sys.executable, "-c", LAUNCH, *map(str, ends), *command], pass_fds=ends,
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(to_browser)
        os.close(from_browser)
        self._buffer = b""
        self._number = 0
        self._session = ""
        self._events: list[dict[str, Any]] = []
        self.requests: list[str] = []
        self.complaints: list[str] = []
        try:
            self._attach()
        except BaseException:
            self.close()
            raise

    def _attach(self) -> None:
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log", "Accessibility"):
            self.call(f"{domain}.enable")

    def __enter__(self) -> Chromium:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: object, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        os.close(self._write)  # the browser ends when its pipe does
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self._read)

    # ---------------------------------------------------------------------------------------- messages

    def call(self, method: str, **arguments: Any) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": arguments}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, (method, answer["error"])
                result: dict[str, Any] = answer["result"]
                return result

    def _next(self) -> dict[str, Any]:
        limit = time.monotonic() + SECONDS
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._read], [], [], max(limit - time.monotonic(), 0.0))
            data = os.read(self._read, 1 << 20) if ready else b""
            assert data, "the browser does not answer"
            self._buffer += data
        text, self._buffer = self._buffer.split(b"\0", 1)
        message: dict[str, Any] = json.loads(text)
        self._heard(message)
        return message

    def _heard(self, message: dict[str, Any]) -> None:
        told = message.get("params", {})
        if message.get("method") == "Network.requestWillBeSent":
            self.requests.append(told["request"]["url"])
        elif message.get("method") == "Runtime.exceptionThrown":
            self.complaints.append(json.dumps(told))
        elif message.get("method") == "Log.entryAdded" and told["entry"]["level"] == "error":
            self.complaints.append(told["entry"]["text"])
        if "method" in message:
            self._events.append(message)

    def _wait_for(self, event: str) -> None:
        while not any(message["method"] == event for message in self._events):
            self._next()

    # ----------------------------------------------------------------------------------------- the page

    def open(self, path: Path, fragment: str = "") -> None:
        for url in ("about:blank", path.as_uri() + fragment):  # a page that is open would only be scrolled
            self._events.clear()
            self.call("Page.navigate", url=url)
            self._wait_for("Page.loadEventFired")

    def run(self, script: str) -> Any:
        """The value of an expression, as JSON holds it; a promise is waited for."""
        done = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in done, done
        return done["result"].get("value")

    def screen(self, width: int, height: int) -> None:
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False
        )

    def media(self, scheme: str = "light", kind: str = "screen") -> None:
        scheme_is = [{"name": "prefers-color-scheme", "value": scheme}]
        self.call("Emulation.setEmulatedMedia", media=kind, features=scheme_is)

    def click(self, selector: str) -> None:
        """The mouse goes to the middle of an element, which must be what lies there, and clicks."""
        x, y, hit = self.run(
            f"(() => {{ const e = document.querySelector({json.dumps(selector)});"
            "e.scrollIntoView({block: 'center'}); const b = e.getBoundingClientRect();"
            "const x = b.x + b.width / 2, y = b.y + b.height / 2, h = document.elementFromPoint(x, y);"
            "return [x, y, e === h || e.contains(h) || (h && h.contains(e))]; })()"
        )
        assert hit, f"something covers {selector}"
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)
        self.settle()

    def type(self, text: str) -> None:
        """Into what has the focus."""
        for letter in text:
            self.call("Input.dispatchKeyEvent", type="keyDown", text=letter, key=letter)
            self.call("Input.dispatchKeyEvent", type="keyUp", key=letter)
        self.settle()

    def press(self, key: str, shift: bool = False) -> None:
        code, number, text = KEYS[key]
        same = {"key": key, "code": code, "windowsVirtualKeyCode": number, "modifiers": 8 if shift else 0}
        self.call("Input.dispatchKeyEvent", type="keyDown" if text else "rawKeyDown", text=text, **same)
        self.call("Input.dispatchKeyEvent", type="keyUp", **same)
        self.settle()

    def settle(self) -> None:
        """Until the page has been drawn again."""
        self.run("new Promise(done => requestAnimationFrame(() => setTimeout(done, 0)))")

    def picture(self) -> bytes:
        return base64.b64decode(self.call("Page.captureScreenshot", format="png")["data"])

    def printed(self) -> bytes:
        """The page as a PDF, as it prints by default."""
        done = self.call("Page.printToPDF", printBackground=True, preferCSSPageSize=True)
        return base64.b64decode(done["data"])

    def read_aloud(self) -> list[tuple[str, str]]:
        """(role, name) of all that a screen reader finds, in order."""
        nodes = self.call("Accessibility.getFullAXTree")["nodes"]
        return [
            (str(n.get("role", {}).get("value", "")), str(n.get("name", {}).get("value", "")))
            for n in nodes
            if not n.get("ignored")
        ]
