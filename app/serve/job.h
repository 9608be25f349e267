/** Long work on a thread of its own: started, watched, stopped. */
#ifndef SNUB_SERVE_JOB_H
#define SNUB_SERVE_JOB_H

#include <pthread.h>
#include <stdatomic.h>

#include "paper.h"

enum {
    SERVE_JOBS_MOST = 4,
    SERVE_JOBS_RUNNING_MOST = 2,
    SERVE_JOB_LONELY_SECONDS = 150 /**< work that nobody has asked after for so long is stopped: a browser lets the
                                      clock of a tab that is hidden run once a minute */
};

typedef struct serve_job {
    unsigned id; /**< 0: free */
    pthread_t thread;
    const serve_folder *folder;
    const char *catalogue;
    bool running, joined; /**< under the lock of the list */
    atomic_bool stop;
    atomic_bool finish; /**< end it, and keep what there is */
    atomic_int done, of;
    atomic_llong looked;   /**< monotonic seconds of the last look */
    serve_paper *paper;    /**< to be made; NULL: what `word` makes of the body */
    const char *word;      /**< of serve_chart_start */
    char *so_far;          /**< JSON, under the lock of the list; NULL: nothing */
    pthread_mutex_t *lock; /**< of the list */
    char *body;
    size_t body_length;
    serve_answer answer;
} serve_job;

typedef struct serve_jobs {
    pthread_mutex_t lock;
    unsigned last_id;
    const serve_folder *folder; /**< as serve_worker_open */
    const char *catalogue;
    serve_job job[SERVE_JOBS_MOST];
} serve_jobs;

void serve_jobs_init(serve_jobs *jobs);
/** Ask all to stop; does not wait. */
void serve_jobs_stop(serve_jobs *jobs);
/** Stop all, wait for them. */
void serve_jobs_destroy(serve_jobs *jobs);
/** Start a chart, a motion or a study for a body.
 *  @param[in] word  SERVE_CHART_WORD, SERVE_MOTION_WORD or SERVE_STUDY_WORD
 *  Answers 202 {"job":id}; 503 where too many run. */
void serve_job_start(serve_jobs *jobs, const char *word, const char *body, size_t length, serve_answer *answer);
/** The same for a paper, which is taken over and freed. */
void serve_job_paper(serve_jobs *jobs, serve_paper *paper, serve_answer *answer);
/** {"job":id,"state":"running"|"done"|"failed"|"stopped","done":n,"of":n,"so_far":…,"result":…}; the result is given
 * once the work is done and stays until the place is needed. */
void serve_job_look(serve_jobs *jobs, unsigned id, serve_answer *answer);
/** Stop it unasked: the answer that had its number was lost. */
void serve_job_drop(serve_jobs *jobs, unsigned id);
/** Ask it to stop. A study ends with what there is; asked once more it is stopped as the others are. */
void serve_job_stop(serve_jobs *jobs, unsigned id, serve_answer *answer);

#endif
