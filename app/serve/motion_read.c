/* A request about motion. */
#include <math.h>
#include <string.h>

#include "motion.h"
#include "request.h"
#include "snub/json.h"

static const double HELD = 2.0, SAMPLE = 1e-3, SAMPLE_LEAST = 1e-4,
                    SAMPLE_MOST = 1.0; /* s, as `snub motion` has them */

static snub_status read_run(const json_t *object, snub_scenario_request *request, snub_error *error)
{
    const char *name = json_string_value(json_object_get(object, "run"));
    const json_t *even = json_object_get(object, "even");
    double rpm = NAN;
    int which = 0;
    *request = (snub_scenario_request){.length = HELD, .sample = SAMPLE, .even = json_is_true(even)};
    while (name && which < SNUB_SCENARIOS_ && strcmp(name, snub_scenario_name((snub_scenario)which)) != 0)
        which++;
    if (!name || which == SNUB_SCENARIOS_)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "run", "must be pull, shift, lift, blip, launch or hold");
    if (even && !json_is_boolean(even))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "even", "needs true or false");
    request->scenario = (snub_scenario)which;
    if (which != SNUB_SCENARIO_HOLD && (json_object_get(object, "rpm") || json_object_get(object, "seconds")))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "run",
                         "rpm and seconds go with hold; the other runs have speeds and an end of their own");
    snub_status status = serve_number_read(object, "rpm", 1, SERVE_SPEED_MOST, &rpm, error);
    if (!status)
        status = serve_number_read(object, "seconds", SAMPLE_LEAST, SERVE_MOTION_SECONDS_MOST, &request->length, error);
    if (!status)
        status = serve_number_read(object, "every", SAMPLE_LEAST, SAMPLE_MOST, &request->sample, error);
    request->speed = rpm * SNUB_RPM;
    return status;
}

static snub_status read_map(const json_t *object, snub_vibration_request *request, snub_error *error)
{
    static const char *const cases[] = {"steady", "closed-throttle"};
    const json_t *way = json_object_get(object, "case");
    const char *word = json_string_value(way);
    double speeds = SERVE_MOTION_SPEEDS;
    *request = (snub_vibration_request){.speed = NAN, .way = SNUB_STEADY};
    if (way && (!word || (strcmp(word, cases[0]) != 0 && strcmp(word, cases[1]) != 0)))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "case", "must be steady or closed-throttle");
    if (word && strcmp(word, cases[1]) == 0)
        request->way = SNUB_SHUT;
    const snub_status status = serve_number_read(object, "speeds", 2, SNUB_VIBRATION_SPEEDS_MOST, &speeds, error);
    request->speeds = (int)speeds;
    return status;
}

static snub_status check_keys(const json_t *object, bool runs, snub_error *error)
{
    static const char *const of_run[] = {"run", "rpm", "seconds", "even", "every", NULL};
    static const char *const of_map[] = {"case", "speeds", NULL};
    const char *key;
    json_t *value;
    if (!json_is_object(object))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "motion", "is missing, or no JSON object");
    json_object_foreach((json_t *)(size_t)object, key, value)
    {
        const char *const *known = runs ? of_run : of_map;
        while (*known && strcmp(*known, key) != 0)
            known++;
        if (!*known)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, key,
                             runs ? "does not go with a run" : "unknown key, or one of a run");
    }
    return SNUB_OK;
}

snub_status serve_motion_read(const char *body, size_t length, serve_motion_request *wanted, snub_error *error)
{
    json_t *root = json_loadb(body ? body : "", length, JSON_REJECT_DUPLICATES, NULL);
    const json_t *object = json_object_get(root, "motion");
    *wanted = (serve_motion_request){.runs = json_object_get(object, "run") != NULL};
    snub_status status = check_keys(object, wanted->runs, error);
    if (!status)
        status =
            wanted->runs ? read_run(object, &wanted->scenario, error) : read_map(object, &wanted->vibration, error);
    json_decref(root);
    return status;
}
