/* The belt for a wished arm angle, for people and for programs. */
#include <math.h>
#include <stdio.h>

#include "json_words.h"
#include "table.h"
#include "words.h"

static snub_cell degrees(double angle)
{
    return snub_cell_number(angle / SNUB_DEG, SNUB_MARK_NONE);
}

static snub_status add_table(const snub_reach *reach, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"belt", "", SNUB_CELL_TEXT, 0},
        {"arm, stopped", "deg", SNUB_CELL_NUMBER, 1},
        {"arm, redline", "deg", SNUB_CELL_NUMBER, 1},
        {"room left", "deg", SNUB_CELL_NUMBER, 1},
        {"tension, stopped", "N", SNUB_CELL_NUMBER, 0},
        {"grip, worst", "used", SNUB_CELL_NUMBER, 2},
        {"verdict", "", SNUB_CELL_LEVEL, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_REACH_MOST * COLUMNS], *cell = cells;
    for (int i = 0; i < reach->count; i++) {
        const snub_reach_belt *belt = &reach->belts[i];
        *cell++ = snub_cell_text(belt->designation);
        *cell++ = degrees(belt->wind_rest);
        *cell++ = degrees(belt->wind_redline);
        *cell++ = degrees(belt->room);
        *cell++ = snub_cell_number(belt->tension, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(belt->grip, SNUB_MARK_NONE);
        *cell++ = snub_cell_level(snub_mark_of(belt->verdict));
    }
    const snub_data_table table = {
        .name = "belts", .column_count = COLUMNS, .columns = columns, .row_count = reach->count, .cells = cells};
    return snub_table_show(&table, look, out, error);
}

static void add_wish(const snub_build *build, const snub_reach *reach, const snub_look *look, snub_text *words)
{
    char designation[32];
    if (isnan(reach->length)) {
        snub_text_printf(
            words,
            "No belt holds the arm at %.1f deg from free: a pulley has lost the belt there, or the arm takes "
            "up none.",
            reach->wind / SNUB_DEG);
        return;
    }
    snub_designation(&build->drive->belt, reach->length, designation);
    snub_text_printf(words, "%.1f deg from free with the engine stopped takes %s, effective length %s.",
                     reach->wind / SNUB_DEG, designation, SNUB_SHOWN(look, reach->length, SNUB_UNIT_MM, 1));
    if (reach->nearest < 0) {
        snub_text_puts(words, " No belt on offer keeps the arm within its travel.");
        return;
    }
    const snub_reach_belt *nearest = &reach->belts[reach->nearest];
    snub_text_printf(words, " Nearest on offer: %s", nearest->designation);
    if (isfinite(nearest->wind_rest))
        snub_text_printf(words, ", with the arm at %.1f deg", nearest->wind_rest / SNUB_DEG);
    snub_text_puts(words, ".");
}

snub_status snub_text_reach(const snub_build *build, const snub_reach *reach, const snub_look *look, snub_text *out,
                            snub_error *error)
{
    static const char head[] = "arm wished ";
    snub_text words = {0};
    add_wish(build, reach, look, &words);
    snub_text_printf(out, "\n%s", head);
    snub_wrap(words.data != NULL ? words.data : "", (int)sizeof head - 1, (int)sizeof head - 1, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
    if (reach->count == 0)
        return SNUB_OK;
    snub_text_puts(out, "\n");
    const snub_status status = add_table(reach, look, out, error);
    snub_text_puts(out, "\n");
    snub_wrap(
        "Room left is the arm's least way to an end of its travel over all cases; the verdict is for the complete "
        "build with that belt, at the slot settings above.",
        0, 0, look->width, out);
    return status;
}

static json_t *belt_of(const snub_reach_belt *belt)
{
    json_t *object = json_object();
    snub_json_put(object, "designation", snub_json_words(belt->designation));
    snub_json_put(object, "belt_length_mm", snub_json_number(belt->length / SNUB_MM));
    snub_json_put(object, "arm_wind_deg", snub_json_pair(belt->wind_rest / SNUB_DEG, belt->wind_redline / SNUB_DEG));
    snub_json_put(object, "room_deg", snub_json_number(belt->room / SNUB_DEG));
    snub_json_put(object, "tension_stopped_N", snub_json_number(belt->tension));
    snub_json_put(object, "grip_used", snub_json_number(belt->grip));
    snub_json_put(object, "verdict", snub_json_words(snub_level_text(belt->verdict)));
    return object;
}

json_t *snub_json_reach(const snub_reach *reach)
{
    json_t *object = json_object(), *belts = json_array();
    snub_json_put(object, "wind_deg", snub_json_number(reach->wind / SNUB_DEG));
    snub_json_put(object, "belt_length_mm", snub_json_number(reach->length / SNUB_MM));
    snub_json_put(object, "nearest",
                  reach->nearest >= 0 ? snub_json_words(reach->belts[reach->nearest].designation) : json_null());
    for (int i = 0; i < reach->count; i++)
        snub_json_append(belts, belt_of(&reach->belts[i]));
    snub_json_put(object, "belts", belts);
    return snub_json_whole(object);
}
