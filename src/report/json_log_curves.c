/* A log over time, as its plot has it: low and high of each stretch. */
#include <stddef.h>

#include "json_words.h"
#include "snub/trace_report.h"

static json_t *ends(const snub_log_answer *answer, size_t range, int end, double unit)
{
    json_t *values = json_array();
    for (int i = 0; i < answer->bin_count; i++) {
        const double *both = (const double *)(const void *)((const char *)&answer->bins[i] + range);
        snub_json_append(values, snub_json_number(both[end] / unit)); /* null where nothing came */
    }
    return values;
}

static json_t *times(const snub_log_answer *answer)
{
    json_t *values = json_array();
    for (int i = 0; i < answer->bin_count; i++)
        snub_json_append(values, snub_json_number(answer->bins[i].time));
    return values;
}

json_t *snub_json_log_curves(const snub_log_answer *answer)
{
    static const struct {
        const char *kind, *name, *unit;
        size_t range;
        double si;
    } shown[] = {{"speed", "engine", "rpm", offsetof(snub_log_bin, engine), SNUB_RPM},
                 {"speed", "blower", "rpm", offsetof(snub_log_bin, blower), SNUB_RPM},
                 {"speed", "blower without slip", "rpm", offsetof(snub_log_bin, expected), SNUB_RPM},
                 {"slip", "belt slip", "%", offsetof(snub_log_bin, slip), SNUB_PERCENT},
                 {"boost", "boost", "kPa", offsetof(snub_log_bin, boost), SNUB_KPA},
                 {"boost", "boost without slip, throttle open", "kPa", offsetof(snub_log_bin, model_boost), SNUB_KPA}};
    json_t *series = json_array();
    const int count = answer->rows->column[SNUB_LOG_BOOST].number > 0 ? 6 : 4;
    for (int i = 0; i < count; i++)
        snub_json_append(series, json_pack("{s:s, s:s, s:s, s:o, s:o}", "kind", shown[i].kind, "name", shown[i].name,
                                           "unit", shown[i].unit, "low", ends(answer, shown[i].range, 0, shown[i].si),
                                           "high", ends(answer, shown[i].range, 1, shown[i].si)));
    return snub_json_whole(json_pack("{s:o, s:o}", "time_s", times(answer), "series", series));
}
