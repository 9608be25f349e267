/* Names and units of the numbers of a kit, and the command that shows one. */
#include "tolerate_words.h"

const snub_followed_shown *snub_followed_describe(snub_followed followed)
{
    static const snub_followed_shown shown[SNUB_FOLLOWED_] = {
        [SNUB_FOLLOWED_GRIP] = {SNUB_MESSAGE("worst grip"), "worst_grip", SNUB_UNIT_NONE, 3},
        [SNUB_FOLLOWED_BLOWER_GRIP] = {SNUB_MESSAGE("grip of the blower"), "blower_grip", SNUB_UNIT_NONE, 3},
        [SNUB_FOLLOWED_WRAP] = {SNUB_MESSAGE("wrap of the blower"), "blower_wrap_deg", SNUB_UNIT_DEG, 2},
        [SNUB_FOLLOWED_WIND_STOPPED] = {SNUB_MESSAGE("arm, engine stopped"), "arm_wind_stopped_deg", SNUB_UNIT_DEG, 2},
        [SNUB_FOLLOWED_WIND_REDLINE] = {SNUB_MESSAGE("arm at redline"), "arm_wind_redline_deg", SNUB_UNIT_DEG, 2},
        [SNUB_FOLLOWED_GAP] = {SNUB_MESSAGE("tightest gap"), "tightest_gap_mm", SNUB_UNIT_MM, 2},
        [SNUB_FOLLOWED_BOOST] = {SNUB_MESSAGE("boost at redline"), "boost_kPa", SNUB_UNIT_KPA, 2}};
    return &shown[followed];
}

int snub_next_rule(const snub_tolerated *of, const bool *shown)
{
    int best = -1;
    for (int r = 0; r < SNUB_RULES_; r++) {
        const snub_rule_count *now = &of->rules[r], *top = best >= 0 ? &of->rules[best] : NULL;
        if (shown[r] || now->fail + now->marginal == 0)
            continue;
        if (top == NULL || now->fail > top->fail || (now->fail == top->fail && now->marginal > top->marginal))
            best = r;
    }
    return best;
}

static void add_option(const char *option, const char *value, snub_text *out)
{
    if (value[0] == '\0')
        return;
    snub_text_printf(out, " --%s ", option);
    snub_text_shell(out, value);
}

static void add_set(const char *path, const char *value, snub_text *out)
{
    snub_text set = {0};
    snub_text_printf(&set, "%s=%s", path, value != NULL ? value : "");
    snub_text_puts(out, " --set ");
    snub_text_shell(out, set.data != NULL ? set.data : "");
    out->failed = out->failed || set.failed || value == NULL;
    snub_text_free(&set);
}

/* The last of them. */
static void add_overlays(const snub_row *row, int count, snub_arena *arena, snub_text *out)
{
    for (int i = row->overlay_count - count; i < row->overlay_count; i++)
        add_set(row->overlays[i].path, snub_node_flow(row->overlays[i].value, arena), out);
}

void snub_build_option(const snub_row *row, snub_arena *arena, snub_text *out)
{
    snub_text_printf(out, " --build %s", row->code);
    add_overlays(row, row->set_count, arena, out);
}

bool snub_kit_options(const snub_tolerated *of, const snub_kit_value *values, int count, snub_arena *arena,
                      snub_text *out)
{
    const snub_row *row = &of->build->row;
    add_option("variant", row->variant, out);
    add_option("package", row->package, out);
    /* of a row's overlays the last are its options' and the caller's */
    add_overlays(row, row->option_count + row->set_count, arena, out);
    for (int i = 0; i < count; i++) { /* a length of a point may stand beside one in inches */
        const char *text = values[i].point ? snub_format(arena, "%s mm", values[i].text) : values[i].text;
        out->failed = out->failed || text == NULL;
        if (text != NULL)
            add_set(values[i].path, text, out);
    }
    return !out->failed;
}
