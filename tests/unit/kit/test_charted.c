/* What a chart keeps of a build is what was judged: every build of an example made by itself, and compared. */
#include "snub/kit.h"

#include "support/drive_text.h"

static const char *const hardware = SNUB_SOURCE_DIR "/examples/ironbrook-v8.yaml";

static void same_text(const char *what, const char *a, const char *b)
{
    if ((a == NULL) != (b == NULL) || (a != NULL && strcmp(a, b) != 0))
        fail_msg("%s: kept \"%s\", judged \"%s\"", what, a != NULL ? a : "NULL", b != NULL ? b : "NULL");
}

static void same_number(const char *what, double a, double b)
{
    if (memcmp(&a, &b, sizeof a) != 0 && !(isnan(a) && isnan(b)))
        fail_msg("%s: kept %.17g, judged %.17g", what, a, b);
}

static void same_named(const snub_named *a, const snub_named *b)
{
    same_text("named", a->name, b->name);
    same_text("named text", a->text, b->text);
    same_number("named number", a->number, b->number);
    assert_int_equal(a->words, b->words);
    assert_int_equal(a->unit, b->unit);
    assert_int_equal(a->decimals, b->decimals);
    assert_int_equal(a->rounding, b->rounding);
}

static void same_condition(const snub_condition *a, const snub_condition *b)
{
    same_number("speed", a->speed, b->speed);
    same_text("peak", a->peak, b->peak);
    assert_int_equal(a->moment, b->moment);
    assert_int_equal(a->way, b->way);
    assert_int_equal(a->corner, b->corner);
    assert_int_equal(a->side, b->side);
    assert_int_equal(a->warmth, b->warmth);
}

static void same_finding(const snub_finding *a, const snub_finding *b)
{
    assert_int_equal(a->wording, b->wording);
    assert_int_equal(a->level, b->level);
    assert_int_equal(a->kind, b->kind);
    assert_int_equal(a->line, b->line);
    assert_int_equal(a->limit_line, b->limit_line);
    assert_ptr_equal(a->limit_source, b->limit_source); /* both the program's own text */
    assert_int_equal(a->end, b->end);
    same_text("pulley", a->pulley, b->pulley);
    same_text("other", a->other, b->other);
    same_text("second", a->second, b->second);
    same_number("value", a->value, b->value);
    same_number("limit", a->limit, b->limit);
    same_condition(&a->at, &b->at);
    assert_int_equal(a->range == NULL, b->range == NULL);
    if (a->range != NULL) {
        same_text("range", a->range->path, b->range->path);
        same_text("low end", a->range->end[0], b->range->end[0]);
        same_text("high end", a->range->end[1], b->range->end[1]);
        same_text("unit", a->range->unit, b->range->unit);
    }
    assert_int_equal(a->set_count, b->set_count);
    for (int k = 0; k < a->set_count; k++)
        same_text("set", a->set[k], b->set[k]);
    same_text("path", a->mend.path, b->mend.path);
    assert_int_equal(a->mend.count, b->mend.count);
    assert_true(a->mend.number == b->mend.number);
    for (int k = 0; k < 2; k++)
        same_text("value", a->mend.value[k], b->mend.value[k]);
    assert_int_equal(a->named_count, b->named_count);
    for (int k = 0; k < a->named_count; k++)
        same_named(&a->named[k], &b->named[k]);
}

static void same_pulleys(const snub_charted *kept, const snub_build *build)
{
    const snub_drive *drive = build->drive;
    assert_int_equal(kept->pulley_count, drive->pulley_count);
    for (int i = 0; i < kept->pulley_count; i++) {
        const snub_charted_pulley *p = &kept->pulleys[i];
        same_text("name", p->name, drive->pulleys[i].name);
        assert_int_equal(p->sits, drive->pulleys[i].sits);
        assert_int_equal(p->has_blower, drive->pulleys[i].has_blower);
        assert_int_equal(p->setting_chosen, build->setting_chosen[i]);
        same_number("diameter", p->diameter, drive->pulleys[i].nominal_diameter);
        same_number("wrap", p->wrap, build->laid ? build->rest.path.wrap[i] : (double)NAN);
        same_number("setting", p->setting, build->settings[i]);
        same_number("own setting", p->own_setting, build->own_settings[i]);
        assert_int_equal(snub_charted_pulley_named(kept, p->name), i);
    }
    assert_int_equal(snub_charted_pulley_named(kept, "nobody"), -1);
    assert_int_equal(snub_charted_blower(kept), snub_first_blower(drive));
    same_text("crank", kept->crank, drive->pulleys[drive->crank].name);
}

static void same_choices(const snub_charted *kept, const snub_choices *choices)
{
    int serving = 0, open = 0; /* some of those that were open the chart has found out about */
    for (int c = 0; c < choices->count; c++) {
        const snub_choice *choice = &choices->choice[c];
        if (choice->serves)
            same_number("serving", kept->serving[serving++], choice->length);
        else if (!choice->judged && choice->verdict <= choices->choice[0].verdict)
            open += open < kept->open_count && kept->open[open] == choice->length;
    }
    assert_true(kept->serving_count >= serving);
    assert_int_equal(kept->open_count, open);
    assert_int_equal(kept->first_serves, choices->count > 0 && choices->choice[0].serves);
    assert_int_equal(kept->cut, choices->cut);
    assert_int_equal(kept->offered, choices->offered);
    assert_int_equal(kept->usable, choices->usable);
    assert_int_equal(kept->why, choices->why);
    same_number("wanted", kept->wanted_length[0], choices->wanted_length[0]);
    same_number("wanted", kept->wanted_length[1], choices->wanted_length[1]);
    assert_int_equal(kept->second != NULL, choices->count > 1);
    if (kept->second != NULL) {
        const snub_choice *a = kept->second, *b = &choices->choice[1];
        same_text("second", a->part, b->part);
        same_number("second", a->length, b->length);
        same_number("second", a->grip, b->grip);
        assert_memory_equal(a->settings, b->settings, sizeof a->settings);
        assert_int_equal(a->verdict, b->verdict);
    }
}

static void same_build(const snub_charted *kept, const snub_build *build)
{
    char digest[65];
    assert_int_equal(kept->settled, build->settled);
    assert_int_equal(kept->laid, build->laid);
    assert_int_equal(kept->length_chosen, build->length_chosen);
    assert_int_equal(kept->verdict, build->verdict);
    assert_int_equal(kept->ribs, build->drive->belt.ribs);
    assert_int_equal(kept->has_arm, build->drive->arm >= 0);
    same_text("section", kept->section, build->drive->belt.section);
    same_text("designation", kept->designation, build->designation);
    same_text("part", kept->part, build->part);
    same_number("length", kept->length, build->length);
    same_number("own length", kept->own_length, build->own_length);
    same_number("design grip", kept->grip_design, build->drive->limits[SNUB_LIMIT_GRIP_DESIGN]);
    same_number("grip", kept->worst_grip, build->worst_grip);
    same_number("grip at", kept->worst_grip_speed, build->worst_grip_speed);
    same_number("blower's grip", kept->blower_grip, build->blower_grip);
    same_number("slips from", kept->slip_onset, build->slip_onset);
    same_number("gap", kept->tightest_gap, build->tightest_gap);
    same_number("gain", kept->wrap_gain, build->wrap_gain);
    same_number("wind", kept->wind_rest, build->wind_rest);
    same_number("wind", kept->wind_redline, build->wind_redline);
    same_number("power", kept->air.power, build->air.power);
    same_number("charge", kept->air.charge, build->air.charge);
    assert_int_equal(kept->hardware.given, build->hardware.given);
    same_number("life", kept->hardware.bearing_life, build->hardware.bearing_life);
    snub_drive_digest(build->drive, digest);
    assert_string_equal(kept->digest, digest);
}

/* @return findings compared */
static int compare_chart(const char *text)
{
    drive_text t;
    snub_errors errors = {0};
    snub_chart chart;
    snub_findings findings = {0};
    int compared = 0;
    drive_text_open(&t, text);
    const snub_chart_request request = {.threads = 2};
    assert_int_equal(snub_chart_drive(&t.document, &t.reading, &request, &chart, &errors), SNUB_OK);
    assert_true(chart.build_count > 1);
    for (int i = 0; i < chart.build_count; i++) {
        const snub_charted *kept = &chart.builds[i];
        const snub_build_request afresh = {.afresh = true};
        snub_arena arena = {0};
        snub_reading reading = t.reading;
        reading.arena = &arena;
        snub_build *build = SNUB_NEW(&arena, snub_build, 1);
        assert_int_equal(snub_build_make(&t.document, &reading, kept->row, &afresh, build, &errors), SNUB_OK);
        same_build(kept, build);
        same_pulleys(kept, build);
        same_choices(kept, &build->choices);
        assert_true(snub_charted_findings(kept, &t.arena, &findings));
        assert_int_equal(findings.count, build->findings.count);
        for (int k = 0; k < findings.count; k++)
            same_finding(&findings.items[k], &build->findings.items[k]);
        compared += findings.count;
        snub_arena_free(&arena);
    }
    snub_chart_free(&chart);
    drive_text_close(&t);
    return compared;
}

/* A range, a load with peaks, a limit of the file's own, and builds without a belt. */
static const char small[] =
    "snub: 1\n"
    "title: small\n"
    "engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6500 rpm}\n"
    "belt: {ribs: 6, stock: [995, 1000, 1005, 1075], stiffness: [20000, 30000]}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
    "  - {name: tensioner, side: back, diameter: 70, fixed_tension: 350, slot: {from: [-150, 130], to: [-20, 170]}}\n"
    "  - {name: pump, at: [-20, 320], diameter: 60, load: [[2000 rpm, 8], [12000 rpm, 4]], peak: 1.6}\n"
    "options: {pump.diameter: [60, 64], belt.ribs: [4, 6]}\n"
    "variants: {far: {pump.at: [-20, 360]}, very far: {pump.at: [-20, 900]}}\n"
    "limits: {grip_design: 0.9}\n";

static void a_small_kit(void **state)
{
    (void)state;
    assert_true(compare_chart(small) > 12);
}

static void a_kit_with_hardware(void **state)
{
    (void)state;
    char *data;
    size_t length;
    assert_int_equal(snub_file_read(hardware, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
    assert_true(compare_chart(data) > 12);
    free(data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_small_kit), cmocka_unit_test(a_kit_with_hardware)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
