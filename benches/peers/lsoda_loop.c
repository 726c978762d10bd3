/* LSODA called from C, started anew at every tick: what of its time in scipy is
 * its own. The routine is the Fortran one of an older scipy, handed in as a
 * pointer by lsoda_fortran.py; nothing but this loop calls it. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "plant.h"

/* ODEPACK's call: every argument by reference, 32-bit integers */
typedef void rates_t(const int *slots, const double *t, const double *y, double *dydt);
typedef void lsoda_t(rates_t *f, const int *slots, double *y, double *t, const double *tout,
                     const int *itol, const double *rtol, const double *atol, const int *itask,
                     int *istate, const int *iopt, double *rwork, const int *lrw, int *iwork,
                     const int *liw, void *jacobian, const int *jt);

enum { MOST_SLOTS = 32 };

static void rates(const int *slots, const double *t, const double *y, double *dydt) {
    (void)slots;
    plant_rhs(*t, y, dydt);
}

/* One pull; the states at the end of every tick go to `states` where there is
 * such. 0 when it came to its end, else ODEPACK's istate. */
static int pull(lsoda_t *lsoda, double tolerance, double *states) {
    const int slots = plant_slots();
    const int scalar = 1, look_back = 1, no_options = 0, own_jacobian = 2;
    const int multistep = 20 + 16 * slots, newton = 22 + 9 * slots + slots * slots;
    const int reals = multistep > newton ? multistep : newton, integers = 20 + slots;
    double rwork[22 + 16 * MOST_SLOTS + MOST_SLOTS * MOST_SLOTS];
    int iwork[20 + MOST_SLOTS];
    double y[MOST_SLOTS];

    if (slots > MOST_SLOTS || plant_start(y) != 0) return 1;
    for (int tick = 0; tick < plant_ticks(); tick++) {
        double t = 0.0, end = plant_tick_s();
        int state = 1; /* a new start */
        plant_set_input(tick);
        lsoda(rates, &slots, y, &t, &end, &scalar, &tolerance, &tolerance, &look_back, &state,
              &no_options, rwork, &reals, iwork, &integers, NULL, &own_jacobian);
        if (state != 2) return state;
        if (states) memcpy(states + (size_t)tick * slots, y, slots * sizeof(double));
    }
    return 0;
}

int lsoda_pull(void *lsoda, double tolerance, double *states) {
    return pull((lsoda_t *)lsoda, tolerance, states);
}

/* Processor time of so many pulls [s]; below zero where one failed. */
double lsoda_time(void *lsoda, double tolerance, int pulls) {
    struct timespec from, to;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &from);
    for (int i = 0; i < pulls; i++) {
        if (pull((lsoda_t *)lsoda, tolerance, NULL) != 0) return -1.0;
    }
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &to);
    return (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
}
