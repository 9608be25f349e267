/** Application chart: every build that the kit offers, on paper. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "press.h"

#define DEG (180 / SNUB_PI)
#define RPM (30 / SNUB_PI)

enum { FIXED = 13, NOTES_MOST = 52, COLUMNS_MOST = FIXED + 12 };

/** One kind of finding: how it is marked in the table, and its worst case in words. */
typedef struct note {
    const snub_finding *finding;
    int build;
    char mark[4];
} note;

typedef struct notes {
    note item[NOTES_MOST];
    int count;
} notes;

static bool same_kind(const snub_finding *a, const snub_finding *b)
{
    return strcmp(a->rule, b->rule) == 0 &&
           strcmp(a->pulley != NULL ? a->pulley : "", b->pulley != NULL ? b->pulley : "") == 0;
}

/* How far over its limit: the case worth printing is the worst. */
static double excess(const snub_finding *f)
{
    if (!isfinite(f->value) || !isfinite(f->limit) || f->limit == 0)
        return 0;
    return fabs(f->value - f->limit) / fabs(f->limit);
}

static void collect(const snub_chart *chart, notes *all)
{
    all->count = 0;
    for (int b = 0; b < chart->build_count; b++)
        for (int i = 0; i < chart->builds[b].findings.count; i++) {
            const snub_finding *f = &chart->builds[b].findings.items[i];
            int k = 0;
            while (k < all->count && !same_kind(all->item[k].finding, f))
                k++;
            if (k == NOTES_MOST)
                continue;
            if (k == all->count) {
                all->item[k] = (note){.finding = f, .build = b};
                snprintf(all->item[k].mark, sizeof all->item[k].mark, "%c", k < 26 ? 'a' + k : 'A' + k - 26);
                all->count++;
            } else if (f->level > all->item[k].finding->level ||
                       (f->level == all->item[k].finding->level && excess(f) > excess(all->item[k].finding))) {
                all->item[k].finding = f;
                all->item[k].build = b;
            }
        }
}

static const char *marks_of(snub_press *press, const snub_build *build, const notes *all)
{
    char text[3 * NOTES_MOST + 1] = "";
    size_t used = 0;
    for (int k = 0; k < all->count; k++)
        for (int i = 0; i < build->findings.count; i++)
            if (same_kind(&build->findings.items[i], all->item[k].finding)) {
                text[used++] = all->item[k].mark[0];
                text[used++] = ' ';
                break;
            }
    text[used > 0 ? used - 1 : 0] = '\0';
    return snub_press_fill(press, "{t}", "t", text, NULL);
}

/* "blower.diameter" reads as "blower diameter". */
static const char *option_title(snub_press *press, const char *path)
{
    char text[96];
    snprintf(text, sizeof text, "%s", path);
    for (char *c = text; *c != '\0'; c++)
        if (*c == '.' || *c == '_')
            *c = ' ';
    return snub_press_fill(press, "{t}", "t", text, NULL);
}

static int columns_of(snub_press *press, const snub_chart *chart, snub_press_column *column)
{
    int n = 0;
    column[n++] = (snub_press_column){SAY("no."), "", 5, 1};
    for (int i = 0; i < chart->option_count && i < COLUMNS_MOST - FIXED; i++)
        column[n++] = (snub_press_column){option_title(press, chart->options[i].path), "", 11, 1};
    column[n++] = (snub_press_column){SAY("belt"), "", 15, -1};
    column[n++] = (snub_press_column){SAY("idler mark"), "mm (in)", 19, 1};
    column[n++] = (snub_press_column){SAY("blower wrap"), "deg", 10, 1};
    column[n++] = (snub_press_column){SAY("gain"), "%", 8, 1};
    column[n++] = (snub_press_column){SAY("boost at redline"), "kPa (psi)", 19, 1};
    column[n++] = (snub_press_column){SAY("blower at redline"), "rpm", 12, 1};
    column[n++] = (snub_press_column){SAY("grip used, worst"), "", 10, 1};
    column[n++] = (snub_press_column){SAY("at engine"), "rpm", 9, 1};
    column[n++] = (snub_press_column){SAY("arm at rest"), "deg", 9, 1};
    column[n++] = (snub_press_column){SAY("arm at redline"), "deg", 9, 1};
    column[n++] = (snub_press_column){SAY("verdict"), "", 10, -1};
    column[n++] = (snub_press_column){SAY("notes"), "", 16, -1};
    return n;
}

static const char *setting_of(snub_press *press, const snub_build *build)
{
    snub_text text = {0};
    for (int i = 0; i < build->drive->pulley_count; i++) {
        double s = build->check.settings[i];
        if (build->drive->pulleys[i].sits != SNUB_ON_SLOT || !isfinite(s))
            continue;
        snub_text_printf(&text, "%s%s (%s)", text.length > 0 ? "\n" : "", snub_press_number(press, s * 1000, 1, ""),
                         snub_press_number(press, s / 0.0254, 3, ""));
    }
    const char *made = text.data != NULL ? snub_press_fill(press, "{t}", "t", text.data, NULL) : "";
    snub_text_free(&text);
    return made;
}

static int first_blower(const snub_drive *drive)
{
    for (int i = 0; drive != NULL && i < drive->pulley_count; i++)
        if (drive->pulleys[i].has_blower)
            return i;
    return -1;
}

static void result_cells(snub_press *press, const snub_build *build, const char **cell)
{
    const snub_check *check = &build->check;
    int blower = first_blower(build->drive);
    cell[0] = check->designation;
    cell[1] = setting_of(press, build);
    if (blower >= 0 && check->laid)
        cell[2] = snub_press_number(press, check->balance.pulley[blower].wrap * DEG, 1, "");
    if (isfinite(build->wrap_gain))
        cell[3] = snub_press_number(press, build->wrap_gain * 100, 1, "");
    if (build->loads.match != NULL && build->loads.speeds > 0) {
        const snub_match_result *top = &build->loads.match[build->loads.speeds - 1];
        const char *a = snub_press_number(press, top->boost / 1000, 0, "");
        const char *b = snub_press_number(press, top->boost / 6894.757293168361, 1, "");
        cell[4] = snub_press_fill(press, "{a} ({b})", "a", a, "b", b, NULL);
        cell[5] = snub_press_number(press, top->shaft_speed * RPM, 0, "");
    }
    cell[6] = snub_press_number(press, check->worst_grip, 2, "");
    cell[7] = snub_press_number(press, check->worst_grip_speed * RPM, 0, "");
    const snub_choice *choice = &build->choices.choice[0];
    if (build->choices.count > 0 && isfinite(choice->wind_rest)) {
        cell[8] = snub_press_number(press, choice->wind_rest * DEG, 1, "");
        cell[9] = snub_press_number(press, choice->wind_redline * DEG, 1, "");
    }
}

static void row_of(snub_press *press, const snub_chart *chart, int b, const notes *all, const char **cell)
{
    const snub_build *build = &chart->builds[b];
    int n = 0, options = chart->option_count < COLUMNS_MOST - FIXED ? chart->option_count : COLUMNS_MOST - FIXED;
    cell[n++] = snub_press_number(press, b + 1, 0, "");
    for (int i = 0; i < options; i++)
        cell[n++] = build->values[i];
    if (build->has_check)
        result_cells(press, build, cell + n);
    else
        cell[n] = SAY("no belt");
    n += 10;
    cell[n++] = SAY(snub_level_text(build->verdict));
    cell[n++] = marks_of(press, build, all);
}

static void variant_table(snub_press *press, const snub_chart *chart, const char *variant, const notes *all)
{
    snub_press_column column[COLUMNS_MOST];
    int columns = columns_of(press, chart, column), rows = 0;
    const char **cell = SNUB_NEW(press->arena, const char *, (size_t)chart->build_count *(size_t)columns);
    if (cell == NULL) {
        press->failed = true;
        return;
    }
    for (int b = 0; b < chart->build_count; b++)
        if (strcmp(chart->builds[b].variant, variant) == 0)
            row_of(press, chart, b, all, cell + (size_t)columns * (size_t)rows++);
    const char *front = variant[0] != '\0' ? variant : SAY("as in the file");
    snub_press_heading(press, snub_press_fill(press, SAY("Engine front: {variant}"), "variant", front, NULL));
    snub_press_table(press, column, columns, cell, rows);
}

static void belts(snub_press *press, const snub_chart *chart)
{
    snub_text text = {0};
    for (int i = 0; i < chart->fewest_count; i++)
        snub_text_printf(&text, "%s%s (%d)", i > 0 ? ", " : "", chart->fewest[i].designation, chart->fewest[i].count);
    if (chart->fewest_count > 0 && text.data != NULL) {
        snub_press_heading(press, SAY("Belts to keep in stock"));
        snub_press_paragraph(press, snub_press_fill(press,
                                                    SAY("The fewest that serve every build that has one, each with "
                                                        "the number of builds it serves: {belts}."),
                                                    "belts", text.data, NULL));
    }
    snub_text_free(&text);
}

static void explain(snub_press *press)
{
    snub_press_quiet(press,
                     SAY("Grip used is ln(tension ratio) over friction times wrap, on the design friction, at the "
                         "worst of steady, rising and falling speed: over 1 is watch; over 1 on the limit friction "
                         "slips and fails. Gain is the blower's wrap against its idler at the low end of the slot. "
                         "The arm's wind is from its rest. Boost is over ambient, without slip of the belt. pass: "
                         "sell it. watch: read the notes first. fail: do not sell it."));
}

static void note_lines(snub_press *press, const notes *all)
{
    char number[16];
    if (all->count == 0)
        return;
    snub_press_heading(press, SAY("Notes, each with its worst case"));
    for (int k = 0; k < all->count; k++) {
        const snub_finding *f = all->item[k].finding;
        snprintf(number, sizeof number, "%d", all->item[k].build + 1);
        const char *source = f->source != NULL && f->source[0] != '\0' ? f->source : "\xe2\x80\x93";
        snub_press_paragraph(press,
                             snub_press_fill(press, SAY("{mark}  {level}, no. {build}: {text} (limit: {source})"),
                                             "mark", all->item[k].mark, "level", SAY(snub_level_text(f->level)),
                                             "build", number, "text", f->text, "source", source, NULL));
    }
    if (all->count == NOTES_MOST)
        snub_press_quiet(press, SAY("More kinds of findings than there are letters: see snub chart --findings."));
}

static snub_status print(snub_press *press, const void *context, snub_error *error)
{
    const snub_chart *chart = context;
    notes *all = SNUB_NEW(press->arena, notes, 1);
    if (all == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "no memory for the sheet");
    collect(chart, all);
    explain(press);
    for (int b = 0; b < chart->build_count; b++) {
        bool first = true;
        for (int k = 0; k < b; k++)
            first = first && strcmp(chart->builds[k].variant, chart->builds[b].variant) != 0;
        if (first)
            variant_table(press, chart, chart->builds[b].variant, all);
    }
    note_lines(press, all);
    belts(press, chart);
    snub_press_gap(press, 2);
    snub_press_quiet(press, SAY("The limits of the makers of belt, blower, bearings and engine come first, then this "
                                "chart. Fitting is work for a qualified technician."));
    return SNUB_OK;
}

snub_status snub_sheet_chart(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error)
{
    snub_press_job job = {.kind = MESSAGE("Application chart"), .landscape = true, .print = print, .context = chart};
    if (chart->build_count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the chart has no build");
    return snub_press_run(sheet, &job, out, error);
}
