"""How long commands take from the shell: ratios to bare Python and to `import numpy`, interleaved in one run.

Run by hand: python tests/benchmarks/start_up.py [LOGBOOK]   (without one the demonstration is made first)

What is kept of earlier calls counts, as it does for a person who asks twice. Below stand the commands that
keep their whole answer, asked after some file has changed: the same work, without that answer.
"""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter

ROUNDS = int(os.environ.get("ROUNDS", "15"))
ROVLOG = str(Path(sys.executable).parent / "rovlog")

ENVIRONMENT = {
    k: v for k, v in os.environ.items() if k not in ("PYTHONDONTWRITEBYTECODE", "PYTHONUNBUFFERED")
}


def seconds(words: list[str], folder: Path) -> float:
    """How long one process takes, from start to end."""
    start = perf_counter()
    subprocess.run(
        words, cwd=folder, env=ENVIRONMENT, capture_output=True, stdin=subprocess.DEVNULL, check=False
    )
    return perf_counter() - start


def ways(folder: Path) -> dict[str, tuple[list[str], str, float]]:
    """Each call with what it is measured against and how many times that it may take."""
    told = subprocess.run(
        [ROVLOG, "dive", "list", "--json"], cwd=folder, env=ENVIRONMENT, capture_output=True, check=True
    )
    dives = json.loads(told.stdout)["dives"]
    dive = dives[0]["dive"]
    vehicle = dives[0]["vehicle"]
    agreed = next(
        (d["dive"] for d in dives if subprocess.run([ROVLOG, "drift", d["dive"]], cwd=folder, env=ENVIRONMENT,
                                                    capture_output=True, check=False).returncode == 0),
        dive,
    )  # fmt: skip
    found: dict[str, tuple[list[str], str, float]] = {
        "bare python": ([sys.executable, "-c", ""], "bare python", 1.0),
        "import numpy": ([sys.executable, "-c", "import numpy"], "import numpy", 1.0),
    }
    for text, floor, most in (
        ("--version", "bare python", 3.0),
        ("--help", "bare python", 3.0),
        ("dive list", "bare python", 6.0),
        (f"dive list {vehicle}", "bare python", 6.0),
        (f"dive show {dive}", "bare python", 6.0),
        ("vehicle list", "bare python", 6.0),
        (f"vehicle history {vehicle}", "bare python", 6.0),
        (f"drift {agreed}", "bare python", 6.0),
        (f"audit timeline --vehicle {vehicle}", "bare python", 6.0),
        ("checklist list", "bare python", 6.0),
        ("checklist show pre-dive", "bare python", 6.0),
        ("part list", "bare python", 6.0),
        (f"vehicle show {vehicle}", "import numpy", 2.0),
        (f"budget {vehicle}", "import numpy", 2.0),
        (f"budget {vehicle} --temperature-c 12 --depth-m 5", "import numpy", 2.0),
        (f"response {vehicle} --demand surge=1", "import numpy", 2.0),
        (f"drift {vehicle}", "import numpy", 2.0),
        (f"ballast {vehicle} --from fresh:16 --to salt:11:34", "import numpy", 2.0),
        (f"diagnose {dive}", "import numpy", 2.0),
        (f"audit suspects --vehicle {vehicle}", "import numpy", 2.0),
        ("validate", "import numpy", 2.0),
    ):
        found["rovlog " + text] = ([ROVLOG, *text.split()], floor, most)
    return found


def forget_answers(folder: Path) -> list[str]:
    """Take the kept answers out of the index, as any change of a file would; tells which there were."""
    base = sqlite3.connect(folder / ".rovlog" / "index.sqlite")
    try:
        found = [key for (key,) in base.execute("SELECT k FROM kept WHERE k LIKE 'answer:%'")]
        base.execute("DELETE FROM kept WHERE k LIKE 'answer:%'")
        base.commit()
        return found
    finally:
        base.close()


def keeping(calls: dict[str, tuple[list[str], str, float]], folder: Path) -> list[str]:
    """The calls whose whole answer is kept."""
    found = []
    forget_answers(folder)
    for name, (words, _, _) in calls.items():
        seconds(words, folder)
        if forget_answers(folder):
            found.append(name)
    return found


def main() -> None:
    """Print medians and ratios; a line that takes longer than it may is marked."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(scratch) / "demo"
        if len(sys.argv) < 2:
            subprocess.run(
                [ROVLOG, "demo", str(folder), "--no-open"], env=ENVIRONMENT, capture_output=True, check=True
            )
        calls = ways(folder)
        taken: dict[str, list[float]] = {name: [] for name in calls}
        anew: dict[str, list[float]] = {name: [] for name in keeping(calls, folder)}
        for turn in range(ROUNDS + 1):
            for name, (words, _, _) in calls.items():
                if name in anew:
                    forget_answers(folder)
                    anew[name].append(seconds(words, folder))
                took = seconds(words, folder)
                if turn:  # the first round warms the compiled files and the index
                    taken[name].append(took)
    print(f"medians of {ROUNDS} interleaved rounds")
    for name, (_, floor, most) in calls.items():
        ratio = median(taken[name]) / median(taken[floor])
        mark = "" if ratio <= most else "   <-- more"
        print(
            f"{median(taken[name]) * 1e3:7.1f} ms  {ratio:5.2f} of {floor} (at most {most:g})  {name}{mark}"
        )
    print("after a change of some file")
    for name, times in anew.items():
        floor = calls[name][1]
        print(
            f"{median(times) * 1e3:7.1f} ms  {median(times) / median(taken[floor]):5.2f} of {floor}  {name}"
        )


if __name__ == "__main__":
    main()
