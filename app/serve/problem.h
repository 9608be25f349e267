/** What went wrong, as application/problem+json (RFC 9457). */
#ifndef SNUB_SERVE_PROBLEM_H
#define SNUB_SERVE_PROBLEM_H

#include "snub/drive.h"

typedef enum serve_problem {
    SERVE_NO_KEY,       /**< 401 */
    SERVE_WRONG_HOST,   /**< 403 */
    SERVE_WRONG_ORIGIN, /**< 403 */
    SERVE_NOT_FOUND,    /**< 404 */
    SERVE_METHOD,       /**< 405 */
    SERVE_CHANGED,      /**< 412: the file on disk is not the one that was opened */
    SERVE_EXISTS,       /**< 412: a new file's name is taken */
    SERVE_NO_PAPER,     /**< 422: the program did not make it */
    SERVE_CLASH,        /**< 409: another program changed the same values */
    SERVE_NO_MATCH,     /**< 428: a save must say which file it means to replace */
    SERVE_BODY_LARGE,   /**< 413 */
    SERVE_MEDIA_TYPE,   /**< 415 */
    SERVE_BAD_REQUEST,  /**< 400 */
    SERVE_FRAMING,      /**< 400: where the body ends is not clear */
    SERVE_BAD_DRIVE,    /**< 422: the drive file has errors */
    SERVE_NO_ANSWER,    /**< 422: a drive without an answer */
    SERVE_BUSY,         /**< 503 */
    SERVE_DISK,         /**< 507: the file could not be written or read */
    SERVE_NO_MEMORY,    /**< 503: the computer's memory ran out */
    SERVE_OWN_FAULT     /**< 500 */
} serve_problem;

unsigned serve_problem_status(serve_problem problem);
/** "/problem/bad-drive" of a path -> text that explains it, or NULL. */
const char *serve_problem_text(const char *path);

/** {"type","title","status","detail","errors":[{"file","line","column","key","message","got","need","text"}],"more"},
 * and "hints" like the errors where there are any.
 *  @param[in] detail    may be NULL
 *  @param[in] errors  may be NULL
 *  @param[in] hints     may be NULL
 *  @param[in] source    text of the drive file for the carets, or NULL */
void serve_problem_json(serve_problem problem, const char *detail, const snub_errors *errors, const snub_hint *hints,
                        const char *source, size_t source_length, snub_text *out);
/** The list of errors alone. */
struct json_t *serve_errors_json(const snub_errors *errors, const char *source, size_t source_length);
/** The same as a tree. */
struct json_t *serve_problem_tree(serve_problem problem, const char *detail, const snub_errors *errors,
                                  const snub_hint *hints, const char *source, size_t source_length);
/** As text, with one error. */
void serve_problem_error(serve_problem problem, const snub_error *error, const snub_hint *hints, const char *source,
                         size_t source_length, snub_text *out);
/** Placeholders, bare numbers and names of before, as a list like the errors.
 *  @param[in] bare,placeholders  may be NULL */
struct json_t *serve_hints_json(const snub_hint *hints, const snub_bare *bare, const snub_placeholders *placeholders);

#endif
