/* Cord to back: written, or from a belt's outside circumference as a tape finds it. docs/theory/layout.md, eq. 7. */
#include "key_notes.h"
#include "sections.h"

const snub_key snub_outside_keys[] = {
    {"value", NULL,
     SNUB_MEANS(
         "Outside circumference of a belt of this make, measured with a tape around its back, belt pulled taut.")},
    {"length", NULL, SNUB_MEANS("Effective length printed on the belt that was measured.")},
    {NULL, NULL, NULL},
};

/** What the file may give, mm. Less than half a cord cannot lie over the cord's middle; but a belt's be may be less
 * than the standard's too, so that the least is what the shortest tape in print gives, 14 mm. */
#define BACK_LEAST 0.2
#define BACK_MOST 10.0

/** What of a map the file itself has, or a value laid over it; NULL where only a part of the catalogue has it. */
static const snub_node *own(const snub_node *map, const char *key)
{
    const snub_node *node = snub_read_find(map, key);
    return node != NULL && node->from_part == NULL ? node : NULL;
}

/** A plain number does not say which belt was measured. The `length` beside it need not be that belt's: it is what the
 *  drive is given next. */
static void refuse_plain(snub_reader *reader, const snub_node *map, const snub_node *node)
{
    const snub_node *length = snub_read_find(map, "length");
    const char *known = length != NULL && length->kind == SNUB_SCALAR ? length->text : "L";
    const bool scalar = node->kind == SNUB_SCALAR;
    snub_read_wrong_key(reader, map, "outside",
                        snub_format(reader->arena, "{value: %s, length: %s}, the effective length of that belt",
                                    scalar ? node->text : "C", known),
                        "does not say which belt was measured");
}

static bool read_pair(snub_reader *reader, const snub_node *node, double *outside, double *length)
{
    snub_enter(reader, "outside");
    bool good = snub_read_keys(reader, node, snub_outside_keys, NULL);
    good = snub_read_need(reader, node, "value") != NULL &&
           snub_read_number(reader, node, "value", SNUB_Q_LENGTH, 100, 21000, outside) && good;
    good = snub_read_need(reader, node, "length") != NULL &&
           snub_read_number(reader, node, "length", SNUB_Q_LENGTH, 100, 20000, length) && good;
    snub_leave(reader);
    return good;
}

/** back = outside/(2 pi) - effective/(2 pi) - be: on any loop the belt makes one turn in all. */
static void read_outside(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    const snub_node *node = snub_read_find(map, "outside");
    double outside = NAN, length = NAN;
    if (own(map, "back") != NULL)
        snub_read_wrong_key(reader, map, "outside", "one of the two, the other null: 'back' follows from 'outside'",
                            "is given together with 'back'");
    if (node->kind != SNUB_MAP) {
        refuse_plain(reader, map, node);
        return;
    }
    if (!read_pair(reader, node, &outside, &length))
        return;
    const double least = length + 2 * SNUB_PI * (belt->be + BACK_LEAST * SNUB_MM);
    const double most = length + 2 * SNUB_PI * (belt->be + BACK_MOST * SNUB_MM);
    const char *need =
        snub_format(reader->arena, "%.1f to %.1f mm; if the tape is right, 'be' is not %g mm",
                    ceil(least / SNUB_MM * 10) / 10, floor(most / SNUB_MM * 10) / 10, belt->be / SNUB_MM);
    const double back = (outside - length) / (2 * SNUB_PI) - belt->be;
    belt->back_from = SNUB_BACK_MEASURED;
    if (outside <= length)
        snub_read_wrong_key(reader, map, "outside", need, "is not more than the effective length, %g mm",
                            length / SNUB_MM);
    else if (outside < least || outside > most)
        snub_read_wrong_key(reader, map, "outside", need, "leaves %.2f mm from cord to back, beside 'be' of %g mm",
                            back / SNUB_MM, belt->be / SNUB_MM);
    else
        belt->back = back;
}

void snub_read_back(snub_reader *reader, const snub_node *map, double preset, snub_belt *belt)
{
    belt->back = preset;
    belt->back_from = SNUB_BACK_DEFAULT;
    snub_read_apart(reader, map, "outside", SNUB_KEY_MAP, 0, 0);
    if (snub_read_find(map, "outside") != NULL) {
        snub_note_key(reader, map, "back",
                      &(snub_file_key){.kind = SNUB_KEY_RANGED, .x = {"mm", BACK_LEAST, BACK_MOST}});
        read_outside(reader, map, belt);
        return;
    }
    snub_read_ranged(reader, map, "back", SNUB_Q_LENGTH, BACK_LEAST, BACK_MOST, &belt->back);
    if (snub_read_find(map, "back") != NULL) {
        belt->back_from = SNUB_BACK_WRITTEN;
    } else if (isnan(preset)) {
        snub_read_wrong_key(reader, map, "back", "its value from the belt's data sheet, or 'outside', measured",
                            "must be given: section %s has no default for it", belt->section);
    }
}
