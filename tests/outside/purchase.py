"""Compares the service's purchases with the optimum of a general-purpose solver.

One mixed-integer program for the whole purchase, built from the matrices that the service exports
for each observer: which offers to buy, and for each observer and telescope which kit to take. Both
answers are then valued from the matrices alone. First holds the program against trying all
purchases of small problems, and the comparison against answers that are wrong on purpose.
Closes with one line: N passed, N failed.
"""

from __future__ import annotations

import copy
import random
import sys
import time
from dataclasses import dataclass
from itertools import combinations

import program
from problem import Problem, Telescope, View
from service import Demo
from shelves import question
from tally import Tally

#: Largest difference between two values that are the same, for each observer and telescope.
NEAR = 1e-9

#: Pieces, telescopes among them, observers, purchases.
SIZES = [(14, 2, 1, 20), (30, 3, 2, 8), (50, 4, 3, 2)]


@dataclass
class Purchase:
    """Everything about one purchase: a matrix for each observer, prices and the budget."""

    problems: list[Problem]
    prices: dict[str, int]
    budget: int

    def there(self, bought: frozenset[str]) -> "Purchase":
        """The same with these offers bought and the others gone."""
        gone = set(self.prices) - bought
        problems = []
        for problem in self.problems:
            telescopes = [
                Telescope(
                    one.name,
                    [view for view in one.views if not {view.eyepiece, view.barlow} & gone],
                )
                for one in problem.telescopes
            ]
            problems.append(
                Problem(problem.weights, problem.costs, telescopes, problem.max_eyepieces, 1)
            )
        return Purchase(problems, {}, 0)

    def value(self, bought: frozenset[str]) -> float:
        """The sum of the best kits with these offers bought, each by a program of its own."""
        total = 0.0
        for problem in self.there(bought).problems:
            for telescope in problem.telescopes:
                best = problem.optimum(telescope)
                total += max(0.0, best.value) if best is not None else 0.0
        return total

    def by_trying_all(self) -> float:
        """The best value over all purchases under the budget: for small problems only."""
        offers = sorted(self.prices)
        return max(
            self.value(frozenset(bought))
            for count in range(len(offers) + 1)
            for bought in combinations(offers, count)
            if sum(self.prices[name] for name in bought) <= self.budget
        )

    def optimum(self) -> tuple[frozenset[str], bool]:
        """What the outside solver would buy, and whether it proved it."""
        return _Program(self).purchase()


class _Program(program.Program):
    """The whole purchase in the form that the solver takes."""

    def __init__(self, purchase: Purchase) -> None:
        super().__init__()
        self.offers = sorted(purchase.prices)
        self.bought = {name: self.column(0.0) for name in self.offers}
        self.at_most(
            float(purchase.budget),
            [(column, float(purchase.prices[name])) for name, column in self.bought.items()],
        )
        for problem in purchase.problems:
            for telescope in problem.telescopes:
                self._kit(problem, telescope)

    def _kit(self, problem: Problem, telescope: Telescope) -> None:
        taken = self.column(-problem.costs[telescope.name])
        pieces: dict[str, int] = {}
        for view in telescope.views:
            for name in (view.eyepiece, view.barlow):
                if name is not None and name not in pieces:
                    pieces[name] = self.column(-problem.costs[name])
                    self.at_most(0.0, [(pieces[name], 1.0), (taken, -1.0)])
                    if name in self.bought:
                        self.at_most(0.0, [(pieces[name], 1.0), (self.bought[name], -1.0)])
        eyepieces = {view.eyepiece for view in telescope.views}
        barlows = {view.barlow for view in telescope.views if view.barlow is not None}
        self.at_most(float(problem.max_eyepieces), [(pieces[name], 1.0) for name in eyepieces])
        self.at_most(1.0, [(pieces[name], 1.0) for name in barlows])
        for purpose, weight in enumerate(problem.weights):
            served = []
            by_piece: dict[str, list[int]] = {}
            for view in telescope.views:
                use = self.column(weight * view.worth[purpose], whole=False)
                served.append((use, 1.0))
                for name in (view.eyepiece, view.barlow):
                    if name is not None:
                        by_piece.setdefault(name, []).append(use)
            self.at_most(0.0, [*served, (taken, -1.0)])
            for name, uses in by_piece.items():
                entries = [(use, 1.0) for use in uses]
                self.at_most(0.0, [*entries, (pieces[name], -1.0)])

    def purchase(self) -> tuple[frozenset[str], bool]:
        """What to buy, and whether that is proven."""
        solved = self.solve()
        bought = frozenset(
            name for name, column in self.bought.items() if solved.columns[column] > 0.5
        )
        return bought, solved.proven


def faults(purchase: Purchase, answer: dict) -> list[str]:
    """Everything in which an answer differs from the optimum, one sentence each."""
    found = []
    near = NEAR * max(1, sum(len(problem.telescopes) for problem in purchase.problems))
    if answer["proven_optimal"] is not True:
        found.append("the answer is not proven")
    bought = frozenset(str(name) for name in answer["buy"])
    if not bought <= set(purchase.prices) or len(bought) != len(answer["buy"]):
        found.append(f"{sorted(bought)} are not all offered")
        return found
    spent = sum(purchase.prices[name] for name in bought)
    if spent != answer["spent"] or spent > purchase.budget:
        found.append(f"spends {spent}, says {answer['spent']}, has {purchase.budget}")
    worth = purchase.value(bought)
    if abs(worth - answer["value"]) > near:
        found.append(f"says {answer['value']!r}, is worth {worth!r} by the matrix")
    before = purchase.value(frozenset())
    if abs(before - answer["value_before"]) > near:
        found.append(f"says {answer['value_before']!r} before, was {before!r} by the matrix")
    best, proven = purchase.optimum()
    outside = purchase.value(best)
    if not proven:
        found.append("the outside solver did not finish")
    if abs(outside - answer["value"]) > near:
        found.append(
            f"the service says {answer['value']!r}, the outside solver finds {outside!r} "
            f"with {sorted(best)}"
        )
    return found


def ask(
    demo: Demo, seed: int, pieces: int, telescopes: int, observers: int
) -> tuple[Purchase, dict]:
    """A random purchase: the request, and the matrices of the same pieces."""
    roll = random.Random(seed)
    asked = question(pieces, telescopes, seed)
    # Alike pieces change each other's cost when one is bought; a matrix holds for one shelf only.
    seen: list[dict] = []
    for kind in ("eyepieces", "barlows"):
        kept = []
        for piece in asked[kind]:
            facts = {key: value for key, value in piece.items() if key != "id"}
            if facts not in seen:
                seen.append(facts)
                kept.append(piece)
        asked[kind] = kept
    all_observers = [question(12, 2, seed + 7919 * at)["observer"] for at in range(observers)]
    problems = []
    for observer in all_observers:
        body = asked | {"observer": observer, "explain": "matrix", "max_barlows": 1, "limit": 99}
        problems.append(Problem.from_answer(body, demo.ask("/api/v1/kits/solve", body)))
    names = [piece["id"] for kind in ("eyepieces", "barlows") for piece in asked[kind]]
    offered = roll.sample(names, min(len(names), roll.randint(4, 10)))
    prices = {str(name): roll.choice([20, 35, 50, 80, 120]) for name in offered}
    budget = roll.choice([60, 120, 200])
    body = {
        "observers": all_observers,
        "telescopes": asked["telescopes"],
        "eyepieces": asked["eyepieces"],
        "barlows": asked["barlows"],
        "offers": [{"id": name, "price": prices[str(name)]} for name in offered],
        "budget": budget,
        "max_eyepieces": asked["max_eyepieces"],
    }
    return Purchase(problems, prices, budget), demo.ask("/api/v1/purchases/solve", body)


def check_the_program(tally: Tally) -> None:
    """The program buys what trying all purchases of small problems finds."""
    roll = random.Random(3)
    found = []
    for number in range(60):
        eyepieces = [f"e{at}" for at in range(roll.randint(2, 6))]
        barlows = [f"b{at}" for at in range(roll.randint(0, 2))]
        weights = [roll.uniform(0.05, 1.0) for _ in range(4)]
        costs = {name: roll.uniform(0.0, 0.1) for name in [*eyepieces, *barlows, "t0", "t1"]}
        problems = []
        for _ in range(roll.randint(1, 2)):
            telescopes = [
                Telescope(
                    name,
                    [
                        View(eyepiece, barlow, tuple(roll.uniform(0.0, 1.0) for _ in weights))
                        for eyepiece in eyepieces
                        for barlow in [None, *barlows]
                        if roll.random() < 0.7
                    ],
                )
                for name in ("t0", "t1")
            ]
            problems.append(Problem(weights, costs, telescopes, roll.randint(1, 3), 1))
        offered = [name for name in [*eyepieces, *barlows] if roll.random() < 0.6]
        prices = {name: roll.choice([10, 20, 30]) for name in offered}
        purchase = Purchase(problems, prices, roll.choice([20, 40, 60]))
        best, _ = purchase.optimum()
        by_hand, by_program = purchase.by_trying_all(), purchase.value(best)
        if abs(by_hand - by_program) > 1e-8:
            found.append(f"problem {number}: {by_hand} by hand, {by_program} by the program")
    tally.note("the program buys what trying all of 60 small purchases finds", found)


def check_the_comparison(tally: Tally, purchase: Purchase, answer: dict) -> None:
    """Answers that are wrong on purpose are found out."""

    def spoilt(change) -> dict:
        bad = copy.deepcopy(answer)
        change(bad)
        return bad

    def buy_nothing(bad: dict) -> None:
        bad.update(buy=[], spent=0, value=bad["value_before"])

    for name, change, word in [
        ("a worse purchase", buy_nothing, "outside solver finds"),
        (
            "a value that is not the purchase's",
            lambda bad: bad.update(value=bad["value"] + 1e-6),
            "by the matrix",
        ),
        ("a wrong sum", lambda bad: bad.update(spent=bad["spent"] + 1), "spends"),
        ("an answer without proof", lambda bad: bad.update(proven_optimal=False), "proven"),
    ]:
        found = faults(purchase, spoilt(change))
        missed = [] if any(word in fault for fault in found) else [f"not found out: {found}"]
        tally.note(f"the comparison finds out {name}", missed)


def main() -> int:
    tally = Tally()
    check_the_program(tally)
    with Demo() as demo:
        told = False
        for pieces, telescopes, observers, rounds in SIZES:
            found, gained, started = [], 0, time.monotonic()
            for number in range(rounds):
                seed = 1000 * pieces + number
                purchase, answer = ask(demo, seed, pieces, telescopes, observers)
                found += [f"purchase {number}: {fault}" for fault in faults(purchase, answer)]
                gained += answer["value"] > answer["value_before"]
                if not told and answer["value"] > answer["value_before"] + 1e-3:
                    check_the_comparison(tally, purchase, answer)
                    told = True
            name = f"{rounds} purchases, {observers} observers, {pieces} pieces: {gained} gain"
            tally.note(f"{name}, {time.monotonic() - started:.1f} s", found)
        if not told:
            tally.note("the comparison was tried on wrong answers", ["no purchase gains"])
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
