"""Lets all solvers integrate the replay, and says what each takes.

    compare.py OURS SUNDIALS MODULE_FOLDER ODEPACK SCENARIO SCRATCH RESULT_CSV
               CORE ROUNDS

Run by run.sh. Two parts: for each solver the loosest tolerance of a ladder at
which it is as accurate as ours; then all of these in turn, round after round,
each pinned to one core, processor time taken.
"""

import csv
import math
import os
import statistics
import subprocess
import sys
from pathlib import Path

import numpy as np

LEDGER_SLOTS, PHYSICS = 18, 8
# 1e-3 to 1e-10, four a decade
LADDER = [10.0 ** (-3 - k / 4) for k in range(29)]
REFERENCE = 1e-12
# The reference is checked by another method at the same tolerance; it must be
# far better than what it judges.
REFERENCE_MARGIN = 100
# Errors are compared to the digits shown.
SAME = 1.01
# name, program, method
PEERS = [
    ("CVODE BDF", "sundials", "bdf"),
    ("CVODE Adams", "sundials", "adams"),
    ("ARKODE 5(4)", "sundials", "erk"),
    ("LSODA from C", "fortran", "lsoda"),
    ("scipy LSODA solve_ivp", "python", "solve_ivp"),
    ("scipy LSODA odeint", "python", "odeint"),
]
# pulls in one timing, so that each takes some tenths of a second
PULLS = {"ours": 20, "sundials": 5, "fortran": 10, "python": 3}
BASES = ["worst error", "mean error", "same tolerance"]


class Bench:
    def __init__(self, ours, sundials, module, odepack, scenario, scratch, core):
        self.scenario, self.core = scenario, core
        self.states = str(Path(scratch) / "states.bin")
        here, self.odepack = Path(__file__).parent, odepack
        self.start = {
            "ours": [ours],
            "sundials": [sundials],
            "fortran": [sys.executable, str(here / "lsoda_fortran.py")],
            "python": [sys.executable, str(here / "lsoda_scipy.py")],
        }
        one_thread = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        self.environment = os.environ | one_thread | {"PYTHONPATH": module}

    def call(self, program, method, ledger, tolerance, pulls, states="-"):
        """Evaluations and processor time of one pull [s]; ours says its tolerance
        and the simulated time [s] too."""
        words = ["taskset", "-c", self.core, *self.start[program]]
        if program == "ours":
            words += [self.scenario, str(tolerance), str(pulls), states]
        else:
            method = self.odepack if program == "fortran" else method
            words += [method, self.scenario, str(int(ledger)), repr(tolerance)]
            words += [str(pulls), states]
        done = subprocess.run(
            words, env=self.environment, check=True, text=True, stdout=subprocess.PIPE
        )
        evaluations, *figures = done.stdout.split()
        return int(evaluations), *map(float, figures)

    def trajectory(self, program, method, ledger, tolerance):
        """Physics at the end of every tick, one row each; evaluations."""
        evaluations, *_ = self.call(program, method, ledger, tolerance, 0, self.states)
        rows = np.fromfile(self.states).reshape(-1, LEDGER_SLOTS if ledger else PHYSICS)
        return rows[:, :PHYSICS], evaluations


def errors(rows, reference):
    """Worst and root mean square over ticks and states, each difference over
    1 + |reference|: what the tolerances of all solvers are meant to hold."""
    off = np.abs(rows - reference) / (1 + np.abs(reference))
    return float(off.max()), float(np.sqrt((off**2).mean()))


def climb(bench, peer, ledger, reference, ours, shipped):
    """For each basis the tolerance, errors and evaluations of a peer."""
    name, program, method = peer
    found = {}

    def look(tolerance):
        rows, evaluations = bench.trajectory(program, method, ledger, tolerance)
        return tolerance, *errors(rows, reference), evaluations

    found["same tolerance"] = look(shipped)
    for tolerance in LADDER:
        seen = look(tolerance)
        for basis, at in (("worst error", 0), ("mean error", 1)):
            if basis not in found and seen[1 + at] <= SAME * ours[at]:
                found[basis] = seen
        if len(found) == len(BASES):
            return found
    sys.exit(f"{name} does not become as accurate as ours on this ladder")


def measure(bench, cases, rounds):
    """Median processor time of each case [s]; every round asks all in turn."""
    times = {case: [] for case in cases}
    for turn in range(rounds):
        print(f"round {turn + 1} of {rounds}", file=sys.stderr)
        for case in cases:
            program = case[0]
            took_s = bench.call(*case, PULLS[program])[1]
            times[case].append(took_s)
    return {case: statistics.median(took) for case, took in times.items()}


HEAD = ["basis", "states", "solver", "tolerance", "worst_error", "mean_error"]
HEAD += ["evaluations", "cpu_ms_per_pull", "simulated_s_per_cpu_s", "ratio_to_ours"]


def show(rows):
    for basis in BASES:
        for states in (LEDGER_SLOTS, PHYSICS):
            what = "all 18 states" if states == LEDGER_SLOTS else "peers: 8 states"
            print(f"\n{basis}, {what}\n")
            print(f"{'solver':<21} tolerance   worst    mean  evals ms/pull   s/s  ratio")
            for row in rows:
                if row["basis"] in ("ours", basis) and row["states"] in ("ours", states):
                    print(
                        f"{row['solver']:<21} {row['tolerance']:9.1e}"
                        f" {row['worst_error']:7.1e} {row['mean_error']:7.1e}"
                        f" {row['evaluations']:6d} {row['cpu_ms_per_pull']:7.2f}"
                        f" {row['simulated_s_per_cpu_s']:5.0f} {row['ratio_to_ours']:6.2f}"
                    )


def write(rows, path):
    # whole or not at all
    part = Path(path).with_suffix(".part")
    with open(part, "w", newline="") as out:
        sheet = csv.DictWriter(out, HEAD, lineterminator="\n")
        sheet.writeheader()
        for row in rows:
            line = {
                key: f"{value:.4g}" if isinstance(value, float) else value
                for key, value in row.items()
            }
            line["states"] = LEDGER_SLOTS if row["states"] == "ours" else row["states"]
            sheet.writerow(line)
    part.replace(path)


def main(ours, sundials, module, odepack, scenario, scratch, result, core, rounds):
    bench = Bench(ours, sundials, module, odepack, scenario, scratch, core)
    reference, _ = bench.trajectory("ours", "", True, REFERENCE)
    other, _ = bench.trajectory("sundials", "adams", True, REFERENCE)
    agree = errors(other, reference)
    rows, evaluations = bench.trajectory("ours", "", True, "shipped")
    own = errors(rows, reference)
    _, _, shipped, duration_s = bench.call("ours", "", True, "shipped", 0)
    print(f"reference against CVODE Adams, both at {REFERENCE:g}: worst {agree[0]:.1e}")
    if not all(a * REFERENCE_MARGIN < b for a, b in zip(agree, own)):
        sys.exit("the reference is not good enough to judge by")

    found = {}
    for peer in PEERS:
        for ledger in (True, False):
            print(f"ladder: {peer[0]}, ledger {ledger}", file=sys.stderr)
            found[peer, ledger] = climb(bench, peer, ledger, reference, own, shipped)
    cases = {("ours", "", True, "shipped"): None}
    for ((_, program, method), ledger), seen in found.items():
        for tolerance, *_ in seen.values():
            cases[program, method, ledger, tolerance] = None
    took_s = measure(bench, list(cases), int(rounds))

    own_s = took_s["ours", "", True, "shipped"]

    def row(basis, states, solver, seen, cpu_s):
        figures = (*seen, 1e3 * cpu_s, duration_s / cpu_s, cpu_s / own_s)
        return dict(zip(HEAD, (basis, states, solver, *figures)))

    table = [row("ours", "ours", "ours", (shipped, *own, evaluations), own_s)]
    for basis in BASES:
        for ledger in (True, False):
            for peer in PEERS:
                seen = found[peer, ledger][basis]
                cpu_s = took_s[peer[1], peer[2], ledger, seen[0]]
                states = LEDGER_SLOTS if ledger else PHYSICS
                table.append(row(basis, states, peer[0], seen, cpu_s))
    assert all(math.isfinite(r["ratio_to_ours"]) for r in table)
    show(table)
    write(table, result)


if __name__ == "__main__":
    if len(sys.argv) != 10:
        sys.exit(__doc__)
    main(*sys.argv[1:])
