/** The spring arm of a pulley, its numbers given or fitted to readings of a torque wrench. */
#include <string.h>

#include "sections.h"

static const snub_key branch_keys[] = {
    {"up", NULL,
     SNUB_MEANS(
         "Readings while the arm is wound against its spring: rows of angle from the free position and torque.")},
    {"down", NULL, SNUB_MEANS("Readings while the arm is let back: rows of angle from the free position and torque.")},
    {NULL, NULL, NULL},
};
const snub_key snub_arm_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a tensioner in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"pivot", NULL, SNUB_MEANS("Centre of the bolt or bush that the arm swings about, in the front view.")},
    {"length", NULL, SNUB_MEANS("Centre distance from the arm's pivot to its pulley. Measure it on the tensioner.")},
    {"free", NULL,
     SNUB_MEANS("Direction from pivot to pulley centre with no belt on and the spring against its own stop, "
                "counter-clockwise from right.")},
    {"loads", NULL, SNUB_MEANS("Sense in which the arm must be turned to wind up its spring, seen from the front.")},
    {"travel", NULL, SNUB_MEANS("Angle that the arm can turn from the free position to its far stop.")},
    {"preload", NULL,
     SNUB_MEANS("Spring torque at the pivot with the arm in its free position. Read it with a torque wrench as the arm "
                "lifts off.")},
    {"rate", NULL,
     SNUB_MEANS("Spring torque gained for each degree that the arm is wound. Two torque readings over the angle "
                "between them.")},
    {"damping", NULL,
     SNUB_MEANS("Friction of the pivot over the spring torque: half the gap between winding up and letting down, over "
                "their middle.")},
    {"work", NULL,
     SNUB_MEANS("Angles from the free position between which you want the arm to work, new belt to worn.")},
    {"inertia", NULL, SNUB_MEANS("Moment of inertia of arm and pulley about the pivot, with the pulley's mass in it.")},
    {"readings", branch_keys,
     SNUB_MEANS(
         "Torque readings of the tensioner, from which preload, rate and damping are fitted. Used in their place.")},
    {NULL, NULL, NULL},
};

enum { READINGS_MOST = 1000, FIT_STEPS_MOST = 1000 };
/** Change of the damping at which the fit has settled, of 1. */
#define FIT_TOLERANCE 1e-12
/** A reading may lie so far outside of the arm's travel, deg: the protractor's error. */
#define READING_SLACK 2

/* ---- the fit ----------------------------------------------------------------------------------------------------- */

/** Least squares of torque = (preload + rate wind) f, f = 1 + branch damping, for preload and rate: the normal
 *  equations of two unknowns, taken about the mean wind so that they are well conditioned. */
static bool fit_line(const snub_arm_reading *readings, int count, double damping, double *preload, double *rate)
{
    double ff = 0, fw = 0, ww = 0, fm = 0, wm = 0, mean = 0;
    for (int i = 0; i < count; i++)
        mean += readings[i].wind / count;
    for (int i = 0; i < count; i++) {
        double f = 1 + readings[i].branch * damping, w = f * (readings[i].wind - mean);
        ff += f * f;
        fw += f * w;
        ww += w * w;
        fm += f * readings[i].torque;
        wm += w * readings[i].torque;
    }
    double determinant = ff * ww - fw * fw;
    if (!(determinant > 1e-12 * ff * ff))
        return false;
    *rate = (ff * wm - fw * fm) / determinant;
    *preload = (fm * ww - fw * wm) / determinant - *rate * mean;
    return true;
}

/** The damping that suits a line best: the model is linear in it. */
static double fit_damping(const snub_arm_reading *readings, int count, double preload, double rate)
{
    double gm = 0, gg = 0;
    for (int i = 0; i < count; i++) {
        double g = preload + rate * readings[i].wind, s = readings[i].branch;
        gm += s * g * (readings[i].torque - g);
        gg += s * s * g * g;
    }
    return gg > 0 ? gm / gg : 0;
}

static double residual(const snub_arm_reading *readings, int count, const snub_arm *arm)
{
    double sum = 0;
    for (int i = 0; i < count; i++) {
        double model = (arm->preload + arm->rate * readings[i].wind) * (1 + readings[i].branch * arm->damping);
        sum += (readings[i].torque - model) * (readings[i].torque - model);
    }
    return sqrt(sum / count);
}

/* The model is linear in (preload, rate) and linear in the damping: solve for one, then the other, until the damping
 * rests. Each step lowers the sum of squares; for a band of friction up to half the moment it shrinks the error more
 * than fourfold. */
snub_status snub_arm_from_readings(const snub_arm_reading *readings, int count, double damping_known, snub_arm *arm)
{
    snub_arm fitted = *arm;
    bool fit = isnan(damping_known), settled = !fit;
    fitted.damping = fit ? 0 : damping_known;
    if (count < 2 || !fit_line(readings, count, fitted.damping, &fitted.preload, &fitted.rate))
        return SNUB_BAD_INPUT;
    for (int step = 0; step < FIT_STEPS_MOST && !settled; step++) {
        double before = fitted.damping;
        fitted.damping = fit_damping(readings, count, fitted.preload, fitted.rate);
        if (!fit_line(readings, count, fitted.damping, &fitted.preload, &fitted.rate))
            return SNUB_BAD_INPUT;
        settled = fabs(fitted.damping - before) < FIT_TOLERANCE;
    }
    if (!settled)
        return SNUB_NO_CONVERGENCE;
    arm->preload = fitted.preload;
    arm->rate = fitted.rate;
    arm->damping = fitted.damping;
    arm->readings_residual = residual(readings, count, &fitted);
    arm->from_readings = true;
    return SNUB_OK;
}

/* ---- readings ---------------------------------------------------------------------------------------------------- */

/** Rows of one branch, appended. */
static bool read_rows(snub_reader *reader, const snub_node *map, const char *key, double travel, int branch,
                      snub_arm_reading *out, int *count)
{
    const snub_node *list = snub_read_list(reader, map, key, 2, READINGS_MOST / 2);
    bool good = list != NULL;
    snub_enter(reader, key);
    for (int i = 0; list != NULL && i < list->count; i++) {
        const snub_node *row = list->items[i];
        snub_enter_item(reader, i);
        if (row->kind != SNUB_LIST || row->count != 2) {
            snub_read_wrong(reader, row, "[deg, N m]", "is not a row of two values");
            good = false;
        } else {
            snub_arm_reading *reading = &out[(*count)++];
            reading->branch = branch;
            snub_enter_item(reader, 0);
            good = snub_read_value(reader, row->items[0], SNUB_Q_ANGLE, -READING_SLACK, travel + READING_SLACK,
                                   &reading->wind) &&
                   good;
            snub_leave(reader);
            snub_enter_item(reader, 1);
            good = snub_read_value(reader, row->items[1], SNUB_Q_TORQUE, 0.001, 2000, &reading->torque) && good;
            snub_leave(reader);
        }
        snub_leave(reader);
    }
    snub_leave(reader);
    return good;
}

/** One list whose wind rises and then falls is two branches: up to the greatest wind, and back. */
static bool split_branches(snub_arm_reading *readings, int count)
{
    int top = 0;
    for (int i = 1; i < count; i++) {
        if (readings[i].wind > readings[top].wind)
            top = i;
    }
    if (top == count - 1 || top == 0)
        return false;
    for (int i = 0; i < count; i++)
        readings[i].branch = i <= top ? 1 : -1;
    return true;
}

static void fit(snub_reader *reader, const snub_node *map, const snub_arm_reading *readings, int count, bool both,
                snub_arm *arm)
{
    double damping = both ? (double)NAN : arm->damping;
    if (both && snub_read_find(map, "damping") != NULL)
        snub_read_wrong_key(reader, map, "damping", "readings or damping, not both", "is given together with readings");
    snub_status status = snub_arm_from_readings(readings, count, damping, arm);
    if (status == SNUB_BAD_INPUT)
        snub_read_wrong_key(reader, map, "readings", "readings at two or more arm angles", "are all at one arm angle");
    else if (status != SNUB_OK)
        snub_read_wrong_key(reader, map, "readings", NULL, "do not fit a spring with friction");
    else if (arm->preload < 0 || arm->rate < 0 || arm->damping < 0 || arm->damping > 0.95)
        snub_read_wrong_key(reader, map, "readings",
                            "torque that rises with the angle, and more of it loading than unloading",
                            "give a preload of %.4g N m, a rate of %.4g N m/deg and a damping of %.3g", arm->preload,
                            snub_quantity_to_bare(SNUB_Q_TORQUE_RATE, arm->rate), arm->damping);
}

static void read_readings(snub_reader *reader, const snub_node *map, double travel, snub_arm *arm)
{
    static const char *const replaced[] = {"preload", "rate"};
    const snub_node *node = snub_read_find(map, "readings");
    snub_arm_reading *readings = SNUB_NEW(reader->arena, snub_arm_reading, READINGS_MOST);
    int count = 0;
    bool good = false, both = false;
    if (readings == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    for (int i = 0; i < 2; i++) {
        if (snub_read_find(map, replaced[i]) != NULL)
            snub_read_wrong_key(reader, map, replaced[i], "readings or preload and rate, not both",
                                "is given together with readings");
    }
    if (node->kind == SNUB_MAP) {
        snub_read_map(reader, map, "readings", branch_keys);
        snub_enter(reader, "readings");
        bool up = snub_read_find(node, "up") != NULL, down = snub_read_find(node, "down") != NULL;
        good = !up || read_rows(reader, node, "up", travel, 1, readings, &count);
        good = (!down || read_rows(reader, node, "down", travel, -1, readings, &count)) && good;
        both = up && down;
        snub_leave(reader);
        if (!up && !down)
            snub_read_wrong_key(reader, map, "readings", "up, down or both", "has no readings");
        good = good && (up || down);
    } else {
        good = read_rows(reader, map, "readings", travel, 0, readings, &count);
        both = good && split_branches(readings, count);
    }
    if (good)
        fit(reader, map, readings, count, both, arm);
}

/* ---- the arm ----------------------------------------------------------------------------------------------------- */

/** Range of wind wished for; the middle eight tenths of the travel where the file does not say. */
static void read_work(snub_reader *reader, const snub_node *map, double travel, snub_arm *arm)
{
    arm->work[0] = 0.1 * arm->travel;
    arm->work[1] = 0.9 * arm->travel;
    if (snub_read_point(reader, map, "work", SNUB_Q_ANGLE, 0, travel, arm->work) && arm->work[0] >= arm->work[1])
        snub_read_wrong_key(reader, map, "work", "[smallest angle, largest angle]", "is not a rising range");
}

static void read_spring(snub_reader *reader, const snub_node *map, double travel, snub_arm *arm)
{
    bool good = true;
    snub_read_number(reader, map, "damping", SNUB_Q_NUMBER, 0, 0.95, &arm->damping);
    if (snub_read_find(map, "readings") != NULL) {
        read_readings(reader, map, travel, arm);
        return;
    }
    good = snub_read_need(reader, map, "preload") != NULL &&
           snub_read_number(reader, map, "preload", SNUB_Q_TORQUE, 0, 1000, &arm->preload);
    good = snub_read_need(reader, map, "rate") != NULL &&
           snub_read_number(reader, map, "rate", SNUB_Q_TORQUE_RATE, 0, 100, &arm->rate) && good;
    if (good && arm->preload + arm->rate * arm->travel <= 0)
        snub_read_wrong_key(reader, map, "rate", "a preload or a rate above zero", "leaves the arm without a spring");
}

/** A part's spring gives way to readings in the file, and a part's readings to a spring in the file. */
static const snub_node *drop_overruled(snub_reader *reader, const snub_node *own, const snub_node *merged)
{
    if (own == merged)
        return merged;
    bool readings = snub_read_find(own, "readings") != NULL;
    bool spring = snub_read_find(own, "preload") != NULL || snub_read_find(own, "rate") != NULL;
    snub_node *kept = SNUB_NEW(reader->arena, snub_node, 1);
    if (kept == NULL) {
        snub_read_no_memory(reader);
        return merged;
    }
    *kept = *merged;
    kept->count = 0;
    for (int i = 0; i < merged->count; i++) {
        const char *key = merged->keys[i]->text;
        bool part = merged->items[i]->from_part != NULL;
        bool of_spring = strcmp(key, "preload") == 0 || strcmp(key, "rate") == 0 || strcmp(key, "damping") == 0;
        if (part && ((readings && of_spring) || (spring && strcmp(key, "readings") == 0)))
            continue;
        /* merged is a fresh copy of the arena; its arrays are packed in place */
        kept->keys[kept->count] = merged->keys[i];
        kept->items[kept->count++] = merged->items[i];
    }
    return kept;
}

static void read_arm_map(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    static const char *const senses[] = {"cw", "ccw", NULL};
    snub_arm *arm = &pulley->arm;
    int sense = 0, before = reader->wrong;
    if (snub_read_need(reader, map, "pivot") != NULL)
        snub_read_point(reader, map, "pivot", SNUB_Q_LENGTH, -5000, 5000, arm->pivot);
    if (snub_read_need(reader, map, "length") != NULL)
        snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 5, 1000, &arm->length);
    if (snub_read_need(reader, map, "free") != NULL)
        snub_read_number(reader, map, "free", SNUB_Q_ANGLE, -360, 360, &arm->free);
    if (snub_read_need(reader, map, "loads") != NULL && snub_read_choice(reader, map, "loads", senses, &sense))
        arm->loads = sense == 0 ? -1 : 1;
    bool travels = snub_read_need(reader, map, "travel") != NULL &&
                   snub_read_number(reader, map, "travel", SNUB_Q_ANGLE, 1, 180, &arm->travel);
    double travel = travels ? snub_quantity_to_bare(SNUB_Q_ANGLE, arm->travel) : 180;
    read_spring(reader, map, travel, arm);
    read_work(reader, map, travel, arm);
    snub_read_number(reader, map, "inertia", SNUB_Q_INERTIA, 1e-7, 1, &arm->inertia);
    if (reader->wrong == before)
        snub_arm_point(arm, 0, pulley->at);
}

void snub_read_arm(snub_reader *reader, const snub_node *map, snub_pulley *pulley)
{
    const snub_node *node = snub_read_find(map, "arm");
    snub_read_apart(reader, map, "arm", SNUB_KEY_MAP, 0, 0);
    if (node == NULL)
        return;
    pulley->sits = SNUB_ON_ARM;
    pulley->arm.loads = -1;
    snub_enter(reader, "arm");
    if (node->kind == SNUB_MAP)
        node = drop_overruled(reader, node, snub_read_part(reader, "arm", node));
    if (snub_read_keys(reader, node, snub_arm_keys, NULL))
        read_arm_map(reader, node, pulley);
    snub_leave(reader);
}
