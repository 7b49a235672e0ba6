"""A full budget beside `import numpy`: the ratio of both, measured in turn in fresh processes.

Run: python tests/benchmarks/budget.py

Asked for: under 5 times. The budgets are those of a vehicle with six thrusters, and of one with eight
whose six axes drive every channel, clip and scale, with a water, in a process that has imported numpy
already and nothing of the budget's.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
from pathlib import Path

RUNS = 7
ALLOWED = 5.0

NUMPY = "import time; t = time.perf_counter(); import numpy; print(time.perf_counter() - t)"

BUDGET = """
import sys, time
sys.path.insert(0, {tests!r})
import numpy
from vehicles import Documents, box_document, configuration_of, model_document, puffin
from vehicles import thruster_document, vehicle_document
if {is_dense!r}:
    demands = ("surge", "sway", "heave", "roll", "pitch", "yaw")
    controls = ("left-stick-y", "left-stick-x", "right-stick-y", "right-stick-x", "left-front-bottom",
                "right-front-bottom")
    rng = numpy.random.default_rng(3)
    fitted = [thruster_document(f"t{{k}}", k, list(rng.uniform(-0.3, 0.3, 3)), [1, 0, 0])
              for k in range(1, 9)]
    shares = {{d: {{k: float(rng.uniform(-1, 1)) for k in range(1, 9)}} for d in demands}}
    rows = [{{"control": c, "drives": d}} for c, d in zip(controls, demands)]
    points = [(-1, -30, 4.0), (-0.5, -8, 1.2), (0.5, 10, 1.3), (1, 40, 4.4)]
    documents = Documents(vehicle_document(fitted), box_document(shares, rows),
                          {{"heron-50": model_document("heron-50", points)}})
else:
    documents = puffin()
documents.vehicle["trim_defaults"] = {{"heave": 0.12, "surge": -0.05}}
for table in documents.box["thruster_maps"].values():
    table["when_saturated"] = {when!r}
configuration = configuration_of(documents)
t = time.perf_counter()
from rovlog.faces.reports.budget_data import budget_data
from rovlog.faces.reports.budget_text import budget_text
from rovlog.usecases.compute_budget import compute_budget, water_given
budget = compute_budget(configuration, water_given(12.0, 30.0, 6.0))
first = time.perf_counter() - t
budget_data(budget), budget_text(budget)
t = time.perf_counter()
compute_budget(configuration, water_given(12.0, 30.0, 6.0))
print(first, time.perf_counter() - t)
"""


def timed(code: str) -> list[float]:
    """The seconds a fresh process prints."""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return [float(word) for word in done.stdout.split()]


def main() -> None:
    """Print the medians in milliseconds and the ratios; exit status 1 where one is above what is allowed."""
    tests = str(Path(__file__).resolve().parent.parent)
    imports: list[float] = []
    cases = [(is_dense, when) for is_dense in (False, True) for when in ("clip", "scale")]
    budgets: dict[tuple[bool, str], list[list[float]]] = {case: [] for case in cases}
    for _ in range(RUNS):
        imports += timed(NUMPY)
        for (is_dense, when), rows in budgets.items():
            rows.append(timed(BUDGET.format(tests=tests, when=when, is_dense=is_dense)))
    numpy_ms = 1e3 * statistics.median(imports)
    print(f"{'import numpy':<27}{numpy_ms:8.1f} ms")
    is_slow = False
    for (is_dense, when), rows in budgets.items():
        size = "8 thrusters, 6 axes" if is_dense else "6 thrusters"
        for name, column in (("first, imports included", 0), ("again in the process", 1)):
            took_ms = 1e3 * statistics.median(row[column] for row in rows)
            ratio = took_ms / numpy_ms
            is_slow |= ratio > ALLOWED
            print(f"{size + ', ' + when:<27}{took_ms:8.1f} ms   {ratio:5.2f} times   {name}")
    sys.exit(1 if is_slow else 0)


if __name__ == "__main__":
    main()
