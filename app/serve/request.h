/** What a request's body asks for. */
#ifndef SNUB_SERVE_REQUEST_H
#define SNUB_SERVE_REQUEST_H

#include "measure.h"
#include "snub/kit.h"

enum {
    SERVE_BODY_MOST = 12 << 20, /**< bytes; a drive file of SNUB_FILE_BYTES_MOST with its escapes, the one that it began
                                   as, and that of another program */
    SERVE_CHANGES_MOST = 1000,
    SERVE_EDITS_MOST = 20,
    SERVE_SPEED_MOST = 100000,                /**< rpm */
    SERVE_PATH_MOST = 200,                    /**< bytes of a change's path */
    SERVE_WORDS_MOST = SNUB_DEPTH_MOST,       /**< of an edit's path */
    SERVE_LIST_MOST = SNUB_TABLE_POINTS_MOST, /**< items in a change's value */
    SERVE_DEPTH_MOST = 6,
    SERVE_POINTS_MOST = 500, /**< of a sweep */
    SERVE_PARTS_MOST = 64    /**< of a chart */
};

/** Units of the sentences in an answer; its numbers are metric, as their keys say. */
enum { SERVE_UNITS_OF_FILE, SERVE_UNITS_METRIC, SERVE_UNITS_INCH };

struct json_t;

typedef struct serve_request {
    const char *file; /**< name under the folder; "" where none was given */
    const char *text; /**< whole drive file as the page holds it */
    size_t text_length;
    const char *base; /**< the file that the work began with, for a save; NULL: not given */
    size_t base_length;
    int pick_count;
    snub_pick *picks; /**< what to do about values that both sides changed */
    int change_count;
    snub_change *changes; /**< text is YAML flow on one line: 75 | [0, 361.5] | "18 lbf ft" */
    snub_node **values;   /**< the same as nodes, one for each change */
    int edit_count;
    snub_edit *edits;         /**< made one after the other on the text with its changes */
    double rpm;               /**< engine speed, rpm >= 0; NAN: not given */
    double rate;              /**< rpm/s; 0 */
    bool whole;               /**< judge the whole rev range, not only one speed */
    bool mount;               /**< with what `snub mount` says */
    serve_measure measure;    /**< two things whose distance is wanted */
    bool has_case;            /**< of a finding, for `lay` */
    snub_wanted_state wanted; /**< that case */
    int set_count;
    snub_node **set_values;
    snub_change *sets; /**< what it lays over the file and the changes */
    const char *way;   /**< of running, for a sweep; "steady" where none was given */
    int points;        /**< of a sweep; 0: not given */
    bool review;       /**< of a save: say what it would change, and write nothing */
    bool exact;        /**< numbers with all their digits: to compare two programs */
    bool builds_only;  /**< of a chart: fewest belts are not looked for */
    int part, parts;   /**< of a chart: only each `parts`th build from `part` on, from 0; parts 0: all of them */
    int units;         /**< of the sentences: SERVE_UNITS_... */
} serve_request;

/** Read a body. Values of changes may be numbers, texts, truths or lists of those: they cannot smuggle in lines or
 * keys.
 *  @param[in] arena  holds everything in the request
 *  @return SNUB_OK; SNUB_BAD_INPUT (message and key filled); SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status serve_request_read(const char *body, size_t length, snub_arena *arena, serve_request *request,
                               snub_error *error);

/** A number under a key, where there is one: `number` stays as it is where there is none.
 *  @return SNUB_OK; SNUB_BAD_INPUT */
snub_status serve_number_read(const struct json_t *root, const char *key, double low, double high, double *number,
                              snub_error *error);

/** The changes as overlays on the document.
 *  @param[in,out] hints  names of before in them are added to this list
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status serve_overlays(const serve_request *request, const snub_document *document, snub_arena *arena,
                           snub_overlay **overlays, const snub_hint **hints, snub_error *error);

#endif
