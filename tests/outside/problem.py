"""The choice of a kit as a mixed-integer program, built from the matrix that the service exports.

One program per telescope (a facility-location problem):

* ``take[i]`` in {0, 1}: the eyepiece or Barlow *i* is in the kit,
* ``use[p, v]`` in [0, 1]: the purpose *p* is served by the view *v*,
* the most of: sum of weight[p] * worth[p, v] * use[p, v] - sum of cost[i] * take[i],
* a purpose is served at most once, and only by views whose eyepiece and Barlow are in the kit,
* at least one and at most ``max_eyepieces`` eyepieces, at most ``max_barlows`` Barlows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations
from typing import Iterable

import program


@dataclass(frozen=True)
class View:
    eyepiece: str
    barlow: str | None
    worth: tuple[float, ...]


@dataclass
class Telescope:
    name: str
    views: list[View] = field(default_factory=list)


@dataclass
class Problem:
    weights: list[float]
    costs: dict[str, float]
    telescopes: list[Telescope]
    max_eyepieces: int
    max_barlows: int

    @classmethod
    def from_answer(cls, asked: dict, answer: dict) -> Problem:
        """Reads the ``matrix`` of an answer to ``POST /api/v1/kits/solve``."""
        matrix = answer["matrix"]
        telescopes = [
            Telescope(
                str(one["id"]),
                [
                    View(
                        str(view["eyepiece"]),
                        None if view["barlow"] is None else str(view["barlow"]),
                        tuple(view["worth"]),
                    )
                    for view in one["views"]
                ],
            )
            for one in matrix["telescopes"]
        ]
        return cls(
            [purpose["weight"] for purpose in matrix["purposes"]],
            {str(name): cost for name, cost in matrix["costs"].items()},
            telescopes,
            asked["max_eyepieces"],
            asked["max_barlows"],
        )

    @classmethod
    def from_bench(cls, written: dict) -> Problem:
        """Reads a problem written by ``cargo bench --bench solve -- --export FILE``."""
        costs = {f"e{at}": cost for at, cost in enumerate(written["eyepiece_costs"])}
        costs |= {f"b{at}": cost for at, cost in enumerate(written["barlow_costs"])}
        telescopes = []
        for at, one in enumerate(written["telescopes"]):
            costs[f"t{at}"] = one["cost"]
            views = [
                View(f"e{eyepiece}", None if barlow is None else f"b{barlow}", tuple(worth))
                for eyepiece, barlow, worth in one["views"]
            ]
            telescopes.append(Telescope(f"t{at}", views))
        return cls(written["weights"], costs, telescopes, written["max_eyepieces"], 1)

    def value(self, telescope: Telescope, eyepieces: Iterable[str], barlow: str | None) -> float:
        """The value of a kit, from the matrix alone."""
        taken = set(eyepieces)
        views = [
            view
            for view in telescope.views
            if view.eyepiece in taken and view.barlow in (None, barlow)
        ]
        pieces = [telescope.name, *taken] + ([] if barlow is None else [barlow])
        served = (
            weight * max((view.worth[at] for view in views), default=0.0)
            for at, weight in enumerate(self.weights)
        )
        return sum(served) - sum(self.costs[piece] for piece in pieces)

    def by_trying_all(self, telescope: Telescope) -> float | None:
        """The best value by looking at every kit: for small problems only."""
        eyepieces = sorted({view.eyepiece for view in telescope.views})
        barlows = sorted({view.barlow for view in telescope.views if view.barlow is not None})
        ways = [None, *barlows] if self.max_barlows else [None]
        values = [
            self.value(telescope, chosen, barlow)
            for count in range(1, self.max_eyepieces + 1)
            for chosen in combinations(eyepieces, count)
            for barlow in ways
        ]
        return max(values, default=None)

    def optimum(self, telescope: Telescope, seconds: float = 600.0) -> Optimum | None:
        """The best kit by the outside solver; nothing where no view is admissible."""
        if not telescope.views:
            return None
        return _Program(self, telescope).kit(seconds)


@dataclass(frozen=True)
class Optimum:
    """What the outside solver found and how much more it could not rule out."""

    value: float
    bound: float
    eyepieces: frozenset[str]
    barlow: str | None
    seconds: float
    proven: bool


class _Program(program.Program):
    """One telescope's kits in the form that the solver takes."""

    def __init__(self, problem: Problem, telescope: Telescope) -> None:
        super().__init__()
        self.problem, self.telescope = problem, telescope
        views = telescope.views
        self.eyepieces = sorted({view.eyepiece for view in views})
        self.barlows = sorted({view.barlow for view in views if view.barlow is not None})
        if not problem.max_barlows:
            self.barlows = []
            views = [view for view in views if view.barlow is None]
        names = self.eyepieces + self.barlows
        taken = {name: self.column(-problem.costs[name]) for name in names}
        eyepieces = [(taken[name], 1.0) for name in self.eyepieces]
        self.row(1.0, float(problem.max_eyepieces), eyepieces)
        barlows = [(taken[name], 1.0) for name in self.barlows]
        self.at_most(float(problem.max_barlows), barlows)
        for purpose, weight in enumerate(problem.weights):
            self._serve(purpose, weight, views, taken)

    def _serve(self, purpose: int, weight: float, views: list[View], taken: dict) -> None:
        served: list[tuple[int, float]] = []
        by_piece: dict[str, list[tuple[int, float]]] = {}
        for view in views:
            if view.worth[purpose] <= 0.0:
                continue
            column = self.column(weight * view.worth[purpose], whole=False)
            served.append((column, 1.0))
            for piece in (view.eyepiece, view.barlow):
                if piece is not None:
                    by_piece.setdefault(piece, []).append((column, 1.0))
        self.at_most(1.0, served)
        for piece, columns in by_piece.items():
            self.at_most(0.0, [*columns, (taken[piece], -1.0)])

    def kit(self, seconds: float) -> Optimum:
        """The best kit of this telescope."""
        solved = self.solve(seconds)
        pieces = self.eyepieces + self.barlows
        taken = [name for name, amount in zip(pieces, solved.columns) if amount > 0.5]
        eyepieces = frozenset(name for name in taken if name in set(self.eyepieces))
        barlow = next((name for name in taken if name in set(self.barlows)), None)
        cost = self.problem.costs[self.telescope.name]
        return Optimum(
            # From the matrix, so that the solver's tolerances do not blur the comparison.
            self.problem.value(self.telescope, eyepieces, barlow),
            solved.bound - cost,
            eyepieces,
            barlow,
            solved.seconds,
            solved.proven,
        )
