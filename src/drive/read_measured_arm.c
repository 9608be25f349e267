/** The file of torques at a spring arm. */
#include <string.h>

#include "read.h"
#include "snub/measured.h"
#include "snub/units.h"

static const snub_key arm_error_keys[] = {{"torque", NULL, NULL}, {"angle", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key measured_arm_keys[] = {
    {"snub", NULL, NULL},    {"title", NULL, NULL},     {"units", NULL, NULL},
    {"free", NULL, NULL},    {"stop", NULL, NULL},      {"errors", arm_error_keys, NULL},
    {"winding", NULL, NULL}, {"releasing", NULL, NULL}, {NULL, NULL, NULL}};

/** Standard deviations where the file gives none: rules of thumb, no published source. A beam wrench of 100 N m is read
 * to half a division of 2; a protractor on an arm to half a degree. */
static const double USUAL_TORQUE_ERROR = 0.5, USUAL_ANGLE_ERROR = 0.5 * SNUB_DEG;
/** A reading may lie so far outside of free and stop: the protractor's error. */
static const double SLACK = 2.0 * SNUB_DEG;

/* ---- rows -------------------------------------------------------------------------------------------------------- */

static bool read_row(snub_reader *reader, const snub_node *row, double value[2])
{
    if (row->kind != SNUB_LIST || row->count != 2) {
        snub_read_wrong(reader, row, "[angle, torque]", "is not a row of two values");
        return false;
    }
    snub_enter_item(reader, 0);
    bool good = snub_read_value(reader, row->items[0], SNUB_Q_ANGLE, -360, 360, &value[0]);
    snub_leave(reader);
    snub_enter_item(reader, 1);
    good = snub_read_value(reader, row->items[1], SNUB_Q_TORQUE, 0.001, 2000, &value[1]) && good;
    snub_leave(reader);
    return good;
}

static void read_branch(snub_reader *reader, const snub_node *root, const char *key, int branch, snub_measured_arm *arm)
{
    const snub_node *list = snub_read_need(reader, root, key) != NULL
                                ? snub_read_list(reader, root, key, 2, SNUB_ARM_READINGS_MOST / 2)
                                : NULL;
    const double sense = arm->stop > arm->free ? 1.0 : -1.0;
    snub_enter(reader, key);
    for (int i = 0; list != NULL && i < list->count; i++) {
        double value[2];
        snub_enter_item(reader, i);
        if (read_row(reader, list->items[i], value)) {
            const double wind = sense * (value[0] - arm->free);
            if (wind < -SLACK || wind > fabs(arm->stop - arm->free) + SLACK)
                snub_read_wrong(reader, list->items[i], "an angle between `free` and `stop`",
                                "is outside of the travel");
            arm->lines[arm->count] = list->items[i]->place.line;
            arm->readings[arm->count++] = (snub_torque_reading){.wind = wind, .torque = value[1], .branch = branch};
        }
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void read_errors(snub_reader *reader, const snub_node *root, snub_measured_arm *arm)
{
    arm->torque_error = USUAL_TORQUE_ERROR;
    arm->angle_error = USUAL_ANGLE_ERROR;
    const snub_node *map = snub_read_map(reader, root, "errors", arm_error_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "errors");
    arm->torque_error_given = snub_read_number(reader, map, "torque", SNUB_Q_TORQUE, 0.001, 100, &arm->torque_error);
    arm->angle_error_given = snub_read_number(reader, map, "angle", SNUB_Q_ANGLE, 0, 10, &arm->angle_error);
    snub_leave(reader);
}

static void read_all(snub_reader *reader, const snub_node *root, snub_measured_arm *arm)
{
    static const char *const systems[] = {"metric", "us", NULL};
    int system = 0;
    if (!snub_read_keys(reader, root, measured_arm_keys, NULL))
        return;
    snub_read_format(reader, root);
    snub_read_text(reader, root, "title", 120, &arm->title);
    snub_read_choice(reader, root, "units", systems, &system);
    read_errors(reader, root, arm);
    const bool ends =
        (snub_read_need(reader, root, "free") != NULL) + (snub_read_need(reader, root, "stop") != NULL) == 2;
    if (!ends || !snub_read_number(reader, root, "free", SNUB_Q_ANGLE, -360, 360, &arm->free) ||
        !snub_read_number(reader, root, "stop", SNUB_Q_ANGLE, -360, 360, &arm->stop))
        return;
    const double travel = fabs(arm->stop - arm->free);
    if (!(travel >= 1.0 * SNUB_DEG && travel <= SNUB_PI))
        snub_read_wrong_key(reader, root, "stop", "1 to 180 deg from `free`", "gives a travel of %.4g deg",
                            travel / SNUB_DEG);
    read_branch(reader, root, "winding", 1, arm);
    read_branch(reader, root, "releasing", -1, arm);
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < arm->count; i++) {
        low = fmin(low, arm->readings[i].wind);
        high = fmax(high, arm->readings[i].wind);
    }
    if (arm->count > 0 && !(high - low >= 1.0 * SNUB_DEG))
        snub_read_wrong_key(reader, root, "winding", "readings over the arm's travel", "are all at one arm angle");
}

snub_status snub_measured_arm_read(snub_units *units, snub_arena *arena, snub_measured_arm *arm, snub_errors *errors)
{
    const snub_document document = arm->document;
    *arm = (snub_measured_arm){.document = document, .title = ""};
    arm->readings = SNUB_NEW(arena, snub_torque_reading, SNUB_ARM_READINGS_MOST);
    arm->lines = SNUB_NEW(arena, int, SNUB_ARM_READINGS_MOST);
    if (arm->readings == NULL || arm->lines == NULL)
        return snub_fail(NULL, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &arm->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, document.root, arm);
    return snub_read_end(&reader, first);
}
