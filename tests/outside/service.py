"""A demo of the built service, for as long as it is needed."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

_REPOSITORY = Path(__file__).resolve().parents[2]


class Demo:
    """Starts the demo club on a free port and asks its API with a member's token."""

    def __enter__(self) -> Demo:
        binary = os.environ.get(
            "BORROWED_LIGHT_BINARY", str(_REPOSITORY / "target/debug/borrowed-light")
        )
        if not Path(binary).exists():
            raise SystemExit(f"{binary} is not there. Build it first: cargo build")
        self._folder = tempfile.TemporaryDirectory(prefix="borrowed-light-")
        data = Path(self._folder.name) / "data"
        self._log = open(Path(self._folder.name) / "log", "w+", encoding="utf-8")
        command = [binary, "demo", "--listen", "127.0.0.1:0", "--data", str(data)]
        self._process = subprocess.Popen(
            [*command, "--today", "2026-06-05"],
            stdin=subprocess.DEVNULL,
            stdout=self._log,
            stderr=subprocess.STDOUT,
        )
        try:
            self._wait(data / "demo-access.json")
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        self._process.send_signal(signal.SIGTERM)
        self._process.wait(30)
        self._log.close()
        self._folder.cleanup()

    def _wait(self, file: Path) -> None:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline and self._process.poll() is None:
            try:
                access = json.loads(file.read_text(encoding="utf-8"))
                self.base = access["base_url"].rstrip("/")
                self.accounts = access["accounts"]
                self._token = next(
                    account["token"] for account in self.accounts if account["role"] == "member"
                )
                with urllib.request.urlopen(self.base + "/readyz", timeout=5):
                    return
            except (OSError, ValueError):
                time.sleep(0.05)
        self._log.seek(0)
        raise SystemExit(f"the demo did not become ready; it said:\n{self._log.read()}")

    def ask(self, path: str, body: dict) -> dict:
        """Sends a body to an address of the API and gives the answer."""
        request = urllib.request.Request(
            self.base + path,
            json.dumps(body).encode(),
            {"Content-Type": "application/json", "Authorization": f"Bearer {self._token}"},
        )
        try:
            with urllib.request.urlopen(request, timeout=120) as answer:
                return json.load(answer)
        except urllib.error.HTTPError as refusal:
            raise SystemExit(f"{path} answered {refusal.code}: {refusal.read().decode()}") from None
