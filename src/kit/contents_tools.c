/* The tools that a build's bolts and reworks need. */
#include "contents_tools.h"

#include <stdlib.h>
#include <string.h>

const char *snub_tool_kind_text(snub_tool_kind kind)
{
    static const char *const words[SNUB_TOOL_KINDS] = {"spanner", "hex key", "torque wrench", "drill",
                                                       "reamer",  "tap",     "oil",           "anti-seize"};
    return kind < SNUB_TOOL_KINDS ? words[kind] : "";
}

/* Widths across flats. Metric: hexagon heads ISO 272 (as ISO 4014 and 4017 take them), socket heads ISO 4762. Inch:
 * ASME B18.2.1 and ASME B18.3. All from memory. 0: the standard has no such size. */
static const struct flats {
    double diameter, hexagon, socket;
    bool inch;
} flats[] = {
    {4 * SNUB_MM, 7 * SNUB_MM, 3 * SNUB_MM, false},
    {5 * SNUB_MM, 8 * SNUB_MM, 4 * SNUB_MM, false},
    {6 * SNUB_MM, 10 * SNUB_MM, 5 * SNUB_MM, false},
    {7 * SNUB_MM, 11 * SNUB_MM, 0, false},
    {8 * SNUB_MM, 13 * SNUB_MM, 6 * SNUB_MM, false},
    {10 * SNUB_MM, 16 * SNUB_MM, 8 * SNUB_MM, false},
    {12 * SNUB_MM, 18 * SNUB_MM, 10 * SNUB_MM, false},
    {14 * SNUB_MM, 21 * SNUB_MM, 12 * SNUB_MM, false},
    {16 * SNUB_MM, 24 * SNUB_MM, 14 * SNUB_MM, false},
    {18 * SNUB_MM, 27 * SNUB_MM, 0, false},
    {20 * SNUB_MM, 30 * SNUB_MM, 17 * SNUB_MM, false},
    {22 * SNUB_MM, 34 * SNUB_MM, 0, false},
    {24 * SNUB_MM, 36 * SNUB_MM, 19 * SNUB_MM, false},
    {30 * SNUB_MM, 46 * SNUB_MM, 22 * SNUB_MM, false},
    {36 * SNUB_MM, 55 * SNUB_MM, 27 * SNUB_MM, false},
    {0.25 * SNUB_INCH, 0.4375 * SNUB_INCH, 0.1875 * SNUB_INCH, true},
    {0.3125 * SNUB_INCH, 0.5 * SNUB_INCH, 0.25 * SNUB_INCH, true},
    {0.375 * SNUB_INCH, 0.5625 * SNUB_INCH, 0.3125 * SNUB_INCH, true},
    {0.4375 * SNUB_INCH, 0.625 * SNUB_INCH, 0.375 * SNUB_INCH, true},
    {0.5 * SNUB_INCH, 0.75 * SNUB_INCH, 0.375 * SNUB_INCH, true},
    {0.625 * SNUB_INCH, 0.9375 * SNUB_INCH, 0.5 * SNUB_INCH, true},
    {0.75 * SNUB_INCH, 1.125 * SNUB_INCH, 0.625 * SNUB_INCH, true},
};
/** Sizes are the same within this, m: 5/16 in and 8 mm are 0.06 mm apart. */
#define SAME_SIZE 1e-6

/** A torque wrench holds its accuracy from a fifth of its scale to the end of it: ISO 6789, from memory. */
#define WRENCH_SPAN 5.0

static bool same_size(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) < SAME_SIZE;
}

static snub_tool *find(snub_tool_box *box, snub_tool_kind kind, double size, bool inch)
{
    for (int i = 0; i < box->count; i++) {
        snub_tool *t = &box->tools[i];
        if (t->kind == kind && t->inch == inch && same_size(t->size, size))
            return t;
    }
    if (box->count == box->room) {
        const int room = 2 * box->room + 16;
        snub_tool *more = SNUB_NEW(box->arena, snub_tool, room);
        if (more == NULL) {
            box->failed = true;
            return NULL;
        }
        if (box->count > 0)
            memcpy(more, box->tools, (size_t)box->count * sizeof *more);
        box->tools = more;
        box->room = room;
    }
    snub_tool *t = &box->tools[box->count++];
    *t = (snub_tool){.kind = kind, .size = size, .inch = inch, .low = NAN, .high = NAN};
    return t;
}

static void use(snub_tool_box *box, snub_tool_kind kind, double size, bool inch, const char *thread, int bolts)
{
    snub_tool *t = find(box, kind, size, inch);
    if (t == NULL)
        return;
    t->bolts += bolts;
    for (int i = 0; thread != NULL && i < t->thread_count; i++) {
        if (strcmp(t->threads[i], thread) == 0)
            return;
    }
    if (thread == NULL || t->thread_count == SNUB_TOOL_THREADS_MOST)
        return;
    const char *copy = snub_copy_text(box->arena, thread);
    box->failed = box->failed || copy == NULL;
    if (copy != NULL)
        t->threads[t->thread_count++] = copy;
}

static void note_torque(snub_tool_box *box, double torque, double last)
{
    if (!(torque > 0.0) || !isfinite(torque))
        return;
    if (box->torque_count == box->torque_room) {
        const int room = 2 * box->torque_room + 32;
        snub_tool_torque *more = SNUB_NEW(box->arena, snub_tool_torque, room);
        if (more == NULL) {
            box->failed = true;
            return;
        }
        if (box->torque_count > 0)
            memcpy(more, box->torques, (size_t)box->torque_count * sizeof *more);
        box->torques = more;
        box->torque_room = room;
    }
    box->torques[box->torque_count++] = (snub_tool_torque){torque, last};
}

void snub_tools_bolt(snub_tool_box *box, const snub_bolt *bolt, double torque, int count)
{
    const struct flats *of = NULL;
    for (size_t i = 0; i < sizeof flats / sizeof flats[0]; i++) {
        if (fabs(bolt->diameter - flats[i].diameter) < SAME_SIZE)
            of = &flats[i];
    }
    use(box, SNUB_TOOL_SPANNER, of != NULL ? of->hexagon : NAN, of != NULL && of->inch, bolt->thread, count);
    if (of != NULL && of->socket > 0.0)
        use(box, SNUB_TOOL_HEX_KEY, of->socket, of->inch, bolt->thread, count);
    if (bolt->condition != NULL && strcmp(bolt->condition, "oiled") == 0)
        use(box, SNUB_TOOL_OIL, NAN, false, NULL, count);
    if (bolt->condition != NULL && strcmp(bolt->condition, "anti-seize") == 0)
        use(box, SNUB_TOOL_ANTI_SEIZE, NAN, false, NULL, count);
    note_torque(box, torque, torque);
}

void snub_tools_first_round(snub_tool_box *box, double torque)
{
    note_torque(box, 0.5 * torque, torque);
}

void snub_tools_rework(snub_tool_box *box, const snub_rework *rework)
{
    if (!rework->given)
        return;
    if (rework->drill > 0.0)
        use(box, SNUB_TOOL_DRILL, rework->drill, false, NULL, 0);
    if (rework->ream > 0.0)
        use(box, SNUB_TOOL_REAMER, rework->ream, false, NULL, 0);
    if (rework->tap == NULL)
        return;
    use(box, SNUB_TOOL_DRILL, snub_tapping_hole(rework->tap_size, rework->tap_pitch), false, rework->tap, 0);
    use(box, SNUB_TOOL_TAP, rework->tap_size, rework->tap[0] != 'M', rework->tap, 0);
}

static int by_torque(const void *a, const void *b)
{
    const double x = ((const snub_tool_torque *)a)->torque, y = ((const snub_tool_torque *)b)->torque;
    return (x > y) - (x < y);
}

static int by_kind(const void *a, const void *b)
{
    const snub_tool *x = a, *y = b;
    if (x->kind != y->kind)
        return (int)x->kind - (int)y->kind;
    const double p = x->kind == SNUB_TOOL_TORQUE_WRENCH ? x->high : x->size;
    const double q = x->kind == SNUB_TOOL_TORQUE_WRENCH ? y->high : y->size;
    if (isnan(p) || isnan(q))
        return (int)isnan(p) - (int)isnan(q);
    return (p > q) - (p < q);
}

void snub_tools_end(snub_tool_box *box)
{
    int top = box->torque_count - 1;
    if (box->torque_count > 0)
        qsort(box->torques, (size_t)box->torque_count, sizeof *box->torques, by_torque);
    while (top >= 0) {
        const double high = box->torques[top].torque;
        int low = top, bolts = 1;
        for (; low > 0 && box->torques[low - 1].torque >= high / WRENCH_SPAN * (1.0 - 1e-9); low--) {
            const snub_tool_torque *t = &box->torques[low - 1];
            bolts += t->torque == t->last || t->last > high; /* a bolt of two rounds is one bolt */
        }
        snub_tool *wrench = find(box, SNUB_TOOL_TORQUE_WRENCH, high, false); /* by its top: each its own */
        if (wrench == NULL)
            return;
        wrench->size = NAN;
        wrench->low = box->torques[low].torque;
        wrench->high = high;
        wrench->bolts = bolts;
        top = low - 1;
    }
    if (box->count > 0)
        qsort(box->tools, (size_t)box->count, sizeof *box->tools, by_kind);
}
