/* What is kept of a run; private to the room. */
#ifndef SNUB_MOTION_RUN_RECORD_H
#define SNUB_MOTION_RUN_RECORD_H

#include "run_view.h"

/* A thing that goes on at a place now. */
typedef struct run_going {
    bool on;
    double since, most, slack; /* s; as in snub_run_event */
    int last;                  /* event of that kind and place; -1: none yet */
} run_going;

typedef struct run_record {
    const run *run;
    const snub_run_request *request;
    snub_arena *arena;
    snub_run_result *result;
    run_going going[SNUB_RUN_EVENTS_][SNUB_PULLEYS_MOST];
    int event_room, sample_room;
    double low[SNUB_PULLEYS_MOST], high[SNUB_PULLEYS_MOST], wind[2]; /* since the last sample */
} run_record;

/* @return false: memory is out */
bool run_record_begin(run_record *record, const run *r, const snub_run_request *request, snub_arena *arena,
                      snub_run_result *result);
/* A thing begins or ends; nothing where it is so already. @param[in] most  at once, as in snub_run_event
 *  @return false: memory is out */
bool run_record_event(run_record *record, snub_run_event_kind kind, int at, bool on, double time, double engine,
                      double most);
/* A moment: ranges, and how far what goes on has gone. */
void run_record_moment(run_record *record, double time, const double *y, const run_view *view);
/* A sample. @return false: memory is out */
bool run_record_sample(run_record *record, double time, const double *y, const run_view *view);
/* What still goes on has gone on to the end. */
void run_record_end(run_record *record, double time, double engine);

#endif
