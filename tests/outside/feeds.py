"""The calendars under secret addresses against an outside parser of RFC 5545.

A member's and the club's feed of a running demo are fetched as a calendar program would, parsed, and
compared with what the API says of the same reservations. Spoilt copies show that the comparison can
fail.
"""

from __future__ import annotations

import datetime
import http.cookiejar
import json
import re
import sys
import urllib.parse
import urllib.request

import icalendar

from service import Demo
from tally import Tally


def browser(demo: Demo, account: dict) -> urllib.request.OpenerDirector:
    """Signs in as a browser would."""
    jar = http.cookiejar.CookieJar()
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(jar))
    opener.addheaders = [("Sec-Fetch-Site", "same-origin")]
    send(opener, demo.base + "/sign-in", email=account["email"], password=account["password"])
    return opener


def send(opener: urllib.request.OpenerDirector, address: str, **fields: str) -> str:
    with opener.open(address, urllib.parse.urlencode(fields).encode(), timeout=60) as answer:
        return answer.read().decode()


def feed(demo: Demo, account: dict, kind: str) -> bytes:
    """Makes an address for a calendar and fetches what stands there, without signing in."""
    page = send(browser(demo, account), demo.base + "/mine/calendar", kind=kind)
    path = re.search(r"/calendar/[0-9a-f]+\.ics", page)
    if path is None:
        raise SystemExit("the page shows no address:\n" + page)
    with urllib.request.urlopen(demo.base + path.group(0), timeout=60) as answer:
        assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
        return answer.read()


def reservations(demo: Demo, account: dict) -> list[dict]:
    """What the API tells this account of reservations that stand in a calendar."""
    found, below = [], ""
    while True:
        request = urllib.request.Request(
            demo.base + "/api/v1/reservations" + below,
            headers={"Authorization": f"Bearer {account['token']}"},
        )
        with urllib.request.urlopen(request, timeout=60) as answer:
            page = json.load(answer)
        found += page["reservations"]
        if not page["next"]:
            break
        below = f"?before={page['next']}"
    return [one for one in found if one["state"] not in ("declined", "cancelled", "no_show")]


def faults(written: bytes, expected: list[dict], page: str) -> list[str]:
    """Everything that is wrong with a feed; each event must be one of the reservations."""
    found = [f"line {n} has {len(line)} octets" for n, line in enumerate(written.split(b"\r\n")) if len(line) > 75]
    if written.count(b"\n") != written.count(b"\r\n"):
        found.append("a line does not end with CR LF")
    calendar = icalendar.Calendar.from_ical(written)
    found += [f"error: {error}" for error in getattr(calendar, "errors", [])]
    for name in ("VERSION", "PRODID"):
        if not calendar.get(name):
            found.append(f"no {name}")
    events = calendar.walk("VEVENT")
    names = [str(event["UID"]) for event in events]
    if len(names) != len(set(names)):
        found.append("two events have one UID")
    seen = {}
    for event in events:
        found += [f"event {event['UID']}: {error}" for error in event.errors]
        first, end = event.decoded("DTSTART"), event.decoded("DTEND")
        if isinstance(first, datetime.datetime) or isinstance(end, datetime.datetime):
            found.append(f"{event['UID']} has times")
        if not event.get("DTSTAMP"):
            found.append(f"{event['UID']} has no DTSTAMP")
        link = str(event.get("URL", ""))
        if page in link and not str(event["SUMMARY"]).startswith("Bring back"):
            seen[int(link.rsplit("/", 1)[1])] = (first, end)
    for one in expected:
        last = datetime.date.fromisoformat(one["last_night"])
        nights = (datetime.date.fromisoformat(one["first_night"]), last + datetime.timedelta(1))
        if seen.pop(one["id"], None) != nights:
            found.append(f"reservation {one['id']} is not there from {nights[0]} to before {nights[1]}")
    found += [f"reservation {number} is not the reader's" for number in seen]
    return found


def spoilt(written: bytes) -> dict[str, bytes]:
    """Copies with one fault each."""
    end = re.search(rb"DTEND;VALUE=DATE:(\d{8})", written)
    assert end is not None
    earlier = datetime.datetime.strptime(end.group(1).decode(), "%Y%m%d") - datetime.timedelta(1)
    first = re.search(rb"BEGIN:VEVENT.*?END:VEVENT\r\n", written, re.DOTALL)
    assert first is not None
    return {
        "an end that is included": written.replace(
            end.group(0), b"DTEND;VALUE=DATE:" + earlier.strftime("%Y%m%d").encode(), 1
        ),
        "an event that is missing": written.replace(first.group(0), b"", 1),
        "an event that is there twice": written.replace(first.group(0), first.group(0) * 2, 1),
        "lines that end with LF": written.replace(b"\r\n", b"\n"),
        "a line that is too long": written.replace(b"SUMMARY:", b"SUMMARY:" + b"x" * 80, 1),
    }


def main() -> int:
    tally = Tally()
    with Demo() as demo:
        desk = next(one for one in demo.accounts if one["role"] == "quartermaster")
        every = reservations(demo, desk)
        members = [one for one in demo.accounts if one["role"] == "member"]
        # Somebody who has something, so that there is something to compare.
        member = max(members, key=lambda one: sum(r["member"] == one["member"] for r in every))
        own = [one for one in every if one["member"] == member["member"]]
        cases = {
            "a member's": (feed(demo, member, "mine"), own, "/mine/"),
            "the club's": (feed(demo, desk, "club"), every, "/desk/"),
        }
        for name, (written, expected, page) in cases.items():
            wrong = faults(written, expected, page) if expected else ["nothing to compare"]
            tally.note(f"{name} calendar holds {len(expected)} reservations and nothing else", wrong)
        written, expected, page = cases["the club's"]
        for name, copy in spoilt(written).items():
            try:
                noticed = faults(copy, expected, page)
            except ValueError:
                noticed = ["it can't be parsed"]
            tally.note(f"{name} is found out", [] if noticed else ["not noticed"])
        told = [one["name"] for one in demo.accounts if one["name"].encode() in written]
        tally.note("the club's calendar names nobody", told)
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
