/** The case of a finding in a request, as `snub check --json` writes it. */
#ifndef SNUB_SERVE_CASE_H
#define SNUB_SERVE_CASE_H

#include "request.h"

struct json_t;

/** Which case is shown: `engine_rpm`, `case`, `belt`, `arm_friction`, `warmth`, `peak`; what it lays over the file is
 * in `set` ("belt.length=1926").
 *  @param[in] given  NULL or null: none
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status serve_case_read(const struct json_t *given, snub_arena *arena, serve_request *request, snub_error *error);
/** What the case lays over the file, behind the request's own changes.
 *  @return false: memory is out */
bool serve_case_lay_over(serve_request *request, snub_arena *arena);

#endif
