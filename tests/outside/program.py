"""A mixed-integer program: columns, rows, and the outside solver that finds its optimum."""

from __future__ import annotations

from dataclasses import dataclass

import highspy
import numpy as np


@dataclass(frozen=True)
class Solved:
    """What the solver found."""

    columns: list[float]
    #: No choice is better than this.
    bound: float
    #: The solver's own clock: building the model in Python is not its work.
    seconds: float
    proven: bool


class Program:
    """To be filled with columns from 0 to 1 and rows, then solved for the largest gain."""

    def __init__(self) -> None:
        self._gains: list[float] = []
        self._whole: list[bool] = []
        self._rows: list[tuple[float, float, list[tuple[int, float]]]] = []

    def column(self, gain: float, whole: bool = True) -> int:
        """Adds a column and gives its number."""
        self._gains.append(gain)
        self._whole.append(whole)
        return len(self._gains) - 1

    def row(self, low: float, high: float, entries: list[tuple[int, float]]) -> None:
        """Holds a sum of columns times amounts between two numbers."""
        if entries:
            self._rows.append((low, high, entries))

    def at_most(self, high: float, entries: list[tuple[int, float]]) -> None:
        """Holds a sum of columns times amounts under a number."""
        self.row(-highspy.kHighsInf, high, entries)

    def solve(self, seconds: float = 600.0, gap: float = 1e-10) -> Solved:
        """The best columns; unproven where the time was over first."""
        solver = highspy.Highs()
        solver.silent()
        for option, value in [
            ("threads", 1),
            ("time_limit", seconds),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", gap),
            ("mip_feasibility_tolerance", 1e-9),
            ("primal_feasibility_tolerance", 1e-9),
            ("dual_feasibility_tolerance", 1e-9),
        ]:
            solver.setOptionValue(option, value)
        solver.passModel(self._model())
        solver.run()
        return Solved(
            list(solver.getSolution().col_value),
            solver.getInfo().mip_dual_bound,
            solver.getRunTime(),
            solver.getModelStatus() == highspy.HighsModelStatus.kOptimal,
        )

    def _model(self) -> highspy.HighsLp:
        model = highspy.HighsLp()
        columns = len(self._gains)
        model.num_col_, model.num_row_ = columns, len(self._rows)
        model.sense_ = highspy.ObjSense.kMaximize
        model.col_cost_ = np.array(self._gains)
        model.col_lower_, model.col_upper_ = np.zeros(columns), np.ones(columns)
        model.row_lower_ = np.array([low for low, _, _ in self._rows])
        model.row_upper_ = np.array([high for _, high, _ in self._rows])
        entries = [entry for _, _, row in self._rows for entry in row]
        matrix = model.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0, *(len(row) for _, _, row in self._rows)])
        matrix.index_ = np.array([column for column, _ in entries])
        matrix.value_ = np.array([amount for _, amount in entries])
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[whole] for whole in self._whole]
        return model
