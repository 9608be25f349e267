/* The drive as it stands: its build, a state of it, and the geometry to draw. */
#include <math.h>

#include "case.h"
#include "reading.h"
#include "shape.h"
#include "snub/json.h"
#include "snub/kit.h"
#include "snub/report.h"

void serve_lay(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    snub_build *build = SNUB_NEW(&worker->arena, snub_build, 1);
    snub_state *state = SNUB_NEW(&worker->arena, snub_state, 1);
    serve_request with = *request;
    if (!build || !state || !serve_case_lay_over(&with, &worker->arena)) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return;
    }
    const serve_reading *read = serve_read_build(worker, &with, !request->whole, build, answer);
    if (!read)
        return;
    snub_error why = {0};
    const snub_wanted_state asked = {.speed = isnan(request->rpm) ? 0 : request->rpm * SNUB_RPM,
                                     .rate = request->rate * SNUB_RPM};
    const snub_wanted_state wanted = request->has_case ? request->wanted : asked;
    const bool there = snub_build_state(build, &wanted, &worker->arena, state, &why) == SNUB_OK;
    json_t *check = there ? snub_json_frame(build, state, &read->locale) : json_null();
    json_t *shape = serve_shape(build, there ? state : NULL, &request->measure, worker->units, &worker->arena);
    json_t *problem =
        there ? json_null()
              : serve_problem_tree(SERVE_NO_ANSWER, why.message, &(const snub_errors){.items = &why, .count = 1}, NULL,
                                   request->text, request->text_length);
    json_t *cautions = snub_json_cautions(snub_cautions_of(build), snub_cautions_advised(build, SNUB_ALL_AREAS));
    json_t *hardware = request->mount ? snub_json_hardware(build, &read->locale) : json_null();
    serve_answer_json(answer, json_pack("{s:o, s:o, s:o, s:o, s:o, s:s}", "check", check, "geometry", shape, "problem",
                                        problem, "cautions", cautions, "hardware", hardware, "units",
                                        build->drive->inches ? "us" : "metric"));
}
