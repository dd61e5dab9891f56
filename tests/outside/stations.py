"""Compares the joint choice of a public night's stations with a general-purpose solver's optimum.

First holds the solver's program against trying all plans of tiny problems, and this comparison
against answers that are wrong on purpose. Then asks a demo of the service about random evenings.
Closes with one line: N passed, N failed.
"""

from __future__ import annotations

import copy
import random
import sys
import time
from itertools import product

import program
from service import Demo
from tally import Tally

#: A worth of one.
UNITS = 1 << 14

#: Stations, slots, targets, eyepieces, helpers, telescopes, evenings.
SIZES = [(2, 2, 3, 5, 3, 4, 12), (3, 3, 4, 6, 4, 5, 12), (4, 4, 5, 7, 5, 6, 4)]


def evening(roll: random.Random, sizes: tuple[int, ...], style: int) -> dict:
    """A random problem in the form that the service takes."""
    stations, slots, targets, eyepieces, helpers, telescopes = sizes
    ranks = [roll.uniform(0.3, 1.0) for _ in range(targets)]
    ideals = [roll.uniform(0.0, 3.0) for _ in range(targets)]
    rises = [roll.uniform(-2.0, slots + 2.0) for _ in range(targets)]
    powers = [roll.uniform(0.0, 2.0) for _ in range(eyepieces)]

    def worth(power: float, slot: int, target: int) -> int:
        if style == 0:
            return roll.randint(0, UNITS)
        # Bumps: every telescope likes the same few targets, so stations crowd.
        near = max(0.0, 1.0 - (power - ideals[target]) ** 2) ** 2
        height = max(0.0, 1.0 - ((slot - rises[target]) / (slots + 1)) ** 2)
        return round(UNITS * near * height * ranks[target])

    def telescope() -> dict:
        own = roll.uniform(0.0, 1.0)
        fitting = [at for at in range(eyepieces) if roll.random() < 0.8]
        return {
            "views": [
                {
                    "eyepiece": at,
                    "worths": [
                        [worth(own + powers[at], slot, target) for target in range(targets)]
                        for slot in range(slots)
                    ],
                }
                for at in fitting
            ],
            "seated": [[roll.random() < 0.4 for _ in range(targets)] for _ in range(slots)],
        }

    return {
        "stations": stations,
        "slots": slots,
        "targets": targets,
        "eyepieces": eyepieces,
        "helpers": [
            {"may_run": [roll.random() < 0.7 for _ in range(telescopes)]} for _ in range(helpers)
        ],
        "telescopes": [telescope() for _ in range(telescopes)],
        "change_cost": roll.randint(0, UNITS // 4),
        "crowding_cost": roll.randint(0, UNITS // 3),
        "one_seated": roll.random() < 0.5,
    }


def value(problem: dict, stations: list[dict]) -> int:
    """What a plan is worth, from the problem alone."""
    worth, shown = 0, {}
    for station in stations:
        views = problem["telescopes"][station["telescope"]]["views"]
        view = next(one for one in views if one["eyepiece"] == station["eyepiece"])
        before = None
        for slot, target in enumerate(station["targets"]):
            if target is not None:
                worth += view["worths"][slot][target]
                worth -= problem["crowding_cost"] * shown.get((slot, target), 0)
                shown[slot, target] = shown.get((slot, target), 0) + 1
                if before is not None and before != target:
                    worth -= problem["change_cost"]
            before = target
    return worth


def seats(problem: dict) -> tuple[int, list[tuple[int, int]]]:
    """For how many slots somebody who sits can look at most, and where: telescope and view."""
    usable = {}
    for at, telescope in enumerate(problem["telescopes"]):
        if not any(helper["may_run"][at] for helper in problem["helpers"]):
            continue
        for number, view in enumerate(telescope["views"]):
            usable[at, number] = sum(
                any(
                    sits and worth > 0
                    for sits, worth in zip(telescope["seated"][slot], view["worths"][slot])
                )
                for slot in range(problem["slots"])
            )
    most = max(usable.values(), default=0)
    return most, [pair for pair, count in usable.items() if count == most]


class Program(program.Program):
    """An evening in the form that the solver takes."""

    def __init__(self, problem: dict) -> None:
        super().__init__()
        self.problem = problem
        self._stand()
        self._show()
        if problem["one_seated"]:
            self._seat()

    def _stand(self) -> None:
        problem = self.problem
        self.pairs = {
            (at, number): self.column(0.0)
            for at, telescope in enumerate(problem["telescopes"])
            for number in range(len(telescope["views"]))
        }
        self.runs = {
            (helper, at): self.column(0.0)
            for helper, who in enumerate(problem["helpers"])
            for at, may in enumerate(who["may_run"])
            if may
        }
        pairs, runs = self.pairs.items(), self.runs.items()
        self.at_most(problem["stations"], [(column, 1.0) for _, column in pairs])
        for at, telescope in enumerate(problem["telescopes"]):
            own = [(column, 1.0) for (owner, _), column in pairs if owner == at]
            self.at_most(1.0, own)
            run = [(column, -1.0) for (_, owner), column in runs if owner == at]
            self.row(0.0, 0.0, own + run)
        for eyepiece in range(problem["eyepieces"]):
            self.at_most(
                1.0,
                [
                    (column, 1.0)
                    for (at, number), column in pairs
                    if problem["telescopes"][at]["views"][number]["eyepiece"] == eyepiece
                ],
            )
        for helper in range(len(problem["helpers"])):
            self.at_most(1.0, [(column, 1.0) for (who, _), column in runs if who == helper])

    def _show(self) -> None:
        problem = self.problem
        slots, targets = range(problem["slots"]), range(problem["targets"])
        self.shown = {}
        for (at, number), pair in self.pairs.items():
            worths = problem["telescopes"][at]["views"][number]["worths"]
            for slot in slots:
                row = [(pair, -1.0)]
                for target in targets:
                    if worths[slot][target] > 0:
                        column = self.column(worths[slot][target])
                        self.shown[at, number, slot, target] = column
                        row.append((column, 1.0))
                self.at_most(0.0, row)
        for at in range(len(problem["telescopes"])):
            for slot in slots[1:]:
                change = self.column(-problem["change_cost"], whole=False)
                for target in targets:
                    now = self._of(at, slot, [target])
                    before = self._of(at, slot - 1, [one for one in targets if one != target])
                    if now and before:
                        self.at_most(1.0, [*now, *before, (change, -1.0)])
        for slot in slots:
            for target in targets:
                crowd = [
                    entry
                    for at in range(len(problem["telescopes"]))
                    for entry in self._of(at, slot, [target])
                ]
                places = [
                    (self.column(-problem["crowding_cost"] * place, whole=False), -1.0)
                    for place in range(problem["stations"])
                ]
                self.row(0.0, 0.0, crowd + places)

    def _of(self, telescope: int, slot: int, targets: list[int]) -> list[tuple[int, float]]:
        return [
            (column, 1.0)
            for (at, _, when, what), column in self.shown.items()
            if at == telescope and when == slot and what in targets
        ]

    def _seat(self) -> None:
        problem = self.problem
        most, pairs = seats(problem)
        if most == 0 or problem["stations"] == 0:
            return
        chosen = []
        for at, number in pairs:
            seat = self.column(0.0)
            chosen.append((seat, 1.0))
            self.at_most(0.0, [(seat, 1.0), (self.pairs[at, number], -1.0)])
            seated = problem["telescopes"][at]["seated"]
            for slot in range(problem["slots"]):
                sits = []
                for target in range(problem["targets"]):
                    column = self.shown.get((at, number, slot, target))
                    if column is None:
                        continue
                    if seated[slot][target]:
                        sits.append((column, -1.0))
                    else:
                        self.at_most(1.0, [(column, 1.0), (seat, 1.0)])
                if sits:
                    self.at_most(0.0, [(seat, 1.0), *sits])
        self.row(1.0, 1.0, chosen)

    def plan(self) -> tuple[list[dict], bool]:
        """The best plan and whether the solver finished."""
        # Values are whole numbers.
        solved = self.solve(seconds=300.0, gap=0.5)
        columns = solved.columns
        stations = []
        for (at, number), pair in self.pairs.items():
            if columns[pair] < 0.5:
                continue
            targets: list[int | None] = [None] * self.problem["slots"]
            for (owner, view, slot, target), column in self.shown.items():
                if (owner, view) == (at, number) and columns[column] > 0.5:
                    targets[slot] = target
            view = self.problem["telescopes"][at]["views"][number]
            stations.append({"telescope": at, "eyepiece": view["eyepiece"], "targets": targets})
        return stations, solved.proven


def faults(problem: dict, answer: dict) -> list[str]:
    """Everything in which an answer differs from the optimum, one sentence each."""
    found = []
    stations = answer["stations"]
    for what in ("telescope", "eyepiece", "helper"):
        used = [station[what] for station in stations]
        if len(set(used)) != len(used):
            found.append(f"a {what} stands twice: {used}")
    if len(stations) > problem["stations"]:
        found.append(f"{len(stations)} stations")
    for station in stations:
        if not problem["helpers"][station["helper"]]["may_run"][station["telescope"]]:
            found.append(f"helper {station['helper']} may not run {station['telescope']}")
    if answer["proven_optimal"] is not True:
        found.append("the answer is not proven")
    if answer["value"] != value(problem, stations):
        found.append(f"says {answer['value']}, is worth {value(problem, stations)}")
    most, _ = seats(problem)
    if problem["one_seated"] and most and problem["stations"]:
        found += seat_faults(problem, answer, most)
    best, finished = Program(problem).plan()
    if not finished:
        found.append("the outside solver did not finish")
    if value(problem, best) != answer["value"]:
        found.append(f"says {answer['value']}, the outside solver finds {value(problem, best)}")
    return found


def seat_faults(problem: dict, answer: dict, most: int) -> list[str]:
    if answer["seated"] is None:
        return ["no station for somebody who sits"]
    station = answer["stations"][answer["seated"]]
    seated = problem["telescopes"][station["telescope"]]["seated"]
    shown = [(slot, one) for slot, one in enumerate(station["targets"]) if one is not None]
    if len(shown) != most or not all(seated[slot][target] for slot, target in shown):
        return [f"the station for somebody who sits shows {shown}"]
    return []


def by_trying_all(problem: dict) -> int:
    """The best value by looking at every plan: for tiny problems without a seat only."""
    best = 0

    def rows(view: dict) -> list[tuple]:
        choices = [
            [None, *(at for at, worth in enumerate(worths) if worth > 0)]
            for worths in view["worths"]
        ]
        return list(product(*choices))

    def place(at: int, stations: list[dict], helpers: set[int]) -> None:
        nonlocal best
        best = max(best, value(problem, stations))
        if at == len(problem["telescopes"]) or len(stations) == problem["stations"]:
            return
        place(at + 1, stations, helpers)
        for view in problem["telescopes"][at]["views"]:
            if any(one["eyepiece"] == view["eyepiece"] for one in stations):
                continue
            for helper, who in enumerate(problem["helpers"]):
                if helper in helpers or not who["may_run"][at]:
                    continue
                for targets in rows(view):
                    station = {
                        "telescope": at,
                        "eyepiece": view["eyepiece"],
                        "targets": list(targets),
                    }
                    place(at + 1, [*stations, station], helpers | {helper})

    place(0, [], set())
    return best


def check_the_program(tally: Tally) -> None:
    """The program finds what trying all plans finds."""
    roll = random.Random(2)
    found = []
    for number in range(40):
        problem = evening(roll, (2, 2, 2, 3, 2, 3), number % 2)
        problem["one_seated"] = False
        by_hand = by_trying_all(problem)
        stations, _ = Program(problem).plan()
        if value(problem, stations) != by_hand:
            found.append(f"{number}: {by_hand} by hand, {value(problem, stations)} by the program")
    tally.note("the program finds what trying all plans of 40 tiny evenings finds", found)


def check_the_comparison(tally: Tally, problem: dict, answer: dict) -> None:
    """Answers that are wrong on purpose are found out."""

    def spoilt(change) -> dict:
        bad = copy.deepcopy(answer)
        change(bad)
        return bad

    def send_one_home(bad: dict) -> None:
        bad["stations"].pop()
        bad["value"] = value(problem, bad["stations"])
        bad["seated"] = None

    def share_a_helper(bad: dict) -> None:
        bad["stations"][0]["helper"] = bad["stations"][1]["helper"]

    for name, change, word in [
        ("a worse plan", send_one_home, "outside solver finds"),
        ("a value that is not the plan's", lambda bad: bad.update(value=bad["value"] + 1), "is worth"),
        ("a helper at two stations", share_a_helper, "stands twice"),
        ("an answer without proof", lambda bad: bad.update(proven_optimal=False), "proven"),
    ]:
        found = faults(problem, spoilt(change))
        caught = any(word in fault for fault in found)
        tally.note(f"{name} is found out", [] if caught else [f"not noticed: {found}"])


def main() -> int:
    tally = Tally()
    check_the_program(tally)
    spoilt = False
    with Demo() as demo:
        for *sizes, evenings in SIZES:
            for seed in range(evenings):
                problem = evening(random.Random(100 * sizes[0] + seed), tuple(sizes), seed % 3)
                answer = demo.ask("/api/v1/stations/solve", problem)
                started = time.monotonic()
                found = faults(problem, answer)
                name = f"{sizes[0]} stations, {sizes[1]} half hours, evening {seed + 1}"
                tally.note(f"{name}, {time.monotonic() - started:.1f} s outside", found)
                if not spoilt and not found and len(answer["stations"]) > 1:
                    check_the_comparison(tally, problem, answer)
                    spoilt = True
    if not spoilt:
        tally.note("the comparison was tried on wrong answers", ["no evening to spoil"])
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
