"""The whole API against an outside fuzzer that reads nothing but our OpenAPI document.

As a member and as a quartermaster (or in every role) the fuzzer sends thousands of requests: examples,
every border of every schema, and random ones, right and wrong. What is held: no answer of 500 and
above, only the answers, headers and bodies that the document promises, no wrong request accepted,
nothing without a token. Closes with "N passed, N failed".

Not held is that everything the schemas allow is accepted: that a shadow must be smaller than its
aperture, or a version the newest, is said in words and checked by our own tests. `--examples N` sends
more of the random ones, `--roles all` asks in every role.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
import threading
import xml.etree.ElementTree as tree
from concurrent.futures import ThreadPoolExecutor
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from service import Demo
from tally import Tally

# Whoever is refused everything proves little: each role reaches other parts.
ROLES = ["member", "quartermaster", "outreach", "admin"]

# A request without If-Match, or with a stale one, is answered with 428 or 412 (RFC 6585, RFC 9110),
# which are refusals too.
SETTINGS = """
[checks]
missing_required_header.expected-statuses = ["4xx"]
negative_data_rejection.expected-statuses = ["4xx"]
"""


def fuzz(document: str, token: str, examples: int) -> tuple[int, dict[str, str]]:
    """Runs the fuzzer; how many requests it sent, and what it says of each operation it tested."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Path(folder) / "schemathesis.toml"
        settings.write_text(SETTINGS, encoding="utf-8")
        command = [
            str(Path(sys.executable).with_name("schemathesis")),
            "--config-file",
            str(settings),
            "run",
            document,
            "--header",
            f"Authorization: Bearer {token}",
            "--checks",
            "all",
            "--exclude-checks",
            "positive_data_acceptance",
            "--phases",
            "examples,coverage,fuzzing",
            "--max-examples",
            str(examples),
            "--seed",
            "8420",
            "--request-timeout",
            "30",
            "--report",
            "junit",
            "--report-junit-path",
            str(Path(folder) / "report.xml"),
            "--no-color",
        ]
        # The fuzzer keeps a data base of what it found; ours is thrown away.
        run = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, check=False
        )
        sent = re.search(r"(\d+) generated", run.stdout)
        report = Path(folder) / "report.xml"
        if sent is None or not report.exists():
            raise SystemExit(f"the fuzzer did not run:\n{run.stdout}\n{run.stderr}")
        found = {}
        for case in tree.parse(report).getroot().iter("testcase"):
            faults = [*case.findall("failure"), *case.findall("error")]
            text = "\n".join(fault.text or fault.get("message") or "" for fault in faults)
            found[case.get("name") or "?"] = text
        return int(sent.group(1)), found


class Spoilt(BaseHTTPRequestHandler):
    """A service that breaks its promise: an answer of 500, and a body of another shape."""

    DOCUMENT = {
        "openapi": "3.1.0",
        "info": {"title": "Spoilt", "version": "1"},
        "paths": {
            "/broken": {"get": {"responses": {"200": {"description": "well"}}}},
            "/shape": {
                "get": {
                    "responses": {
                        "200": {
                            "description": "a number",
                            "content": {"application/json": {"schema": {"type": "number"}}},
                        }
                    }
                }
            },
        },
    }

    def do_GET(self) -> None:  # the name is the library's
        answers = {"/openapi.json": (200, json.dumps(self.DOCUMENT)), "/shape": (200, '"a word"')}
        status, text = answers.get(self.path.split("?")[0], (500, '"no"'))
        self.send_response(status)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(text)))
        self.end_headers()
        self.wfile.write(text.encode())

    def log_message(self, *_: object) -> None:
        pass


def spoilt(tally: Tally) -> None:
    server = ThreadingHTTPServer(("127.0.0.1", 0), Spoilt)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    _, found = fuzz(f"http://127.0.0.1:{server.server_port}/openapi.json", "none", 2)
    server.shutdown()
    for path in ["/broken", "/shape"]:
        told = any(text for name, text in found.items() if path in name)
        tally.note(f"a broken promise is found: {path}", [] if told else [f"not found: {found}"])


def attempt(role: str, examples: int) -> tuple[int, dict[str, str]]:
    """One role's requests, to a club of their own: what one changes would be in another's way."""
    with Demo() as demo:
        token = next(one["token"] for one in demo.accounts if one["role"] == role)
        return fuzz(demo.base + "/api/v1/openapi.json", token, examples)


def main() -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("--examples", type=int, default=5)
    parser.add_argument("--roles", default="member,quartermaster", help="or all")
    asked, tally = parser.parse_args(), Tally()
    roles = ROLES if asked.roles == "all" else asked.roles.split(",")
    spoilt(tally)
    with ThreadPoolExecutor(2) as pool:
        results = list(pool.map(lambda role: attempt(role, asked.examples), roles))
    for role, (sent, found) in zip(roles, results, strict=True):
        print(f"       {role}: {sent} requests")
        for operation, faults in sorted(found.items()):
            tally.note(f"{role}: {operation}", faults.splitlines()[:12])
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
