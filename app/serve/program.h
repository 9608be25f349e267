/** What the program around the server can make, as its command line does: told to the server by the program, since the
 *  server knows no commands. */
#ifndef SNUB_SERVE_PROGRAM_H
#define SNUB_SERVE_PROGRAM_H

#include "snub/base.h"

struct json_t;

typedef struct serve_program serve_program;
struct serve_program {
    /** {"papers":[{"command","kind","name","group","of","forms"}],
     * "options":{COMMAND:[{"name","help","value","words"}]}}: every output of an open drive. `of` is "build" or "kit".
     * A list of `words` has the only values there are; `value` null is a flag. New reference; NULL: no memory. */
    struct json_t *(*papers)(snub_arena *arena);
    /** The options of a new drive file, in the same form. */
    struct json_t *(*choices)(snub_arena *arena);
    /** Words of a command line for {"command","kind","form","options":{NAME: VALUE}}, with the output on standard
     *  output. Commands, kinds, forms and names of options are those of the lists; a value is part of its option's
     * word, and the operand stands behind "--".
     *  @param[out] words   NULL-terminated, in the arena
     *  @param[out] ending  of the file that comes out: "pdf"
     *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
    snub_status (*paper)(const serve_program *own, const struct json_t *wanted, const char *file, snub_arena *arena,
                         const char *const **words, const char **ending, snub_error *error);
    /** The same for a new drive file: {"options":{…}}. */
    snub_status (*new_drive)(const struct json_t *options, snub_arena *arena, const char *const **words,
                             snub_error *error);
    const char *examples;  /**< folder of those that come with the program; NULL: there is none */
    const char *catalogue; /**< that the server was given, as an absolute path; NULL: none */
};

#endif
