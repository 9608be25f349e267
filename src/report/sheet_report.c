/** Engineering report of one build: every number, limit, source, finding. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "pages.h"
#include "snub/sweep_plot.h"
#include "words.h"

#define PICTURE 150.0 /**< height of the front view, mm */

typedef struct grid {
    snub_pages *pages;
    const char **cell;
    int columns, rows, room;
} grid;

static bool grid_new(snub_pages *pages, int columns, int room, grid *g)
{
    *g = (grid){.pages = pages, .columns = columns, .room = room > 0 ? room : 1};
    g->cell = SNUB_NEW(pages->arena, const char *, (size_t)g->columns *(size_t)g->room);
    if (g->cell == NULL)
        pages->failed = true;
    return g->cell != NULL;
}

static const char **grid_row(grid *g)
{
    return g->cell + (size_t)g->columns * (size_t)(g->rows < g->room ? g->rows++ : g->room - 1);
}

static const char *n(snub_pages *pages, double value, int decimals)
{
    return snub_pages_number(pages, value, decimals, "");
}

/* A number in a metric unit as the reader wants it, and then its unit: two cells, or a cell and its column's head. */
static const char *shown(snub_pages *pages, double value, int decimals, const char *unit)
{
    const snub_shown number = snub_number_shown(pages->locale, value, unit, decimals);
    return snub_pages_number(pages, number.value, number.decimals, "");
}

static const char *unit_of(const snub_pages *pages, const char *unit)
{
    return snub_number_shown(pages->locale, 0, unit, 0).unit;
}
#define TWO(value, decimals, unit) shown(pages, value, decimals, unit), unit_of(pages, unit)

/* ---- input ------------------------------------------------------------------------------------------------------- */

static void belt_numbers(snub_pages *pages, const snub_sheet_build *b)
{
    const snub_build *build = b->build;
    const snub_belt *belt = &build->drive->belt;
    static const char *const back[] = {[SNUB_BACK_DEFAULT] = SNUB_MESSAGE("cord to back (default)"),
                                       [SNUB_BACK_WRITTEN] = SNUB_MESSAGE("cord to back"),
                                       [SNUB_BACK_MEASURED] =
                                           SNUB_MESSAGE("cord to back, by the outside circumference")};
    grid g;
    if (!grid_new(pages, 3, 20, &g))
        return;
    const struct {
        const char *name, *value, *unit;
    } row[] = {{SAY("designation"), build->designation, ""},
               {SAY("part number"), build->part != NULL ? build->part : "", ""},
               {SAY("own number"), build->own_number != NULL ? build->own_number : "", ""},
               {SAY("effective length"), TWO(build->length / SNUB_MM, 1, "mm")},
               {SAY("ribs"), n(pages, belt->ribs, 0), ""},
               {SAY("effective line differential"), TWO(belt->be / SNUB_MM, 2, "mm")},
               {SAY(back[belt->back_from]), TWO(belt->back / SNUB_MM, 2, "mm")},
               {SAY("thickness"), TWO(belt->thickness / SNUB_MM, 2, "mm")},
               {SAY("mass"), TWO(belt->mass, 4, "kg/m")},
               {SAY("stiffness EA"), TWO(belt->stiffness, 0, "N")},
               {SAY("measuring tension of a span"), TWO(belt->measuring_tension, 1, "N")},
               {SAY("permanent stretch, now"), n(pages, belt->stretch * 100, 3), "%"},
               {SAY("permanent stretch, worn"), n(pages, belt->worn * 100, 3), "%"},
               {SAY("tolerance of length, +-"), TWO(snub_belt_tolerance(belt, build->length) / SNUB_MM, 1, "mm")},
               {SAY("thermal growth"), n(pages, belt->growth * 100, 3), "%"},
               {SAY("design friction, ribs"), n(pages, belt->design.rib, 4), ""},
               {SAY("design friction, back"), n(pages, belt->design.back, 4), ""},
               {SAY("limit friction, ribs"), n(pages, belt->limit.rib, 4), ""},
               {SAY("limit friction, back"), n(pages, belt->limit.back, 4), ""},
               {SAY("friction lost in the wet"), n(pages, belt->wet * 100, 0), "%"}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const char **cell = grid_row(&g);
        cell[0] = row[i].name;
        cell[1] = row[i].value;
        cell[2] = row[i].unit;
    }
    snub_pages_column columns[3] = {{SAY("belt"), "", 50, -1}, {SAY("value"), "", 20, 1}, {SAY("unit"), "", 20, -1}};
    snub_pages_heading(pages, SAY("Belt"));
    snub_pages_table(pages, columns, 3, g.cell, g.rows);
}

static void pulley_input(snub_pages *pages, const snub_sheet_build *b)
{
    grid g;
    const snub_drive *drive = b->build->drive;
    if (!grid_new(pages, 10, drive->pulley_count, &g))
        return;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        const char **cell = grid_row(&g);
        cell[0] = p->name;
        cell[1] = p->side == SNUB_BACK ? SAY("back") : SAY("ribs");
        cell[2] = shown(pages, p->diameter / SNUB_MM, 2, "mm");
        cell[3] = shown(pages, p->pitch_radius / SNUB_MM, 2, "mm");
        cell[4] = shown(pages, (b->rest->solved ? b->rest->balance.path.centre[i][0] : p->at[0]) / SNUB_MM, 2, "mm");
        cell[5] = shown(pages, (b->rest->solved ? b->rest->balance.path.centre[i][1] : p->at[1]) / SNUB_MM, 2, "mm");
        cell[6] = shown(pages, p->plane / SNUB_MM, 2, "mm");
        cell[7] = p->inertia > 0 ? shown(pages, p->inertia, 5, "kg m2") : "";
        cell[8] = p->max_speed > 0 ? n(pages, p->max_speed / SNUB_RPM, 0) : "";
        cell[9] = p->sits == SNUB_ON_ARM ? SAY("on the arm")
                  : p->sits == SNUB_ON_SLOT
                      ? snub_pages_fill(pages, SAY("slot, {set}"), "set",
                                        snub_pages_number(pages, b->build->settings[i] / SNUB_MM, 1, "mm"), NULL)
                      : SAY("fixed");
    }
    snub_pages_column columns[10] = {{SAY("pulley"), "", 16, -1},
                                     {SAY("belt side"), "", 9, -1},
                                     {SAY("diameter"), unit_of(pages, "mm"), 9, 1},
                                     {SAY("pitch radius"), unit_of(pages, "mm"), 9, 1},
                                     {"x", unit_of(pages, "mm"), 10, 1},
                                     {"y", unit_of(pages, "mm"), 10, 1},
                                     {SAY("plane"), unit_of(pages, "mm"), 8, 1},
                                     {SAY("inertia"), unit_of(pages, "kg m2"), 9, 1},
                                     {SAY("most"), unit_of(pages, "rpm"), 8, 1},
                                     {SAY("sits"), "", 14, -1}};
    snub_pages_heading(pages, SAY("Pulleys; positions with the engine stopped"));
    snub_pages_table(pages, columns, 10, g.cell, g.rows);
}

static void arm_numbers(snub_pages *pages, const snub_sheet_build *b)
{
    const snub_drive *drive = b->build->drive;
    grid g;
    if (drive->arm < 0 || !grid_new(pages, 3, 12, &g))
        return;
    const snub_arm *a = &drive->pulleys[drive->arm].arm;
    const struct {
        const char *name, *value, *unit;
    } row[] = {{SAY("pivot x"), TWO(a->pivot[0] / SNUB_MM, 2, "mm")},
               {SAY("pivot y"), TWO(a->pivot[1] / SNUB_MM, 2, "mm")},
               {SAY("length"), TWO(a->length / SNUB_MM, 2, "mm")},
               {SAY("free position, counter-clockwise from +x"), TWO(a->free / SNUB_DEG, 2, "deg")},
               {SAY("loads"), a->loads > 0 ? SAY("counter-clockwise") : SAY("clockwise"), ""},
               {SAY("travel, free position to stop"), TWO(a->travel / SNUB_DEG, 2, "deg")},
               {SAY("preload"), TWO(a->preload, 3, "N m")},
               {SAY("rate"), TWO(a->rate * SNUB_DEG, 4, "N m/deg")},
               {SAY("friction band, +-"), n(pages, a->damping * 100, 1), "%"},
               {SAY("work range, from"), TWO(a->work[0] / SNUB_DEG, 1, "deg")},
               {SAY("work range, to"), TWO(a->work[1] / SNUB_DEG, 1, "deg")}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const char **cell = grid_row(&g);
        cell[0] = row[i].name;
        cell[1] = row[i].value;
        cell[2] = row[i].unit;
    }
    snub_pages_column columns[3] = {{SAY("arm"), "", 50, -1}, {SAY("value"), "", 20, 1}, {SAY("unit"), "", 20, -1}};
    snub_pages_heading(pages, SAY("Arm"));
    snub_pages_table(pages, columns, 3, g.cell, g.rows);
    if (a->from_readings)
        snub_pages_quiet(pages,
                         snub_pages_fill(pages, SAY("Preload, rate and friction are fitted to readings, rms {rms}."),
                                         "rms", snub_pages_number(pages, a->readings_residual, 3, "N m"), NULL));
}

/* ---- results ----------------------------------------------------------------------------------------------------- */

static void state_tables(snub_pages *pages, const snub_drive *drive, const snub_balance *balance, const char *title)
{
    grid g, s;
    int count = drive->pulley_count;
    if (!grid_new(pages, 11, count, &g) || !grid_new(pages, 5, count, &s))
        return;
    for (int i = 0; i < count; i++) {
        const snub_pulley_state *p = &balance->pulley[i];
        const char **cell = grid_row(&g), **span = grid_row(&s);
        cell[0] = drive->pulleys[i].name;
        cell[1] = n(pages, p->wrap / SNUB_DEG, 2);
        cell[2] = n(pages, p->speed / SNUB_RPM, 0);
        cell[3] = shown(pages, p->torque, 2, "N m");
        cell[4] = shown(pages, p->entry, 1, "N");
        cell[5] = shown(pages, p->exit, 1, "N");
        cell[6] = n(pages, p->grip_design, 3);
        cell[7] = n(pages, p->grip_limit, 3);
        cell[8] = shown(pages, hypot(p->hub[0], p->hub[1]), 0, "N");
        cell[9] = n(pages, atan2(p->hub[1], p->hub[0]) / SNUB_DEG, 1);
        cell[10] = n(pages, p->creep * 100, 3);
        span[0] = drive->pulleys[i].name;
        span[1] = drive->pulleys[(i + 1) % count].name;
        span[2] = shown(pages, balance->path.span[i] / SNUB_MM, 2, "mm");
        span[3] = shown(pages, balance->span_tension[i], 1, "N");
        span[4] = n(pages, balance->span_frequency[i], 2);
    }
    snub_pages_column columns[11] = {{SAY("pulley"), "", 17, -1},
                                     {SAY("wrap"), unit_of(pages, "deg"), 9, 1},
                                     {SAY("speed"), unit_of(pages, "rpm"), 9, 1},
                                     {SAY("torque"), unit_of(pages, "N m"), 9, 1},
                                     {SAY("tension in"), unit_of(pages, "N"), 9, 1},
                                     {SAY("tension out"), unit_of(pages, "N"), 9, 1},
                                     {SAY("grip, design"), "", 8, 1},
                                     {SAY("grip, limit"), "", 8, 1},
                                     {SAY("hub load"), unit_of(pages, "N"), 8, 1},
                                     {SAY("towards"), unit_of(pages, "deg"), 8, 1},
                                     {SAY("creep"), "%", 8, 1}};
    snub_pages_column spans[5] = {{SAY("span from"), "", 20, -1},
                                  {SAY("to"), "", 20, -1},
                                  {SAY("length"), unit_of(pages, "mm"), 12, 1},
                                  {SAY("tension"), unit_of(pages, "N"), 12, 1},
                                  {SAY("frequency"), "Hz", 12, 1}};
    snub_pages_heading(pages, title);
    const snub_equilibrium *e = &balance->equilibrium;
    snub_pages_paragraph(
        pages,
        snub_pages_fill(pages,
                        SAY("Belt speed {v}, centrifugal tension {c}, pitch length "
                            "{length}, arm angle {wind} from free, spring moment {moment}."),
                        "v", snub_pages_number(pages, e->belt_speed, 2, "m/s"), "c",
                        snub_pages_number(pages, e->centrifugal, 1, "N"), "length",
                        snub_pages_number(pages, balance->path.length / SNUB_MM, 2, "mm"), "wind",
                        snub_pages_number(pages, drive->arm >= 0 ? e->wind / SNUB_DEG : NAN, 2, "deg"), "moment",
                        snub_pages_number(pages, drive->arm >= 0 ? balance->spring_moment : NAN, 2, "N m"), NULL));
    snub_pages_table(pages, columns, 11, g.cell, g.rows);
    snub_pages_table(pages, spans, 5, s.cell, s.rows);
}

static const char *said(snub_pages *pages, void (*words)(const snub_finding *, const snub_locale *, snub_text *),
                        const snub_finding *finding)
{
    snub_text text = {0};
    words(finding, pages->locale, &text);
    return snub_pages_keep(pages, &text);
}

/* Of what a finding speaks: pulley, then what else. */
static const char *subject(snub_pages *pages, const snub_finding *f)
{
    const char *other = f->other != NULL ? said(pages, snub_finding_other, f) : NULL;
    if (f->pulley != NULL && other != NULL)
        return snub_pages_fill(pages, "{a}, {b}", "a", f->pulley, "b", other, NULL);
    return f->pulley != NULL ? f->pulley : other;
}

static const char *with_unit(snub_pages *pages, const snub_finding *f, double value)
{
    const snub_wording_info *info = snub_wording_describe(f->wording);
    return isfinite(value) ? snub_pages_value(pages, value, info->unit, info->decimals) : "";
}

static const char *when(snub_pages *pages, const snub_condition *at)
{
    snub_text text = {0};
    snub_condition_words(at, pages->locale, &text);
    return snub_pages_keep(pages, &text);
}

static void findings(snub_pages *pages, const snub_findings *found)
{
    enum { COLUMNS = 8 };
    grid g;
    snub_pages_heading(pages, SAY("Findings"));
    if (found->count == 0) {
        snub_pages_paragraph(pages, SAY("None."));
        return;
    }
    if (!grid_new(pages, COLUMNS, found->count, &g))
        return;
    for (int i = 0; i < found->count; i++) {
        const snub_finding *f = &found->items[i];
        const char **cell = grid_row(&g);
        cell[0] = SAY(snub_level_text(f->level));
        cell[1] = snub_finding_rule(f);
        cell[2] = subject(pages, f);
        cell[3] = with_unit(pages, f, f->value);
        cell[4] = with_unit(pages, f, f->limit);
        cell[5] = when(pages, &f->at);
        cell[6] = said(pages, snub_finding_sentence, f);
        cell[7] = said(pages, snub_finding_basis, f);
    }
    snub_pages_column columns[COLUMNS] = {
        {SAY("level"), "", 8, -1},          {SAY("rule"), "", 22, -1}, {SAY("of"), "", 13, -1},
        {SAY("value"), "", 12, 1},          {SAY("limit"), "", 12, 1}, {SAY("when"), "", 13, -1},
        {SAY("what it means"), "", 40, -1}, {SAY("basis"), "", 18, -1}};
    snub_pages_table(pages, columns, COLUMNS, g.cell, g.rows);
}

/* The greatest pull of the belt over all cases, and the torque through the crank nose. */
static void hub_loads(snub_pages *pages, const snub_build *build)
{
    const snub_drive *drive = build->drive;
    grid g;
    if (build->hubs == NULL || !grid_new(pages, 5, drive->pulley_count + 1, &g))
        return;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_hub_pull *hub = &build->hubs[i];
        if (!hub->met || !snub_hub_is_told(drive, i))
            continue;
        const double allowed = drive->pulleys[i].max_hub;
        const char **cell = grid_row(&g);
        cell[0] = drive->pulleys[i].name;
        cell[1] = snub_pages_value(pages, hypot(hub->force[0], hub->force[1]), SNUB_UNIT_N, 0);
        cell[2] = n(pages, atan2(hub->force[1], hub->force[0]) / SNUB_DEG, 0);
        cell[3] = allowed > 0.0 ? snub_pages_value(pages, allowed, SNUB_UNIT_N, 0) : "";
        cell[4] = when(pages, &hub->at);
    }
    if (isfinite(build->nose_torque)) {
        const double allowed = drive->pulleys[drive->crank].max_torque;
        const char **cell = grid_row(&g);
        cell[0] = SAY("torque through the crank nose");
        cell[1] = snub_pages_value(pages, build->nose_torque, SNUB_UNIT_N_M, 1);
        cell[2] = "";
        cell[3] = allowed > 0.0 ? snub_pages_value(pages, allowed, SNUB_UNIT_N_M, 1) : "";
        cell[4] = when(pages, &build->nose_at);
    }
    snub_pages_column columns[5] = {{SAY("pulley"), "", 20, -1},
                                    {SAY("greatest"), "", 14, 1},
                                    {SAY("towards"), unit_of(pages, "deg"), 9, 1},
                                    {SAY("allowed"), "", 14, 1},
                                    {SAY("when"), "", 50, -1}};
    snub_pages_heading(pages, SAY("Greatest pull of the belt on crank and driven pulleys"));
    snub_pages_table(pages, columns, 5, g.cell, g.rows);
}

static void cautions(snub_pages *pages, const snub_build *build)
{
    const snub_caution_set set = snub_cautions_of(build);
    grid g;
    snub_pages_heading(pages, SAY("Cautions"));
    if (!grid_new(pages, 3, SNUB_CAUTIONS_, &g))
        return;
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *info = snub_caution_describe((snub_caution)i);
        if (!(set & SNUB_CAUTION_BIT(i)))
            continue;
        const char **cell = grid_row(&g);
        cell[0] = SAY(snub_signal_text(info->signal));
        cell[1] = SAY(snub_caution_place_text(info->place));
        cell[2] = SAY(info->words);
    }
    snub_pages_column columns[3] = {
        {SAY("signal word"), "", 13, -1}, {SAY("when"), "", 20, -1}, {SAY("caution"), "", 80, -1}};
    snub_pages_table(pages, columns, 3, g.cell, g.rows);
}

/* Needless zeros go; a limit that is round in metric units gets a digit more in others. */
static const char *limit_value(snub_pages *pages, double metric, snub_unit unit)
{
    const char *text = snub_unit_describe(unit)->text;
    int decimals = 0;
    while (decimals < 4 && fabs(metric * pow(10, decimals) - round(metric * pow(10, decimals))) > 1e-6)
        decimals++;
    return shown(pages, metric, decimals + (strcmp(unit_of(pages, text), SAY(text)) != 0), text);
}

static void limits(snub_pages *pages, const snub_drive *drive)
{
    grid g;
    char place[32];
    if (!grid_new(pages, 5, SNUB_LIMITS_, &g))
        return;
    for (int i = 0; i < SNUB_LIMITS_; i++) {
        const snub_limit_info preset = snub_limit_preset(drive, (snub_limit)i), *info = &preset;
        const char **cell = grid_row(&g);
        const int line = snub_limit_given_at(drive, (snub_limit)i);
        const bool own = line != 0;
        snprintf(place, sizeof place, "%d", line);
        cell[0] = info->key;
        cell[1] = limit_value(pages, snub_in_unit(info->unit, drive->limits[i]), info->unit);
        cell[2] = unit_of(pages, snub_unit_describe(info->unit)->text);
        cell[3] = line > 0 ? snub_pages_fill(pages, SAY("line {line} of the file"), "line", place, NULL)
                  : own    ? SAY("changed for this build")
                           : SAY("default");
        cell[4] = own ? snub_pages_fill(pages, SAY("your own; default {value}: {source}"), "value",
                                        limit_value(pages, info->value, info->unit), "source", SAY(info->source), NULL)
                      : SAY(info->source);
    }
    snub_pages_column columns[5] = {{SAY("limit"), "", 26, -1},
                                    {SAY("value"), "", 12, 1},
                                    {SAY("unit"), "", 10, -1},
                                    {SAY("from"), "", 18, -1},
                                    {SAY("source"), "", 40, -1}};
    snub_pages_heading(pages, SAY("Limits in force"));
    snub_pages_table(pages, columns, 5, g.cell, g.rows);
}

static void facts(snub_pages *pages, const snub_hardware_report *report)
{
    grid g;
    snub_pages_heading(pages, SAY("Hardware: planes, bolts, standoffs, bearings"));
    if (!grid_new(pages, 4, report->facts.count, &g))
        return;
    for (int i = 0; i < report->facts.count; i++) {
        const snub_fact *f = &report->facts.items[i];
        const char **cell = grid_row(&g);
        cell[0] = strcmp(f->subject, SNUB_SUBJECT_OBSTACLES) == 0 ? SAY("obstacles") : f->subject;
        cell[1] = SAY(f->what);
        cell[2] = shown(pages, f->value, f->decimals, f->unit);
        cell[3] = unit_of(pages, f->unit);
    }
    snub_pages_column columns[4] = {
        {SAY("of"), "", 34, -1}, {SAY("what"), "", 36, -1}, {SAY("value"), "", 16, 1}, {SAY("unit"), "", 12, -1}};
    snub_pages_table(pages, columns, 4, g.cell, g.rows);
}

static snub_status curves(snub_pages *pages, const snub_sheet_build *b, snub_error *error)
{
    snub_drawing drawing;
    if (b->sweep == NULL)
        return SNUB_OK;
    snub_status status = snub_sweep_plot(&b->sweep, NULL, 1, pages->locale, pages->arena, &drawing, error);
    if (status != SNUB_OK)
        return status;
    double wide = drawing.high[0] - drawing.low[0], high = drawing.high[1] - drawing.low[1];
    double room = pages->bottom - pages->top;
    double scale = fmin(1, fmin((pages->right - pages->left) / wide, room / high));
    snub_pages_next(pages);
    snub_pages_drawing(pages, &drawing, pages->left, pages->y, scale);
    pages->y += high * scale + 2;
    return SNUB_OK;
}

static void about(snub_pages *pages)
{
    snub_pages_heading(pages, SAY("What the numbers mean"));
    snub_pages_paragraph(
        pages, SAY("Front view, x to the right, y up, angles counter-clockwise from +x; a clockwise shaft "
                   "speed is positive. Tensions are total; grip and hub load use the tension less the "
                   "belt's centrifugal part. Values are steady, with the nominal belt and the arm's friction "
                   "at the middle of its band, where nothing else is said. Stretch is counted on spans and "
                   "arcs. Findings cover idle to redline, steady, accelerating and in overrun, and report the worst. "
                   "Speeds are without creep, which is given beside them."));
    snub_pages_quiet(
        pages, snub_pages_fill(pages,
                               SAY("Drive file {file}, calculated by {version}. SHA-256 {hash} covers the "
                                   "file, the values changed for the build, blower maps, and parts and belts taken "
                                   "from the catalogue."),
                               "file", pages->sheet->file != NULL ? pages->sheet->file : "", "hash", pages->fingerprint,
                               "version", pages->sheet->version != NULL ? pages->sheet->version : "snub", NULL));
}

static void verdict(snub_pages *pages, const snub_build *build)
{
    snub_text why = {0};
    snub_pages_heading(pages, snub_pages_fill(pages, SAY("Verdict: {verdict}"), "verdict",
                                              SAY(snub_level_text(build->verdict)), NULL));
    snub_why_words(build, pages->locale, &why);
    if (why.length > 0)
        snub_pages_paragraph(pages, snub_pages_fill(pages, SAY("Belt {designation}: {why}."), "designation",
                                                    build->designation, "why", why.data, NULL));
    snub_text_free(&why);
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_sheet_build *b = pages->build;
    const snub_build *build = b->build;
    (void)context;
    verdict(pages, build);
    snub_status status = snub_pages_front(pages, PICTURE, NULL, error);
    if (status != SNUB_OK)
        return status;
    about(pages);
    findings(pages, &build->findings);
    snub_pages_unjudged(pages, NULL);
    hub_loads(pages, build);
    cautions(pages, build);
    belt_numbers(pages, b);
    pulley_input(pages, b);
    arm_numbers(pages, b);
    if (b->rest->solved)
        state_tables(pages, build->drive, &b->rest->balance, SAY("Engine stopped"));
    if (b->state != NULL && b->state->solved && b->state->engine_speed > 0)
        state_tables(pages, build->drive, &b->state->balance,
                     snub_pages_fill(pages, SAY("Steady at {speed}"), "speed",
                                     snub_pages_number(pages, b->state->engine_speed / SNUB_RPM, 0, "rpm"), NULL));
    snub_pages_defaults(pages, b->defaults, b->default_count);
    limits(pages, build->drive);
    if (build->report != NULL && build->report->done)
        facts(pages, build->report);
    return curves(pages, b, error);
}

snub_status snub_sheet_report(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Engineering report"), .build = build, .print = print};
    return snub_pages_print(sheet, &job, out, error);
}
