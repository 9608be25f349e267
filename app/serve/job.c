#include "job.h"

#include <stdlib.h>
#include <string.h>

#include "chart_process.h"
#include "own_process.h"

/* What the process says; -1: nothing new. */
static bool going(void *context, int done, int of)
{
    serve_job *job = context;
    if (done >= 0) {
        atomic_store(&job->done, done);
        atomic_store(&job->of, of);
    }
    if (serve_own_seconds() - atomic_load(&job->looked) > SERVE_JOB_LONELY_SECONDS)
        atomic_store(&job->stop, true);
    return !atomic_load(&job->stop);
}

static bool ends(void *context)
{
    serve_job *job = context;
    return atomic_load(&job->finish);
}

static void so_far(void *context, const char *json)
{
    serve_job *job = context;
    char *copy = strdup(json); /* without memory the news is older */
    if (!copy)
        return;
    pthread_mutex_lock(job->lock);
    free(job->so_far);
    job->so_far = copy;
    pthread_mutex_unlock(job->lock);
}

static serve_answer make_of_body(serve_job *job, const serve_progress *progress)
{
    snub_error error = {0};
    serve_answer answer = {0};
    serve_chart_link link;
    snub_status status = serve_chart_start(job->word, job->folder, job->catalogue, &link, &error);
    if (!status)
        status = serve_chart_wait(&link, job->body, job->body_length, progress, &answer, &error);
    if (status) {
        snub_text_free(&answer.body);
        answer = (serve_answer){0};
        serve_answer_unmade(&answer, status, &error);
    }
    return answer;
}

static void run(serve_job *job)
{
    const serve_progress progress = {going, job, ends, so_far};
    serve_answer answer = {0};
    if (job->paper)
        serve_paper_answer(job->paper, job->folder, &progress, &answer);
    else
        answer = make_of_body(job, &progress);
    job->answer = answer;
}

void serve_jobs_init(serve_jobs *jobs)
{
    memset(jobs, 0, sizeof *jobs);
    pthread_mutex_init(&jobs->lock, NULL);
}

static void clear(serve_job *job)
{
    free(job->body);
    free(job->so_far);
    job->so_far = NULL;
    serve_paper_free(job->paper);
    job->paper = NULL;
    snub_text_free(&job->answer.body);
    job->body = NULL;
    job->answer = (serve_answer){0};
    job->id = 0;
}

/* The thread marks nothing itself: a finished thread is found by joining it, which needs a sign that it is over. */
typedef struct ending {
    serve_jobs *jobs;
    serve_job *job;
} ending;

static void *run_and_sign(void *context)
{
    ending end = *(ending *)context;
    free(context);
    run(end.job);
    pthread_mutex_lock(&end.jobs->lock);
    end.job->running = false;
    pthread_mutex_unlock(&end.jobs->lock);
    return NULL;
}

/* Under the lock. */
static void join(serve_job *job)
{
    if (job->id && !job->running && !job->joined) {
        pthread_join(job->thread, NULL);
        job->joined = true;
    }
}

void serve_jobs_stop(serve_jobs *jobs)
{
    for (int i = 0; i < SERVE_JOBS_MOST; i++)
        atomic_store(&jobs->job[i].stop, true);
}

void serve_jobs_destroy(serve_jobs *jobs)
{
    serve_jobs_stop(jobs);
    for (int i = 0; i < SERVE_JOBS_MOST; i++) {
        serve_job *job = &jobs->job[i];
        if (job->id && !job->joined)
            pthread_join(job->thread, NULL);
        clear(job);
    }
    pthread_mutex_destroy(&jobs->lock);
}

/* A free place, or the oldest that is over. Under the lock. */
static serve_job *place_for_job(serve_jobs *jobs)
{
    int running = 0;
    serve_job *best = NULL;
    for (int i = 0; i < SERVE_JOBS_MOST; i++) {
        serve_job *job = &jobs->job[i];
        join(job);
        if (job->id && job->running)
            running++;
        else if (!best || job->id < best->id)
            best = job;
    }
    return running < SERVE_JOBS_RUNNING_MOST ? best : NULL;
}

/* Body or paper are the job's from here on. */
static void start(serve_jobs *jobs, const char *word, char *body, size_t length, serve_paper *paper,
                  serve_answer *answer)
{
    ending *end = malloc(sizeof *end);
    pthread_mutex_lock(&jobs->lock);
    serve_job *job = place_for_job(jobs);
    bool started = false;
    if (job && end && (body || paper)) {
        clear(job);
        job->paper = paper;
        job->word = word;
        job->body = body;
        job->body_length = length;
        job->id = ++jobs->last_id;
        job->folder = jobs->folder;
        job->catalogue = jobs->catalogue;
        job->running = true;
        job->joined = false;
        job->lock = &jobs->lock;
        atomic_store(&job->stop, false);
        atomic_store(&job->finish, false);
        atomic_store(&job->looked, serve_own_seconds());
        atomic_store(&job->done, 0);
        atomic_store(&job->of, 0);
        *end = (ending){jobs, job};
        started = pthread_create(&job->thread, NULL, run_and_sign, end) == 0;
        if (!started) {
            job->running = false;
            clear(job);
        }
        body = NULL; /* the job's, or freed with it */
        paper = NULL;
    }
    unsigned id = started ? job->id : 0;
    pthread_mutex_unlock(&jobs->lock);
    if (!started) {
        free(end);
        free(body);
        serve_paper_free(paper);
        serve_answer_problem(
            answer, SERVE_BUSY,
            "Two charts, runs, studies or papers are already being made. Stop one, or wait for it to finish.");
        return;
    }
    answer->status = 202;
    answer->job = id;
    snub_text_printf(&answer->body, "{\"job\":%u}", id);
    if (answer->body.failed) { /* nobody will ask for it */
        serve_job_drop(jobs, id);
        snub_text_free(&answer->body);
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    }
}

void serve_job_start(serve_jobs *jobs, const char *word, const char *body, size_t length, serve_answer *answer)
{
    char *copy = malloc(length + 1);
    if (copy) {
        memcpy(copy, body, length);
        copy[length] = '\0';
    }
    start(jobs, word, copy, length, NULL, answer);
}

void serve_job_paper(serve_jobs *jobs, serve_paper *paper, serve_answer *answer)
{
    start(jobs, NULL, NULL, 0, paper, answer);
}

static serve_job *find(serve_jobs *jobs, unsigned id)
{
    for (int i = 0; id && i < SERVE_JOBS_MOST; i++)
        if (jobs->job[i].id == id)
            return &jobs->job[i];
    return NULL;
}

static const char *state_of(const serve_job *job)
{
    if (job->running)
        return "running";
    if (job->answer.status == 200)
        return "done";
    return atomic_load(&job->stop) ? "stopped" : "failed";
}

void serve_job_look(serve_jobs *jobs, unsigned id, serve_answer *answer)
{
    pthread_mutex_lock(&jobs->lock);
    serve_job *job = find(jobs, id);
    if (job) {
        atomic_store(&job->looked, serve_own_seconds());
        answer->status = 200;
        snub_text_printf(
            &answer->body, "{\"job\":%u,\"state\":\"%s\",\"done\":%d,\"of\":%d,\"so_far\":%s,\"result\":", id,
            state_of(job), atomic_load(&job->done), atomic_load(&job->of), job->so_far ? job->so_far : "null");
        if (job->running)
            snub_text_puts(&answer->body, "null");
        else if (job->answer.body.failed || !job->answer.body.data)
            snub_text_puts(&answer->body, "{\"title\":\"Out of memory\",\"status\":503}");
        else
            snub_text_add(&answer->body, job->answer.body.data, job->answer.body.length);
        snub_text_puts(&answer->body, "}");
    }
    pthread_mutex_unlock(&jobs->lock);
    if (!job)
        serve_answer_problem(answer, SERVE_NOT_FOUND, "This job is not known, or its result was dropped to make room.");
}

void serve_job_drop(serve_jobs *jobs, unsigned id)
{
    pthread_mutex_lock(&jobs->lock);
    serve_job *job = find(jobs, id);
    if (job)
        atomic_store(&job->stop, true);
    pthread_mutex_unlock(&jobs->lock);
}

void serve_job_stop(serve_jobs *jobs, unsigned id, serve_answer *answer)
{
    pthread_mutex_lock(&jobs->lock);
    serve_job *job = find(jobs, id);
    if (job && !job->paper && strcmp(job->word, SERVE_STUDY_WORD) == 0 && !atomic_load(&job->finish))
        atomic_store(&job->finish, true);
    else if (job)
        atomic_store(&job->stop, true);
    pthread_mutex_unlock(&jobs->lock);
    if (job)
        serve_job_look(jobs, id, answer);
    else
        serve_answer_problem(answer, SERVE_NOT_FOUND, "This job is not known.");
}
