/** Engineering report of one build: every number, limit, source, finding. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "press.h"
#include "snub/sweep_plot.h"

#define DEG (180 / SNUB_PI)
#define RPM (30 / SNUB_PI)
#define MM 1000.0
#define PICTURE 150.0 /**< height of the front view, mm */

typedef struct grid {
    snub_press *press;
    const char **cell;
    int columns, rows, room;
} grid;

static bool grid_new(snub_press *press, int columns, int room, grid *g)
{
    *g = (grid){.press = press, .columns = columns, .room = room > 0 ? room : 1};
    g->cell = SNUB_NEW(press->arena, const char *, (size_t)g->columns *(size_t)g->room);
    if (g->cell == NULL)
        press->failed = true;
    return g->cell != NULL;
}

static const char **grid_row(grid *g)
{
    return g->cell + (size_t)g->columns * (size_t)(g->rows < g->room ? g->rows++ : g->room - 1);
}

static const char *n(snub_press *press, double value, int decimals)
{
    return snub_press_number(press, value, decimals, "");
}

/* ---- input ---------------------------------------------------------------------------------------------------------
 */

static void belt_numbers(snub_press *press, const snub_sheet_build *b)
{
    const snub_belt *belt = &b->drive->belt;
    grid g;
    if (!grid_new(press, 3, 20, &g))
        return;
    const struct {
        const char *name, *value, *unit;
    } row[] = {
        {SAY("designation"), b->rest->designation, ""},
        {SAY("effective length"), n(press, b->rest->length * MM, 1), "mm"},
        {SAY("ribs"), n(press, belt->ribs, 0), ""},
        {SAY("effective line differential"), n(press, belt->be * MM, 2), "mm"},
        {SAY("cord to back"), n(press, belt->back * MM, 2), "mm"},
        {SAY("thickness"), n(press, belt->thickness * MM, 2), "mm"},
        {SAY("mass"), n(press, belt->mass, 4), "kg/m"},
        {SAY("stiffness EA"), n(press, belt->stiffness, 0), "N"},
        {SAY("measuring tension of a span"), n(press, belt->measuring_tension, 1), "N"},
        {SAY("permanent stretch, now"), n(press, belt->stretch * 100, 3), "%"},
        {SAY("permanent stretch, worn"), n(press, belt->worn * 100, 3), "%"},
        {SAY("tolerance of length, +-"),
         n(press, (belt->tolerance_given ? belt->tolerance : snub_belt_length_tolerance(b->rest->length)) * MM, 1),
         "mm"},
        {SAY("thermal growth"), n(press, belt->growth * 100, 3), "%"},
        {SAY("design friction, ribs"), n(press, belt->design.rib, 4), ""},
        {SAY("design friction, back"), n(press, belt->design.back, 4), ""},
        {SAY("limit friction, ribs"), n(press, belt->limit.rib, 4), ""},
        {SAY("limit friction, back"), n(press, belt->limit.back, 4), ""},
        {SAY("friction lost in the wet"), n(press, belt->wet * 100, 0), "%"}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const char **cell = grid_row(&g);
        cell[0] = row[i].name;
        cell[1] = row[i].value;
        cell[2] = row[i].unit;
    }
    snub_press_column columns[3] = {{SAY("belt"), "", 50, -1}, {SAY("value"), "", 20, 1}, {SAY("unit"), "", 20, -1}};
    snub_press_heading(press, SAY("Belt"));
    snub_press_table(press, columns, 3, g.cell, g.rows);
}

static void pulley_input(snub_press *press, const snub_sheet_build *b)
{
    grid g;
    const snub_drive *drive = b->drive;
    if (!grid_new(press, 10, drive->pulley_count, &g))
        return;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        const char **cell = grid_row(&g);
        cell[0] = p->name;
        cell[1] = p->side == SNUB_BACK ? SAY("back") : SAY("ribs");
        cell[2] = n(press, p->diameter * MM, 2);
        cell[3] = n(press, p->pitch_radius * MM, 2);
        cell[4] = n(press, b->rest->laid ? b->rest->balance.path.centre[i][0] * MM : p->at[0] * MM, 2);
        cell[5] = n(press, b->rest->laid ? b->rest->balance.path.centre[i][1] * MM : p->at[1] * MM, 2);
        cell[6] = n(press, p->plane * MM, 2);
        cell[7] = p->inertia > 0 ? n(press, p->inertia, 5) : "";
        cell[8] = p->max_speed > 0 ? n(press, p->max_speed * RPM, 0) : "";
        cell[9] = p->sits == SNUB_ON_ARM    ? SAY("on the arm")
                  : p->sits == SNUB_ON_SLOT ? snub_press_fill(press, SAY("slot, {set} mm"), "set",
                                                              n(press, b->rest->settings[i] * MM, 1), NULL)
                                            : SAY("fixed");
    }
    snub_press_column columns[10] = {{SAY("pulley"), "", 16, -1},
                                     {SAY("belt's side"), "", 9, -1},
                                     {SAY("diameter"), "mm", 9, 1},
                                     {SAY("pitch radius"), "mm", 9, 1},
                                     {"x", "mm", 10, 1},
                                     {"y", "mm", 10, 1},
                                     {SAY("plane"), "mm", 8, 1},
                                     {SAY("inertia"), "kg m2", 9, 1},
                                     {SAY("most"), "rpm", 8, 1},
                                     {SAY("sits"), "", 14, -1}};
    snub_press_heading(press, SAY("Pulleys; places with the engine at rest"));
    snub_press_table(press, columns, 10, g.cell, g.rows);
}

static void arm_numbers(snub_press *press, const snub_sheet_build *b)
{
    const snub_drive *drive = b->drive;
    grid g;
    if (drive->arm < 0 || !grid_new(press, 3, 12, &g))
        return;
    const snub_arm *a = &drive->pulleys[drive->arm].arm;
    const struct {
        const char *name, *value, *unit;
    } row[] = {{SAY("pivot x"), n(press, a->pivot[0] * MM, 2), "mm"},
               {SAY("pivot y"), n(press, a->pivot[1] * MM, 2), "mm"},
               {SAY("length"), n(press, a->length * MM, 2), "mm"},
               {SAY("direction at rest, counter-clockwise from +x"), n(press, a->rest * DEG, 2), "deg"},
               {SAY("winds"), a->winds > 0 ? "ccw" : "cw", ""},
               {SAY("travel, rest to stop"), n(press, a->travel * DEG, 2), "deg"},
               {SAY("preload"), n(press, a->preload, 3), "N m"},
               {SAY("rate"), n(press, a->rate / DEG, 4), "N m/deg"},
               {SAY("friction band, +-"), n(press, a->damping * 100, 1), "%"},
               {SAY("work range, from"), n(press, a->work[0] * DEG, 1), "deg"},
               {SAY("work range, to"), n(press, a->work[1] * DEG, 1), "deg"}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        const char **cell = grid_row(&g);
        cell[0] = row[i].name;
        cell[1] = row[i].value;
        cell[2] = row[i].unit;
    }
    snub_press_column columns[3] = {{SAY("arm"), "", 50, -1}, {SAY("value"), "", 20, 1}, {SAY("unit"), "", 20, -1}};
    snub_press_heading(press, SAY("Arm"));
    snub_press_table(press, columns, 3, g.cell, g.rows);
    if (a->from_readings)
        snub_press_quiet(
            press, snub_press_fill(press, SAY("Preload, rate and friction are fitted to readings, rms {rms} N m."),
                                   "rms", n(press, a->readings_residual, 3), NULL));
}

/* ---- results -------------------------------------------------------------------------------------------------------
 */

static void state_tables(snub_press *press, const snub_drive *drive, const snub_balance *balance, const char *title)
{
    grid g, s;
    int count = drive->pulley_count;
    if (!grid_new(press, 11, count, &g) || !grid_new(press, 5, count, &s))
        return;
    for (int i = 0; i < count; i++) {
        const snub_pulley_state *p = &balance->pulley[i];
        const char **cell = grid_row(&g), **span = grid_row(&s);
        cell[0] = drive->pulleys[i].name;
        cell[1] = n(press, p->wrap * DEG, 2);
        cell[2] = n(press, p->speed * RPM, 0);
        cell[3] = n(press, p->torque, 2);
        cell[4] = n(press, p->entry, 1);
        cell[5] = n(press, p->exit, 1);
        cell[6] = n(press, p->grip_design, 3);
        cell[7] = n(press, p->grip_limit, 3);
        cell[8] = n(press, hypot(p->hub[0], p->hub[1]), 0);
        cell[9] = n(press, atan2(p->hub[1], p->hub[0]) * DEG, 1);
        cell[10] = n(press, p->creep * 100, 3);
        span[0] = drive->pulleys[i].name;
        span[1] = drive->pulleys[(i + 1) % count].name;
        span[2] = n(press, balance->path.span[i] * MM, 2);
        span[3] = n(press, balance->span_tension[i], 1);
        span[4] = n(press, balance->span_frequency[i], 2);
    }
    snub_press_column columns[11] = {
        {SAY("pulley"), "", 17, -1},     {SAY("wrap"), "deg", 9, 1},     {SAY("speed"), "rpm", 9, 1},
        {SAY("torque"), "N m", 9, 1},    {SAY("enters"), "N", 9, 1},     {SAY("leaves"), "N", 9, 1},
        {SAY("grip, design"), "", 8, 1}, {SAY("grip, limit"), "", 8, 1}, {SAY("hub load"), "N", 8, 1},
        {SAY("towards"), "deg", 8, 1},   {SAY("creep"), "%", 8, 1}};
    snub_press_column spans[5] = {{SAY("span from"), "", 20, -1},
                                  {SAY("to"), "", 20, -1},
                                  {SAY("length"), "mm", 12, 1},
                                  {SAY("tension"), "N", 12, 1},
                                  {SAY("frequency"), "Hz", 12, 1}};
    snub_press_heading(press, title);
    const snub_equilibrium *e = &balance->equilibrium;
    snub_press_paragraph(press, snub_press_fill(press,
                                                SAY("Belt speed {v} m/s, centrifugal tension {c} N, pitch length "
                                                    "{length} mm, arm wind {wind} deg, spring moment {moment} N m."),
                                                "v", n(press, e->belt_speed, 2), "c", n(press, e->centrifugal, 1),
                                                "length", n(press, balance->path.length * MM, 2), "wind",
                                                n(press, drive->arm >= 0 ? e->wind * DEG : NAN, 2), "moment",
                                                n(press, drive->arm >= 0 ? balance->spring_moment : NAN, 2), NULL));
    snub_press_table(press, columns, 11, g.cell, g.rows);
    snub_press_table(press, spans, 5, s.cell, s.rows);
}

/* Four digits say enough of a value that is compared with a limit. */
static const char *judged(snub_press *press, double value, const char *unit)
{
    double size = fabs(value);
    return isfinite(value) ? snub_press_number(press, value,
                                               size < 10     ? 3
                                               : size < 100  ? 2
                                               : size < 1000 ? 1
                                                             : 0,
                                               unit)
                           : "";
}

static void findings(snub_press *press, const snub_findings *found, const char *title)
{
    grid g;
    snub_press_heading(press, title);
    if (found->count == 0) {
        snub_press_paragraph(press, SAY("None."));
        return;
    }
    if (!grid_new(press, 8, found->count, &g))
        return;
    for (int i = 0; i < found->count; i++) {
        const snub_finding *f = &found->items[i];
        const char **cell = grid_row(&g);
        cell[0] = SAY(snub_level_text(f->level));
        cell[1] = f->rule;
        cell[2] = f->other != NULL && f->pulley != NULL
                      ? snub_press_fill(press, "{a}, {b}", "a", f->pulley, "b", f->other, NULL)
                  : f->pulley != NULL ? f->pulley
                                      : f->other;
        cell[3] = judged(press, f->value, f->unit);
        cell[4] = judged(press, f->limit, f->unit);
        cell[5] = isfinite(f->at_speed) ? n(press, f->at_speed * RPM, 0) : "";
        cell[6] = f->text;
        cell[7] = f->source;
    }
    snub_press_column columns[8] = {{SAY("level"), "", 8, -1},
                                    {SAY("rule"), "", 18, -1},
                                    {SAY("of"), "", 14, -1},
                                    {SAY("value"), "", 11, 1},
                                    {SAY("limit"), "", 11, 1},
                                    {SAY("at"), "rpm", 7, 1},
                                    {SAY("what it means"), "", 42, -1},
                                    {SAY("source of the limit"), "", 20, -1}};
    snub_press_table(press, columns, 8, g.cell, g.rows);
}

/* A limit as it is printed; a temperature has another zero as well as another scale. Needless zeros go. */
static const char *limit_value(snub_press *press, const snub_limit_info *info, double value)
{
    double printed =
        info->quantity == SNUB_Q_TEMPERATURE ? snub_quantity_to_bare(info->quantity, value) : value * info->scale;
    int decimals = 0;
    while (decimals < 4 && fabs(printed * pow(10, decimals) - round(printed * pow(10, decimals))) > 1e-6)
        decimals++;
    return n(press, printed, decimals);
}

static void limits(snub_press *press, const snub_drive *drive)
{
    grid g;
    char place[32];
    if (!grid_new(press, 5, SNUB_LIMIT_COUNT_, &g))
        return;
    for (int i = 0; i < SNUB_LIMIT_COUNT_; i++) {
        const snub_limit_info *info = snub_limit_describe((snub_limit)i);
        const char **cell = grid_row(&g);
        bool own = drive->limits_place[i].line > 0;
        snprintf(place, sizeof place, "%d", drive->limits_place[i].line);
        cell[0] = info->key;
        cell[1] = limit_value(press, info, drive->limits[i]);
        cell[2] = info->unit;
        cell[3] = own ? snub_press_fill(press, SAY("line {line} of the file"), "line", place, NULL) : SAY("default");
        cell[4] = own ? snub_press_fill(press, SAY("the file's; default {value}: {source}"), "value",
                                        limit_value(press, info, info->value), "source", info->source, NULL)
                      : info->source;
    }
    snub_press_column columns[5] = {{SAY("limit"), "", 26, -1},
                                    {SAY("value"), "", 12, 1},
                                    {SAY("unit"), "", 10, -1},
                                    {SAY("from"), "", 18, -1},
                                    {SAY("source"), "", 40, -1}};
    snub_press_heading(press, SAY("Limits in force"));
    snub_press_table(press, columns, 5, g.cell, g.rows);
}

static void facts(snub_press *press, const snub_hardware_report *report)
{
    grid g;
    snub_press_heading(press, SAY("Hardware: planes, bolts, standoffs, bearings"));
    if (!grid_new(press, 4, report->facts.count, &g))
        return;
    for (int i = 0; i < report->facts.count; i++) {
        const snub_fact *f = &report->facts.items[i];
        const char **cell = grid_row(&g);
        cell[0] = f->subject;
        cell[1] = f->what;
        cell[2] = n(press, f->value, f->decimals);
        cell[3] = f->unit;
    }
    snub_press_column columns[4] = {
        {SAY("of"), "", 34, -1}, {SAY("what"), "", 36, -1}, {SAY("value"), "", 16, 1}, {SAY("unit"), "", 12, -1}};
    snub_press_table(press, columns, 4, g.cell, g.rows);
    findings(press, &report->findings, SAY("Findings on the hardware"));
}

static snub_status curves(snub_press *press, const snub_sheet_build *b, snub_error *error)
{
    snub_drawing drawing;
    if (b->sweep == NULL)
        return SNUB_OK;
    snub_status status = snub_sweep_plot(&b->sweep, NULL, 1, press->speech, press->arena, &drawing, error);
    if (status != SNUB_OK)
        return status;
    double wide = drawing.high[0] - drawing.low[0], high = drawing.high[1] - drawing.low[1];
    double room = press->bottom - press->top;
    double scale = fmin(1, fmin((press->right - press->left) / wide, room / high));
    snub_press_page(press);
    snub_press_drawing(press, &drawing, press->left, press->y, scale);
    press->y += high * scale + 2;
    return SNUB_OK;
}

static void about(snub_press *press)
{
    snub_press_heading(press, SAY("What the numbers mean"));
    snub_press_paragraph(press,
                         SAY("Front view, x to the right, y up, angles counter-clockwise from +x; a clockwise shaft "
                             "speed is positive. Tensions are total; grip and hub load use the tension less the "
                             "belt's centrifugal part. Values are steady, with the nominal belt and the arm's friction "
                             "at the middle of its band, where nothing else is said. Stretch is counted on spans and "
                             "arcs. Findings cover idle to redline, steady, rising and falling, and report the worst. "
                             "Speeds are without creep, which stands beside them."));
    snub_press_quiet(
        press, press->sheet->hash != NULL
                   ? snub_press_fill(press, SAY("Drive file {file}, SHA-256 {hash}, worked out by {version}."), "file",
                                     press->sheet->file != NULL ? press->sheet->file : "", "hash", press->sheet->hash,
                                     "version", press->sheet->version != NULL ? press->sheet->version : "snub", NULL)
                   : "");
}

static snub_status print(snub_press *press, const void *context, snub_error *error)
{
    const snub_sheet_build *b = context;
    const snub_check *check = b->check != NULL ? b->check : b->rest;
    const char *verdict = snub_level_text(snub_findings_verdict(&check->findings));
    snub_press_heading(press, snub_press_fill(press, SAY("Verdict: {verdict}"), "verdict", SAY(verdict), NULL));
    snub_status status = snub_press_front(press, b->rest, PICTURE, NULL, error);
    if (status != SNUB_OK)
        return status;
    about(press);
    findings(press, &check->findings, SAY("Findings"));
    belt_numbers(press, b);
    pulley_input(press, b);
    arm_numbers(press, b);
    if (b->rest->laid)
        state_tables(press, b->drive, &b->rest->balance, SAY("Engine at rest"));
    if (b->check != NULL && b->check->laid)
        state_tables(press, b->drive, &b->check->balance,
                     snub_press_fill(press, SAY("Steady at {speed} rpm"), "speed",
                                     n(press, b->check->engine_speed * RPM, 0), NULL));
    limits(press, b->drive);
    if (b->hardware != NULL)
        facts(press, b->hardware);
    return curves(press, b, error);
}

snub_status snub_sheet_report(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error)
{
    snub_press_job job = {.kind = MESSAGE("Engineering report"), .print = print, .context = build};
    return snub_press_run(sheet, &job, out, error);
}
