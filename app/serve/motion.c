/* The drive in motion for the page: what `snub motion --json` says, and beside it what is drawn. */
#include "motion.h"

#include <math.h>

#include "reading.h"
#include "shape.h"
#include "snub/flapping.h"
#include "snub/json.h"

/* A number for a curve, to six digits: a run has half a million of them. */
static json_t *drawn_number(double value)
{
    enum { DIGITS = 6 };
    if (value == 0.0 || !isfinite(value))
        return snub_json_number(value);
    const double scale = pow(10.0, DIGITS - 1 - floor(log10(fabs(value))));
    return snub_json_number(round(value * scale) / scale);
}

/* Where the belt runs over the arm's travel. */
static json_t *places(const snub_build *build)
{
    const snub_drive *drive = build->drive;
    json_t *list = json_array();
    for (int k = 0; drive->arm >= 0 && k <= SERVE_MOTION_PLACES; k++) {
        const double wind = drive->pulleys[drive->arm].arm.travel * k / SERVE_MOTION_PLACES;
        snub_path path;
        if (snub_drive_lay(drive, wind, build->settings, &path, NULL) != SNUB_OK)
            continue;
        snub_json_append(list, json_pack("{s:o, s:o, s:o}", "wind_deg", snub_json_number(wind / SNUB_DEG), "at_mm",
                                         serve_point(path.centre[drive->arm]), "path", serve_path_shape(&path)));
    }
    return list;
}

/* ---- over the speeds --------------------------------------------------------------------------------------------- */

static json_t *map_of(const snub_build *build, const serve_motion_request *wanted, const snub_locale *locale,
                      snub_arena *arena, snub_error *error)
{
    snub_vibration *vibration = SNUB_NEW(arena, snub_vibration, 1);
    snub_flapping *flapping = SNUB_NEW(arena, snub_flapping, 1);
    const snub_vibration_request *request = &wanted->vibration;
    snub_status status =
        vibration && flapping ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!status)
        status = snub_vibration_run(build, request, arena, vibration, error);
    if (!status)
        status = snub_flapping_find(build, &(snub_flapping_request){.speed = request->speed, .way = request->way},
                                    arena, flapping, error);
    if (status)
        return NULL;
    vibration->flapping = flapping;
    return snub_json_vibration(vibration, locale);
}

/* ---- in time ----------------------------------------------------------------------------------------------------- */

typedef struct telling {
    const serve_progress *progress;
    int told; /* hundredths of a second of the engine; -1: none */
} telling;

static bool tell(double time, double length, void *context)
{
    enum { A_SECOND = 100 };
    telling *t = context;
    const int now = (int)(A_SECOND * time);
    if (now == t->told)
        return true;
    t->told = now;
    return t->progress->going(t->progress->context, now, (int)(A_SECOND * length));
}

typedef double (*of_sample)(const snub_run_sample *sample, int i);
static double time_of(const snub_run_sample *sample, int i)
{
    (void)i;
    return sample->time;
}
static double engine_of(const snub_run_sample *sample, int i)
{
    (void)i;
    return sample->engine / SNUB_RPM;
}
static double crank_of(const snub_run_sample *sample, int i)
{
    (void)i;
    return sample->crank / SNUB_RPM;
}
static double wind_of(const snub_run_sample *sample, int i)
{
    (void)i;
    return sample->wind / SNUB_DEG;
}
static double tension_of(const snub_run_sample *sample, int i)
{
    return sample->tension[i];
}
static double low_of(const snub_run_sample *sample, int i)
{
    return sample->low[i];
}
static double high_of(const snub_run_sample *sample, int i)
{
    return sample->high[i];
}
static double speed_of(const snub_run_sample *sample, int i)
{
    return sample->speed[i] / SNUB_RPM;
}
static double slip_of(const snub_run_sample *sample, int i)
{
    return sample->slip[i];
}

/* One number of each row. A row stands for `each` samples: the last of them, or the least or greatest of all.
 *  @param[in] sign  -1: the least; 1: the greatest; 0: the last */
static json_t *column(const snub_run_result *run, int each, of_sample of, int i, int sign)
{
    json_t *list = json_array();
    for (int k = 0; k < run->sample_count; k += each) {
        const int last = k + each <= run->sample_count ? k + each - 1 : run->sample_count - 1;
        double value = of(&run->samples[last], i);
        for (int m = k; sign != 0 && m < last; m++)
            value = sign < 0 ? fmin(value, of(&run->samples[m], i)) : fmax(value, of(&run->samples[m], i));
        snub_json_append(list, drawn_number(value));
    }
    return list;
}

/* Has the span carried no more than what turns the running belt around, since the sample before? */
static bool is_loose(const snub_drive *drive, const snub_run_sample *sample, int span)
{
    static const double NOTHING = 1e-6; /* N: rounding */
    const double speed = sample->engine * drive->pulleys[drive->crank].pitch_radius;
    return sample->low[span] <= drive->belt.mass * speed * speed + NOTHING;
}

/* 1 in the rows in which a span hangs loose, else 0. */
static json_t *loose_column(const snub_scenario_run *run, int each, int span)
{
    const snub_run_result *r = &run->result;
    json_t *list = json_array();
    for (int k = 0; k < r->sample_count; k += each) {
        bool loose = false;
        for (int m = k; m < k + each && m < r->sample_count; m++)
            loose = loose || is_loose(run->drive, &r->samples[m], span);
        snub_json_append(list, json_integer(loose));
    }
    return list;
}

static json_t *columns_of(const snub_scenario_run *run)
{
    const snub_run_result *r = &run->result;
    const int n = run->drive->pulley_count, each = (r->sample_count - 1) / SERVE_MOTION_ROWS_MOST + 1;
    json_t *spans = json_array(), *pulleys = json_array();
    for (int i = 0; i < n; i++) {
        snub_json_append(spans, json_pack("{s:o, s:o, s:o, s:o}", "loose", loose_column(run, each, i), "tension_N",
                                          column(r, each, tension_of, i, 0), "low_N", column(r, each, low_of, i, -1),
                                          "high_N", column(r, each, high_of, i, 1)));
        snub_json_append(pulleys, json_pack("{s:o, s:o}", "rpm", column(r, each, speed_of, i, 0), "slip_m_s",
                                            column(r, each, slip_of, i, 0)));
    }
    return json_pack("{s:o, s:o, s:o, s:o, s:o, s:o}", "time_s", column(r, each, time_of, 0, 0), "engine_rpm",
                     column(r, each, engine_of, 0, 0), "crank_rpm", column(r, each, crank_of, 0, 0), "arm_deg",
                     column(r, each, wind_of, 0, 0), "spans", spans, "pulleys", pulleys);
}

/* @param[out] columns  of its rows; null where it could not start */
static json_t *run_of(const snub_build *build, const serve_motion_request *wanted, const serve_progress *progress,
                      const snub_locale *locale, snub_arena *arena, json_t **columns, snub_error *error)
{
    telling t = {progress, -1};
    snub_scenario_request request = wanted->scenario;
    snub_scenario_run *run = SNUB_NEW(arena, snub_scenario_run, 1);
    request.progress = tell;
    request.context = &t;
    if (!run) {
        snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        return NULL;
    }
    if (snub_scenario_run_make(build, &request, arena, run, error) != SNUB_OK)
        return NULL;
    if (run->started)
        *columns = columns_of(run);
    return snub_json_scenario(run, locale);
}

void serve_motion(serve_worker *worker, const serve_request *request, const serve_motion_request *wanted,
                  const serve_progress *progress, serve_answer *answer)
{
    snub_build *build = SNUB_NEW(&worker->arena, snub_build, 1);
    snub_error error = {0};
    if (!build) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return;
    }
    const serve_reading *read = serve_read_build(worker, request, false, build, answer);
    if (!read)
        return;
    json_t *columns = NULL;
    json_t *motion = wanted->runs ? run_of(build, wanted, progress, &read->locale, &worker->arena, &columns, &error)
                                  : map_of(build, wanted, &read->locale, &worker->arena, &error);
    if (motion)
        serve_answer_json(answer, json_pack("{s:o, s:o, s:o}", "motion", motion, "columns",
                                            columns ? columns : json_null(), "places", places(build)));
    else
        serve_answer_error(answer, error.code == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_NO_ANSWER, &error,
                           request->text, request->text_length);
}
