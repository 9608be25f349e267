/** The end of the server, at once when it is wanted, whatever is being calculated.
 *  What is calculated is of no use to anyone any more, and a flag to stop it would be looked at only where somebody
 *  thought of it: so the process ends and takes it along. Only a save is let through. */
#ifndef SNUB_SERVE_LEAVE_H
#define SNUB_SERVE_LEAVE_H

#include <pthread.h>
#include <stdbool.h>

enum {
    SERVE_LEAVE_MS = 300,     /**< for an orderly end */
    SERVE_LEAVE_SAVE_MS = 300 /**< more, for a save that is under way */
};

typedef struct serve_leave {
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t changed;
    pthread_mutex_t *saving;
    bool begun, over;
} serve_leave;

/** From now the process ends with 0 after these times, unless serve_leave_end() is called before.
 *  @param[in] saving  held by a save; must live until then */
void serve_leave_begin(serve_leave *leave, pthread_mutex_t *saving);
/** The orderly end is reached. Without a begin it does nothing. */
void serve_leave_end(serve_leave *leave);

#endif
