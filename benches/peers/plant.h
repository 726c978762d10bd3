/* The demonstration's pull for a solver in C: a start, an input for every
 * controller tick, and the rates in between. Scaled states, as our own solver
 * sees them. One replay a process. */
#ifndef PEERS_PLANT_H
#define PEERS_PLANT_H

/* Records the pull of a scenario; 0 when it is there. Without the ledger the
 * states are the eight of the physics alone. */
int plant_load(const char *scenario, int with_ledger);
int plant_ticks(void);
double plant_tick_s(void);
int plant_slots(void);
/* Writes the state at the start; 0 when it is there. */
int plant_start(double *y);
/* Lays the input of a tick; time starts at zero with it. */
void plant_set_input(int tick);
/* Rates at a time into the tick [s]; not 0 where one is no number. */
int plant_rhs(double since_s, const double *y, double *dydt);
/* Calls of plant_rhs so far. */
long plant_evaluations(void);

#endif
