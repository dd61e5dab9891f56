"""Times a general-purpose solver on the problems that the benchmark exported.

    cargo bench --bench solve -- --export problems.json
    python tests/outside/solve_bench.py problems.json table.json

Both times are those of the machine at hand, one thread for the outside solver; its time is its own
clock's, without the building of the program. A problem whose values differ by more than 1e-9 counts
as failed: a fast wrong answer is no answer.
"""

from __future__ import annotations

import json
import statistics
import sys
from pathlib import Path

from kit_optimum import near
from problem import Problem


def solved(written: dict) -> dict:
    """One problem: the optimum over all its telescopes and the time for them."""
    problem = Problem.from_bench(written)
    found = [best for one in problem.telescopes if (best := problem.optimum(one)) is not None]
    value = max((best.value for best in found), default=None)
    same = value is written["best"] or (
        None not in (value, written["best"]) and near(value, written["best"])
    )
    ms = 1e3 * sum(best.seconds for best in found)
    return {
        "items": written["items"],
        "seed": written["seed"],
        "own_ms": written["ms"],
        "outside_ms": ms,
        "ratio": ms / written["ms"],
        "same_value": same and all(best.proven for best in found),
    }


def main() -> int:
    if len(sys.argv) != 3:
        print("usage: solve_bench.py PROBLEMS.json TABLE.json", file=sys.stderr)
        return 2
    rows = [solved(written) for written in json.loads(Path(sys.argv[1]).read_text("utf-8"))]
    table = []
    print(f"{'items':>7} {'problems':>9} {'own ms':>10} {'outside ms':>11} {'ratio':>9} {'least':>9}")
    for items in sorted({row["items"] for row in rows}):
        of_size = [row for row in rows if row["items"] == items]
        line = {
            "items": items,
            "problems": len(of_size),
            "own_ms": statistics.median(row["own_ms"] for row in of_size),
            "outside_ms": statistics.median(row["outside_ms"] for row in of_size),
            "ratio": statistics.median(row["ratio"] for row in of_size),
            "least_ratio": min(row["ratio"] for row in of_size),
        }
        table.append(line)
        print(
            f"{items:>7} {line['problems']:>9} {line['own_ms']:>10.3f} {line['outside_ms']:>11.1f} "
            f"{line['ratio']:>8.0f}× {line['least_ratio']:>8.0f}×"
        )
    Path(sys.argv[2]).write_text(json.dumps({"table": table, "rows": rows}, indent=1) + "\n", "utf-8")
    passed = sum(row["same_value"] for row in rows)
    print(f"{passed} passed, {len(rows) - passed} failed")
    return 0 if rows and passed == len(rows) else 1


if __name__ == "__main__":
    sys.exit(main())
