"""LSODA as scipy offers it, on the replay, started anew at every tick.

    lsoda_scipy.py METHOD SCENARIO LEDGER TOLERANCE PULLS STATES

METHOD is solve_ivp or odeint; the rest as in sundials.c. The rates are
compiled; what is interpreted is scipy's own way around each call.
"""

import sys
import time

import numpy as np
import plant_rhs
from scipy.integrate import odeint, solve_ivp


def by_solve_ivp(y, tick_s, tolerance):
    end = solve_ivp(
        plant_rhs.rates, (0.0, tick_s), y, method="LSODA", rtol=tolerance, atol=tolerance
    )
    if not end.success:
        sys.exit(end.message)
    return np.ascontiguousarray(end.y[:, -1])


def by_odeint(y, tick_s, tolerance):
    # it warns on stderr when a tick fails
    return odeint(
        plant_rhs.rates, y, (0.0, tick_s), tfirst=True, rtol=tolerance, atol=tolerance
    )[-1]


def pull(advance, tolerance, states=None):
    y = plant_rhs.start()
    tick_s = plant_rhs.tick_s()
    for tick in range(plant_rhs.ticks()):
        plant_rhs.set_input(tick)
        y = advance(y, tick_s, tolerance)
        if states is not None:
            states.append(y)


def main(method, scenario, ledger, tolerance, pulls, states_file):
    advance = {"solve_ivp": by_solve_ivp, "odeint": by_odeint}[method]
    tolerance, pulls = float(tolerance), int(pulls)
    plant_rhs.load(scenario, int(ledger))
    states = []
    pull(advance, tolerance, states)
    evaluations = plant_rhs.evaluations()
    if states_file != "-":
        np.array(states).tofile(states_file)
    began_s = time.process_time()
    for _ in range(pulls):
        pull(advance, tolerance)
    took_s = time.process_time() - began_s
    print(evaluations, took_s / max(pulls, 1))


if __name__ == "__main__":
    if len(sys.argv) != 7:
        sys.exit(__doc__)
    main(*sys.argv[1:])
