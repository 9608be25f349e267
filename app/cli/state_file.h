/** state_file.h - what a long command had done, as a file of JSON. */
#ifndef SNUB_CLI_STATE_FILE_H
#define SNUB_CLI_STATE_FILE_H

#include <jansson.h>

#include "command.h"

/** What ends a state: its kind in words, the key of its format, what it must be of. */
typedef struct cli_state_kind {
    const char *key;   /**< that has the number of the format */
    const char *what;  /**< "a search": what it is a state of */
    const char *other; /**< what may have changed where it is of another: "the drive file, --tries" */
} cli_state_kind;

/** @param[in] digest  that the state must have as its fingerprint
 *  @param[out] root  to be freed; NULL: there is no such file
 *  @return false: it was said what is wrong */
bool cli_read_state(cli_run *run, const char *path, const cli_state_kind *kind, const char *digest, json_t **root);
/** Written with the format and the fingerprint. @param[in] root  is freed. @return false: it was said what is wrong */
bool cli_write_state(cli_run *run, const char *path, const cli_state_kind *kind, const char *digest, json_t *root);
/** A list of numbers; NAN as null. @return false: it is another list */
bool cli_state_numbers(const json_t *list, int count, double *values);
json_t *cli_state_list(const double *values, int count);

#endif
