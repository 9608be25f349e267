#include "leave.h"

#include <time.h>
#include <unistd.h>

static struct timespec in_ms(clockid_t clock, long ms)
{
    struct timespec time;
    clock_gettime(clock, &time);
    time.tv_nsec += ms * 1000000;
    time.tv_sec += time.tv_nsec / 1000000000;
    time.tv_nsec %= 1000000000;
    return time;
}

static void *leave_soon(void *context)
{
    serve_leave *leave = context;
    const struct timespec until = in_ms(CLOCK_MONOTONIC, SERVE_LEAVE_MS);
    int wait = 0;
    pthread_mutex_lock(&leave->lock);
    while (!leave->over && !wait)
        wait = pthread_cond_timedwait(&leave->changed, &leave->lock, &until);
    if (!leave->over) {
        const struct timespec save = in_ms(CLOCK_REALTIME, SERVE_LEAVE_SAVE_MS);
        pthread_mutex_timedlock(leave->saving, &save);
        _exit(0);
    }
    pthread_mutex_unlock(&leave->lock);
    return NULL;
}

void serve_leave_begin(serve_leave *leave, pthread_mutex_t *saving)
{
    pthread_condattr_t clock;
    leave->saving = saving;
    leave->over = false;
    pthread_mutex_init(&leave->lock, NULL);
    pthread_condattr_init(&clock);
    pthread_condattr_setclock(&clock, CLOCK_MONOTONIC);
    pthread_cond_init(&leave->changed, &clock);
    pthread_condattr_destroy(&clock);
    leave->begun = pthread_create(&leave->thread, NULL, leave_soon, leave) == 0;
}

void serve_leave_end(serve_leave *leave)
{
    if (!leave->begun)
        return;
    pthread_mutex_lock(&leave->lock);
    leave->over = true;
    pthread_cond_signal(&leave->changed);
    pthread_mutex_unlock(&leave->lock);
    pthread_join(leave->thread, NULL);
    pthread_cond_destroy(&leave->changed);
    pthread_mutex_destroy(&leave->lock);
    leave->begun = false;
}
