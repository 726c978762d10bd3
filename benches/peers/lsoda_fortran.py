"""LSODA from C on the replay: finds the routine, and lets lsoda_loop.c call it.

    lsoda_fortran.py METHOD SCENARIO LEDGER TOLERANCE PULLS STATES

METHOD is the path of scipy 1.9's compiled `_odepack`, which shows the Fortran
routine to the outside; later ones do not. The rest as in sundials.c. Python only
starts the loop: nothing is interpreted within a pull.
"""

import ctypes
import sys
from pathlib import Path

import numpy as np

LOOP = Path(__file__).resolve().parents[2] / "target/peers/liblsoda_loop.so"


def main(odepack, scenario, ledger, tolerance, pulls, states_file):
    routine = ctypes.cast(ctypes.CDLL(odepack).lsoda_, ctypes.c_void_p)
    loop = ctypes.CDLL(str(LOOP))
    loop.lsoda_time.restype = ctypes.c_double
    if loop.plant_load(scenario.encode(), int(ledger)) != 0:
        sys.exit("no replay")
    tolerance, pulls = ctypes.c_double(float(tolerance)), int(pulls)
    states = np.zeros((loop.plant_ticks(), loop.plant_slots()))
    pointer = states.ctypes.data_as(ctypes.c_void_p)
    failed = loop.lsoda_pull(routine, tolerance, pointer)
    if failed:
        sys.exit(f"a tick failed: istate {failed}")
    loop.plant_evaluations.restype = ctypes.c_long
    evaluations = loop.plant_evaluations()
    if states_file != "-":
        states.tofile(states_file)
    took_s = loop.lsoda_time(routine, tolerance, pulls)
    if took_s < 0:
        sys.exit("a pull failed")
    print(evaluations, took_s / max(pulls, 1))


if __name__ == "__main__":
    if len(sys.argv) != 7:
        sys.exit(__doc__)
    main(*sys.argv[1:])
