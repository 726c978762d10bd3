/* CVODE (BDF, Adams) and ARKODE's explicit pair of Dormand and Prince on the
 * replay, each started anew at every tick.
 *
 *   sundials METHOD SCENARIO LEDGER TOLERANCE PULLS STATES
 *
 * METHOD is bdf, adams or erk; LEDGER 1 for all states, 0 for the physics.
 * Prints evaluations and processor time of one pull [s]; writes the states at
 * the end of every tick to STATES, none for "-". */
#include <arkode/arkode_erkstep.h>
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>
#include <time.h>

#include "plant.h"

#define MOST_STEPS 20000
#if SUNDIALS_VERSION_MAJOR < 7
#define SUN_COMM_NULL NULL
#endif

typedef struct {
    int explicit_pair; /* ARKODE instead of CVODE */
    void *memory;
    N_Vector y;
    double tick_s;
    sunrealtype first_step_s; /* CVODE's of the tick before; 0 for its own search */
} solver_t;

static void must(int good, const char *what) {
    if (good) return;
    fprintf(stderr, "sundials: %s\n", what);
    exit(3);
}

static int rates(sunrealtype t, N_Vector y, N_Vector dydt, void *unused) {
    (void)unused;
    /* above zero: a smaller step may help */
    return plant_rhs(t, N_VGetArrayPointer(y), N_VGetArrayPointer(dydt));
}

static void new_cvode(solver_t *s, int bdf, double tolerance, SUNContext context) {
    s->memory = CVodeCreate(bdf ? CV_BDF : CV_ADAMS, context);
    must(s->memory != NULL, "no memory");
    must(CVodeInit(s->memory, rates, 0.0, s->y) == CV_SUCCESS, "init");
    must(CVodeSStolerances(s->memory, tolerance, tolerance) == CV_SUCCESS, "tolerance");
    CVodeSetMaxNumSteps(s->memory, MOST_STEPS);
    if (bdf) {
        sunindextype n = plant_slots();
        SUNMatrix matrix = SUNDenseMatrix(n, n, context);
        SUNLinearSolver linear = SUNLinSol_Dense(s->y, matrix, context);
        must(CVodeSetLinearSolver(s->memory, linear, matrix) == CV_SUCCESS, "linear solver");
    } else {
        SUNNonlinearSolver fixed = SUNNonlinSol_FixedPoint(s->y, 0, context);
        must(CVodeSetNonlinearSolver(s->memory, fixed) == CV_SUCCESS, "fixed point");
    }
}

static void new_arkode(solver_t *s, double tolerance, SUNContext context) {
    s->memory = ERKStepCreate(rates, 0.0, s->y, context);
    must(s->memory != NULL, "no memory");
    must(ERKStepSStolerances(s->memory, tolerance, tolerance) == ARK_SUCCESS, "tolerance");
    must(ERKStepSetTableNum(s->memory, ARKODE_DORMAND_PRINCE_7_4_5) == ARK_SUCCESS, "table");
    ERKStepSetMaxNumSteps(s->memory, MOST_STEPS);
}

static void advance(solver_t *s) {
    sunrealtype reached = 0.0;
    if (s->explicit_pair) {
        must(ERKStepReInit(s->memory, rates, 0.0, s->y) == ARK_SUCCESS, "new start");
        /* as ours: the whole tick is tried first, and no step goes beyond it */
        ERKStepSetInitStep(s->memory, s->tick_s);
        ERKStepSetStopTime(s->memory, s->tick_s);
        must(ERKStepEvolve(s->memory, s->tick_s, s->y, &reached, ARK_NORMAL) >= 0, "a tick");
    } else {
        must(CVodeReInit(s->memory, 0.0, s->y) == CV_SUCCESS, "new start");
        /* the first step of the tick before is what it finds cheapest, and so is
           a stop at the tick's end */
        CVodeSetInitStep(s->memory, s->first_step_s);
        CVodeSetStopTime(s->memory, s->tick_s);
        must(CVode(s->memory, s->tick_s, s->y, &reached, CV_NORMAL) >= 0, "a tick");
        CVodeGetActualInitStep(s->memory, &s->first_step_s);
    }
}

static void pull(solver_t *s, FILE *states) {
    must(plant_start(N_VGetArrayPointer(s->y)) == 0, "no start");
    size_t slots = (size_t)plant_slots();
    s->first_step_s = 0.0;
    for (int tick = 0; tick < plant_ticks(); tick++) {
        plant_set_input(tick);
        advance(s);
        if (states) fwrite(N_VGetArrayPointer(s->y), sizeof(double), slots, states);
    }
}

static double processor_s(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int main(int count, char **words) {
    if (count != 7) {
        fprintf(stderr, "call: sundials METHOD SCENARIO LEDGER TOLERANCE PULLS STATES\n");
        return 2;
    }
    const char *method = words[1];
    double tolerance = atof(words[4]);
    int pulls = atoi(words[5]);
    must(plant_load(words[2], atoi(words[3])) == 0, "no replay");

    SUNContext context;
    must(SUNContext_Create(SUN_COMM_NULL, &context) == 0, "no context");
    solver_t solver = {
        .explicit_pair = strcmp(method, "erk") == 0,
        .y = N_VNew_Serial(plant_slots(), context),
        .tick_s = plant_tick_s(),
    };
    must(plant_start(N_VGetArrayPointer(solver.y)) == 0, "no start");
    if (solver.explicit_pair) {
        new_arkode(&solver, tolerance, context);
    } else {
        new_cvode(&solver, strcmp(method, "bdf") == 0, tolerance, context);
    }

    int keep = strcmp(words[6], "-") != 0;
    FILE *states = keep ? fopen(words[6], "wb") : NULL;
    must(!keep || states != NULL, "no file for the states");
    pull(&solver, states);
    long evaluations = plant_evaluations();
    if (states) must(fclose(states) == 0, "the states were not written");

    double began_s = processor_s();
    for (int i = 0; i < pulls; i++) pull(&solver, NULL);
    double took_s = processor_s() - began_s;
    printf("%ld %e\n", evaluations, pulls > 0 ? took_s / pulls : 0.0);
    return 0;
}
