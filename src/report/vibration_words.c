/* Names of what moves. */
#include "words.h"

void snub_mover_words(const snub_vibration *v, int mover, snub_text *out)
{
    const bool arm = mover == v->drive->pulley_count; /* no name of a pulley has a dot */
    snub_text_printf(out, "%s%s", v->drive->pulleys[arm ? v->drive->arm : mover].name, arm ? ".arm" : "");
}

bool snub_swings_slack(const snub_vibration *v, const snub_vibration_point *point, int order, int span)
{
    const double flux = v->drive->belt.mass * point->belt_speed * point->belt_speed;
    return point->response[order].tension[span] > point->span[span].tension - flux;
}
