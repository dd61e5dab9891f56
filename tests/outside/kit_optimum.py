"""Compares the service's kits with the optimum of a general-purpose solver.

First holds the solver's program against trying all kits of small problems, and this comparison
against answers that are wrong on purpose. Then asks a demo of the service about random shelves.
Closes with one line: N passed, N failed.
"""

from __future__ import annotations

import copy
import random
import sys
import time

from problem import Problem, Telescope, View
from service import Demo
from shelves import question
from tally import Tally

#: Largest difference between two values that are the same.
NEAR = 1e-9

#: Pieces on the shelf, telescopes among them, shelves.
SIZES = [(20, 3, 60), (60, 6, 30), (200, 4, 6), (200, 20, 4)]


def near(one: float, other: float) -> bool:
    return abs(one - other) <= NEAR * max(1.0, abs(one), abs(other))


def faults(problem: Problem, answer: dict) -> list[str]:
    """Everything in which an answer differs from the optimum, one sentence each."""
    found = []
    kits = answer["kits"]
    if answer["proven_optimal"] is not True:
        found.append("the answer is not proven")
    values = [kit["value"] for kit in kits]
    if values != sorted(values, reverse=True):
        found.append(f"the kits are not in order of value: {values}")
    by_telescope = {str(kit["telescope"]): kit for kit in kits}
    if len(by_telescope) != len(kits):
        found.append("a telescope has two kits")
    rejected = {str(one["telescope"]) for one in answer["rejected"]}
    for telescope in problem.telescopes:
        kit = by_telescope.get(telescope.name)
        best = problem.optimum(telescope)
        if kit is None or best is None:
            if best is not None:
                found.append(f"{telescope.name} has views but no kit")
            elif kit is not None:
                found.append(f"{telescope.name} has a kit but no views")
            elif telescope.name not in rejected:
                found.append(f"{telescope.name} has no views and is not rejected")
            continue
        found += kit_faults(problem, telescope, kit)
        if not best.proven:
            found.append(f"the outside solver did not finish with {telescope.name}")
        if not near(kit["value"], best.value):
            found.append(
                f"{telescope.name}: the service says {kit['value']!r}, the outside solver finds "
                f"{best.value!r} with {sorted(best.eyepieces)} and {best.barlow}"
            )
    return found


def kit_faults(problem: Problem, telescope: Telescope, kit: dict) -> list[str]:
    """Whether a kit is allowed and worth what it says."""
    found = []
    eyepieces = [str(name) for name in kit["eyepieces"]]
    barlow = None if kit["barlow"] is None else str(kit["barlow"])
    if not 1 <= len(set(eyepieces)) == len(eyepieces) <= problem.max_eyepieces:
        found.append(f"{telescope.name}: {len(eyepieces)} eyepieces in the kit")
    if barlow is not None and problem.max_barlows == 0:
        found.append(f"{telescope.name}: a Barlow that was not wanted")
    worth = problem.value(telescope, eyepieces, barlow)
    if not near(kit["value"], worth):
        found.append(f"{telescope.name}: says {kit['value']!r}, is worth {worth!r} by the matrix")
    admissible = {(view.eyepiece, view.barlow) for view in telescope.views}
    for view in kit["views"]:
        name = (str(view["eyepiece"]), None if view["barlow"] is None else str(view["barlow"]))
        if name not in admissible:
            found.append(f"{telescope.name}: shows the view {name}, which is not admissible")
    return found


def small_problem(roll: random.Random) -> Problem:
    """Random numbers in the shape of a matrix."""
    eyepieces = [f"e{at}" for at in range(roll.randint(1, 7))]
    barlows = [f"b{at}" for at in range(roll.randint(0, 2))]
    purposes = roll.randint(1, 5)
    views = [
        View(eyepiece, barlow, tuple(max(0.0, roll.uniform(-0.3, 1.0)) for _ in range(purposes)))
        for eyepiece in eyepieces
        for barlow in [None, *barlows]
        if roll.random() < 0.7
    ]
    costs = {name: roll.uniform(0.0, 0.15) for name in [*eyepieces, *barlows, "t0"]}
    weights = [roll.uniform(0.05, 1.0) for _ in range(purposes)]
    return Problem(weights, costs, [Telescope("t0", views)], roll.randint(1, 4), roll.randint(0, 1))


def check_the_program(tally: Tally) -> None:
    """The program finds what trying all kits finds."""
    roll = random.Random(1)
    found = []
    for number in range(200):
        problem = small_problem(roll)
        telescope = problem.telescopes[0]
        if not problem.max_barlows:
            telescope.views = [view for view in telescope.views if view.barlow is None]
        by_hand, best = problem.by_trying_all(telescope), problem.optimum(telescope)
        if (by_hand is None) != (best is None):
            found.append(f"problem {number}: {by_hand} by hand, {best} by the program")
        elif by_hand is not None and not near(by_hand, best.value):
            found.append(f"problem {number}: {by_hand} by hand, {best.value} by the program")
    tally.note("the program finds what trying all kits of 200 small problems finds", found)


def check_the_comparison(tally: Tally, asked: dict, answer: dict) -> None:
    """Answers that are wrong on purpose are found out."""
    problem = Problem.from_answer(asked, answer)

    def spoilt(change) -> dict:
        bad = copy.deepcopy(answer)
        change(bad)
        return bad

    def drop_an_eyepiece(bad: dict) -> None:
        kit = next(kit for kit in bad["kits"] if len(kit["eyepieces"]) > 1)
        kit["eyepieces"] = kit["eyepieces"][1:]
        telescope = next(t for t in problem.telescopes if t.name == str(kit["telescope"]))
        kit["value"] = problem.value(telescope, kit["eyepieces"], kit["barlow"])

    def raise_a_value(bad: dict) -> None:
        bad["kits"][0]["value"] += 1e-6

    def hide_a_kit(bad: dict) -> None:
        bad["kits"].pop()

    def turn_around(bad: dict) -> None:
        bad["kits"].reverse()

    for name, change, word in [
        ("a worse kit", drop_an_eyepiece, "outside solver finds"),
        ("a value that is not the kit's", raise_a_value, "by the matrix"),
        ("a telescope without its kit", hide_a_kit, "no kit"),
        ("kits out of order", turn_around, "order"),
        ("an answer without proof", lambda bad: bad.update(proven_optimal=False), "proven"),
    ]:
        found = faults(problem, spoilt(change))
        caught = any(word in fault for fault in found)
        tally.note(f"{name} is found out", [] if caught else [f"not noticed: {found}"])


def rich(kits: list[dict]) -> bool:
    """Whether there is something to spoil: kits of different value, one of several eyepieces."""
    several = any(len(kit["eyepieces"]) > 1 for kit in kits)
    return several and len({kit["value"] for kit in kits}) > 1


def main() -> int:
    tally = Tally()
    check_the_program(tally)
    with Demo() as demo:
        first = True
        for items, telescopes, shelves in SIZES:
            for seed in range(shelves):
                asked = question(items, telescopes, seed=1000 * items + seed)
                answer = demo.ask("/api/v1/kits/solve", asked)
                started = time.monotonic()
                problem = Problem.from_answer(asked, answer)
                views = sum(len(one.views) for one in problem.telescopes)
                found = faults(problem, answer)
                name = f"{items} pieces, shelf {seed + 1}: {views} views"
                tally.note(f"{name}, {time.monotonic() - started:.1f} s outside", found)
                if first and not found and rich(answer["kits"]):
                    check_the_comparison(tally, asked, answer)
                    first = False
        if first:
            tally.note("the comparison was tried on wrong answers", ["no shelf gave kits to spoil"])
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
