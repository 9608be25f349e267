/** Sheets, drawings and tables, made by the program itself in a process of its own (own_process.h): what comes out is
 *  what its command writes, to the byte. It starts in the served folder, and reads what a drive file names there only.
 *  No word of a request reaches a shell; which words a command line may have is the program's to say (program.h). */
#ifndef SNUB_SERVE_PAPER_H
#define SNUB_SERVE_PAPER_H

#include "handlers.h"
#include "program.h"

#define SERVE_PAPER_WORD "serve-paper"

enum {
    SERVE_PAPER_SECONDS = 300,       /**< that one may take: a report on every build of a large kit takes one */
    SERVE_PAPER_MOST = 64 << 20,     /**< bytes that come out */
    SERVE_PAPER_SAID_MOST = 64 << 10 /**< bytes of what the program says beside it */
};

/** What the program does when its first word is SERVE_PAPER_WORD: enters its own process, and takes the words of the
 *  server away, so that those of the command are left.
 *  @return real path of the folder that its run is held in; NULL: the server has ended, or these are no such words */
const char *serve_paper_enter(int *count, char ***arguments);

/** What is to be made. Memory is malloc'd. */
typedef struct serve_paper {
    char **words; /**< of the command line, NULL-terminated, with those of the server before them */
    char *file;   /**< drive file; NULL: none is read */
    char *etag;   /**< that it must have before and after */
    char *name;   /**< of the file that comes out */
} serve_paper;
/** NULL-safe. */
void serve_paper_free(serve_paper *paper);

/** Read a request for one: {"file","etag","command","kind","form","options"}.
 *  @param[out] paper  to be freed; untouched where an answer was made
 *  @return false: it was refused */
bool serve_paper_read(const serve_program *program, const serve_folder *folder, const char *body, size_t length,
                      serve_paper **paper, serve_answer *answer);
/** Words of the command line of a new drive file. @return as serve_paper_read */
bool serve_paper_of_new(const serve_program *program, const serve_folder *folder, const struct json_t *options,
                        serve_paper **paper, serve_answer *answer);

/** What came of it. */
typedef struct serve_made {
    snub_text out, said; /**< standard output and standard error */
    int code;            /**< exit code */
} serve_made;
void serve_made_free(serve_made *made);
/** Make it.
 *  @param[in] progress  asked at least 5 times a second; false: end it
 *  @param[out] made     to be freed in any case
 *  @return SNUB_OK; SNUB_STOPPED; SNUB_NO_MEMORY, SNUB_TOO_LARGE or SNUB_IO with words */
snub_status serve_paper_make(const serve_paper *paper, const serve_folder *folder, const serve_progress *progress,
                             serve_made *made, snub_error *error);
/** The same as an answer: {"name","code","said","data"}, data in base64; or the problem. A problem of the program is
 * what it says on a terminal. */
void serve_paper_answer(const serve_paper *paper, const serve_folder *folder, const serve_progress *progress,
                        serve_answer *answer);

#endif
