/** A chart, the drive in motion or a study of it, in a process of its own. The server stays whatever becomes of it: a
 * library that aborts, work that needs more memory than there is, or the system that ends the largest process.
 *
 *  The process is the same program, started anew with a word that no user needs. It reads the request's body from its
 *  standard input and writes frames: "P done of\n" as it goes, "S 0 0 JSON\n" where there is news, at last "A status
 *  bytes\n" and the answer's body. A study that is to end and answer with what there is finds a pipe of its own closed.
 *  Else it is ended by killing it, and ends with the server. */
#ifndef SNUB_SERVE_CHART_PROCESS_H
#define SNUB_SERVE_CHART_PROCESS_H

#include <sys/types.h>

#include "handlers.h"

#define SERVE_CHART_WORD "serve-chart"
#define SERVE_MOTION_WORD "serve-motion"
#define SERVE_STUDY_WORD "serve-study"

bool serve_chart_word(const char *word);

/** The one side: what the program does when its first word is one of these.
 *  @return exit code: 0 where an answer was written, `bad` else */
int serve_chart_process(int count, char **arguments, int bad);

/** The other side. */
typedef struct serve_chart_link {
    pid_t process;
    int to, from;        /**< to its standard input; from its standard output */
    int on;              /**< closed: it is to end with what there is */
    const char *what;    /**< "The chart", "The run", "The study" */
    const char *instead; /**< what takes less memory: "use fewer options" */
} serve_chart_link;

/** Start it.
 *  @param[in] word  one of the three
 *  @return SNUB_OK; SNUB_NO_MEMORY; SNUB_IO with the system's reason */
snub_status serve_chart_start(const char *word, const serve_folder *folder, const char *catalogue,
                              serve_chart_link *link, snub_error *error);
/** Give it the body, pass its progress on, and wait for its end. The link is closed.
 *  @param[in] progress  asked at least 5 times a second; false: end it
 *  @return SNUB_OK with the answer; SNUB_STOPPED; SNUB_NO_MEMORY with words: it ended without an answer, or there is no
 *          memory to take it */
snub_status serve_chart_wait(serve_chart_link *link, const char *body, size_t length, const serve_progress *progress,
                             serve_answer *answer, snub_error *error);

#endif
