/* Hardware for people. */
#include "cautions.h"
#include "table.h"
#include "words.h"

#include <string.h>

static snub_status show(const char *title, const snub_column *columns, int column_count, const snub_cell *cells,
                        int rows, const snub_look *look, snub_text *out, snub_error *error)
{
    const snub_data_table table = {.name = title,
                                   .title = title,
                                   .column_count = column_count,
                                   .columns = columns,
                                   .row_count = rows,
                                   .cells = cells};
    if (rows == 0)
        return SNUB_OK;
    snub_text_puts(out, "\n");
    return snub_table_show(&table, look, out, error);
}

static void line(const snub_look *look, snub_text *out, const char *word, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void line(const snub_look *look, snub_text *out, const char *word, const char *format, ...)
{
    enum { INDENT = 10 };
    snub_text text = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&text, format, arguments);
    va_end(arguments);
    snub_text_printf(out, "%-*s", INDENT, word);
    snub_wrap(text.data != NULL ? text.data : "", INDENT, INDENT, look->width, out);
    out->failed = out->failed || text.failed;
    snub_text_free(&text);
}

static snub_status planes(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},       {"plane", "mm", SNUB_CELL_NUMBER, 2},
        {"entry", "deg", SNUB_CELL_NUMBER, 3},   {"loaded", "deg", SNUB_CELL_NUMBER, 3},
        {"+- rss", "deg", SNUB_CELL_NUMBER, 3},  {"+- worst", "deg", SNUB_CELL_NUMBER, 3},
        {"no shim", "deg", SNUB_CELL_NUMBER, 3}, {"drift", "mm", SNUB_CELL_NUMBER, 2},
        {"edge", "mm", SNUB_CELL_NUMBER, 2},     {"hub", "N", SNUB_CELL_NUMBER, 0}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_plane_result *p = &r->plane[i];
        const bool guides = r->drive->hardware->pulleys[i].guides;
        *cell++ = snub_cell_text(r->drive->pulleys[i].name);
        *cell++ = snub_cell_plain(r->drive->pulleys[i].plane / SNUB_MM);
        *cell++ = snub_cell_plain(guides ? p->entry / SNUB_DEG : NAN);
        *cell++ = snub_cell_plain(guides ? p->entry_loaded / SNUB_DEG : NAN);
        *cell++ = snub_cell_plain(guides ? p->rss / SNUB_DEG : NAN);
        *cell++ = snub_cell_plain(guides ? p->worst / SNUB_DEG : NAN);
        *cell++ = snub_cell_plain(guides && r->shims.wanted ? p->unshimmed / SNUB_DEG : NAN);
        *cell++ = snub_cell_plain(p->drift / SNUB_MM);
        *cell++ = snub_cell_plain(p->edge / SNUB_MM);
        *cell++ = snub_cell_plain(r->hub[i].worst_size);
    }
    return show("Planes: the belt's angle at its entry to each guiding pulley; worst hub load", columns, COLUMNS, cells,
                r->drive->pulley_count, look, out, error);
}

static snub_status standoffs(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"standoff of", "", SNUB_CELL_TEXT, 0},    {"moment", "N m", SNUB_CELL_NUMBER, 1},
        {"opens at", "N m", SNUB_CELL_NUMBER, 1},  {"preload", "kN", SNUB_CELL_NUMBER, 1},
        {"torque", "N m", SNUB_CELL_NUMBER, 0},    {"slope", "arcmin", SNUB_CELL_NUMBER, 2},
        {"stress", "MPa", SNUB_CELL_NUMBER, 1},    {"friction", "used", SNUB_CELL_NUMBER, 2},
        {"fatigue", "safety", SNUB_CELL_NUMBER, 2}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    int rows = 0;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_standoff_result *s = &r->standoff[i];
        if (!s->given)
            continue;
        rows++;
        *cell++ = snub_cell_text(r->drive->pulleys[i].name);
        *cell++ = snub_cell_plain(s->moment);
        *cell++ = snub_cell_plain(s->no_gap);
        *cell++ = snub_cell_plain(0.5 * (s->preload_low + s->preload_high) / 1000);
        *cell++ = snub_cell_plain(s->torque);
        *cell++ = snub_cell_plain(s->slope / SNUB_ARCMIN);
        *cell++ = snub_cell_plain(s->stress / 1e6);
        *cell++ = snub_cell_plain(r->clamp[i].given && r->clamp[i].bolt == s->bolt ? NAN : s->slip_use);
        *cell++ = snub_cell_plain(s->fatigue);
    }
    return show("Standoffs under the worst hub load", columns, COLUMNS, cells, rows, look, out, error);
}

static snub_status slots(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"slot of", "", SNUB_CELL_TEXT, 0},      {"bolt", "", SNUB_CELL_TEXT, 0},
        {"torque", "N m", SNUB_CELL_NUMBER, 0},  {"preload", "kN", SNUB_CELL_NUMBER, 1},
        {"along it", "N", SNUB_CELL_NUMBER, 0},  {"friction", "used", SNUB_CELL_NUMBER, 2},
        {"proof", "safety", SNUB_CELL_NUMBER, 2}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    int rows = 0;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_clamp_result *c = &r->clamp[i];
        if (!c->given)
            continue;
        rows++;
        *cell++ = snub_cell_text(r->drive->pulleys[i].name);
        *cell++ = snub_cell_text(c->bolt->name);
        *cell++ = snub_cell_plain(c->torque);
        *cell++ = snub_cell_plain(c->preload / 1000);
        *cell++ = snub_cell_plain(c->load);
        *cell++ = snub_cell_plain(c->slip_use);
        *cell++ = snub_cell_plain(c->screw.proof);
    }
    return show("Bolts that hold sliders in their slots, under the worst load along them", columns, COLUMNS, cells,
                rows, look, out, error);
}

static snub_status strips(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},      {"bracket", "", SNUB_CELL_TEXT, 0},
        {"worst at", "", SNUB_CELL_TEXT, 0},    {"stress", "MPa", SNUB_CELL_NUMBER, 0},
        {"stands", "MPa", SNUB_CELL_NUMBER, 0}, {"alternates", "MPa", SNUB_CELL_NUMBER, 1},
        {"mean", "MPa", SNUB_CELL_NUMBER, 1},   {"fatigue", "safety", SNUB_CELL_NUMBER, 1}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    int rows = 0;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_strip_result *s = &r->strip[i];
        if (!s->given)
            continue;
        rows++;
        *cell++ = snub_cell_text(r->drive->pulleys[i].name);
        *cell++ = snub_cell_text(r->drive->hardware->mounts[r->drive->hardware->pulleys[i].mount].name);
        *cell++ = snub_cell_text(s->greatest_at_slot ? "end of slot" : "bolt hole");
        *cell++ = snub_cell_plain(s->stress / SNUB_MPA);
        *cell++ = snub_cell_plain(s->strength / SNUB_MPA);
        *cell++ = snub_cell_plain(s->alternating / SNUB_MPA);
        *cell++ = snub_cell_plain(s->mean / SNUB_MPA);
        *cell++ = snub_cell_plain(s->fatigue);
    }
    return show("Brackets that bend, under each pulley", columns, COLUMNS, cells, rows, look, out, error);
}

/* A wrench may have either scale: in inch units the torque of a bolt stands in both. */
static snub_cell torque_cell(double torque, const snub_look *look, snub_arena *arena)
{
    if (look->locale == NULL || !look->locale->inches || !isfinite(torque))
        return snub_cell_plain(torque);
    return snub_cell_text(snub_format(arena, "%6.1f / %5.1f", torque / SNUB_LBF_FT, torque));
}

static snub_status tightening(const snub_mount_result *m, const snub_look *look, snub_text *out, snub_error *error)
{
    const bool inches = look->locale != NULL && look->locale->inches;
    snub_arena arena = {0};
    const snub_column columns[] = {{"no", "", SNUB_CELL_COUNT, 0},
                                   {"bolt", "", SNUB_CELL_TEXT, 0},
                                   {"thread", "", SNUB_CELL_TEXT, 0},
                                   {"class", "", SNUB_CELL_TEXT, 0},
                                   {"place", "", SNUB_CELL_TEXT, 0},
                                   {inches ? "  torque" : "torque", inches ? "lbf ft / N m" : "N m",
                                    inches ? SNUB_CELL_TEXT : SNUB_CELL_NUMBER, 1},
                                   {"preload", "kN", SNUB_CELL_NUMBER, 1},
                                   {"scatter", "+- %", SNUB_CELL_NUMBER, 0}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_BOLTS_MOST * COLUMNS], *cell = cells;
    for (int k = 0; k < m->mount->bolt_count; k++) {
        const snub_bolt_result *b = &m->bolts[m->tighten[k]];
        *cell++ = snub_cell_count(b->order);
        *cell++ = snub_cell_text(b->bolt->name);
        *cell++ = snub_cell_text(b->bolt->thread);
        *cell++ = snub_cell_text(b->bolt->class_);
        *cell++ = snub_cell_text(b->bolt->locates ? "locates" : "follows");
        *cell++ = torque_cell(b->torque, look, &arena);
        *cell++ = snub_cell_plain(b->preload / 1000);
        *cell++ = snub_cell_plain(b->bolt->scatter * 100);
    }
    const snub_status status =
        show("Bolts in the order of tightening", columns, COLUMNS, cells, m->mount->bolt_count, look, out, error);
    snub_arena_free(&arena);
    return status;
}

static snub_status bolt_loads(const snub_mount_result *m, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"bolt", "", SNUB_CELL_TEXT, 0},          {"shear", "N", SNUB_CELL_NUMBER, 0},
        {"pull", "N", SNUB_CELL_NUMBER, 0},       {"friction", "used", SNUB_CELL_NUMBER, 2},
        {"opens", "safety", SNUB_CELL_NUMBER, 1}, {"stress", "MPa", SNUB_CELL_NUMBER, 0},
        {"proof", "safety", SNUB_CELL_NUMBER, 2}, {"fatigue", "safety", SNUB_CELL_NUMBER, 1}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_BOLTS_MOST * COLUMNS], *cell = cells;
    for (int k = 0; k < m->mount->bolt_count && m->carried; k++) {
        const snub_bolt_result *b = &m->bolts[m->tighten[k]];
        *cell++ = snub_cell_text(b->bolt->name);
        *cell++ = snub_cell_plain(b->shear);
        *cell++ = snub_cell_plain(b->pull);
        *cell++ = snub_cell_plain(b->slip_use);
        *cell++ = snub_cell_plain(b->joint.separate);
        *cell++ = snub_cell_plain(b->screw.stress / 1e6);
        *cell++ = snub_cell_plain(b->screw.proof);
        *cell++ = snub_cell_plain(b->joint.fatigue);
    }
    return show("Their worst loads", columns, COLUMNS, cells, m->carried ? m->mount->bolt_count : 0, look, out, error);
}

static snub_status mounts(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = 0; i < r->mount_count && status == SNUB_OK; i++) {
        const snub_mount_result *m = &r->mounts[i];
        snub_text_printf(out, "\nMount: %s\n", m->mount->name);
        line(look, out, "load", "worst %s in the plane, %s about the bolts, %s tilting; friction %.2f (%s)",
             SNUB_SHOWN(look, m->force, SNUB_UNIT_N, 0), SNUB_SHOWN(look, m->moment, SNUB_UNIT_N_M, 1),
             SNUB_SHOWN(look, m->overturning, SNUB_UNIT_N_M, 1), m->mount->friction,
             m->mount->faces != NULL ? m->mount->faces : "given or least of the table");
        if (m->mount->vibration > 0.0)
            line(look, out, "vibration", "%.1f times gravity on `mass` in any direction, counted",
                 m->mount->vibration / SNUB_GRAVITY);
        else
            line(look, out, "vibration", "not counted: give mass, mass_at and vibration");
        if (m->slope > 0)
            line(look, out, "bracket", "bends and twists by %.2f minutes of arc", m->slope / SNUB_ARCMIN);
        status = tightening(m, look, out, error);
        snub_text order = {0};
        snub_tightening_words(m, NULL, &order);
        line(look, out, "order", "%s", order.data != NULL ? order.data : "");
        out->failed = out->failed || order.failed;
        snub_text_free(&order);
        for (int k = 0; k < m->mount->bolt_count; k++) {
            if (k == 0 || strcmp(m->bolts[k].torque_source, m->bolts[k - 1].torque_source) != 0)
                line(look, out, "torque", "%s: %s", m->bolts[k].bolt->name, m->bolts[k].torque_source);
        }
        if (status == SNUB_OK)
            status = bolt_loads(m, look, out, error);
    }
    return status;
}

/* What the lives rest on: a line for each seat that differs from the one before. */
static void film(const snub_hardware_report *r, const snub_look *look, snub_text *out)
{
    snub_text last = {0};
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_bearing_seat *s = &r->drive->hardware->pulleys[i].seat;
        snub_text now = {0};
        if (!r->bearing[i].given)
            continue;
        snub_text_printf(&now, "oil of %s at %s and %s at %s%s, cleanliness %s%s, loads times %.2f%s",
                         SNUB_SHOWN(look, s->oil[0], SNUB_UNIT_MM2_S, 0),
                         SNUB_SHOWN(look, 40 + SNUB_ZERO_CELSIUS, SNUB_UNIT_DEGC, 0),
                         SNUB_SHOWN(look, s->oil[1], SNUB_UNIT_MM2_S, 1),
                         SNUB_SHOWN(look, 100 + SNUB_ZERO_CELSIUS, SNUB_UNIT_DEGC, 0), s->oil_given ? "" : " (default)",
                         snub_cleanliness_text(s->cleanliness), s->cleanliness_given ? "" : " (default)",
                         s->application_factor, s->application_given ? "" : " (default)");
        if (last.data == NULL || now.data == NULL || strcmp(last.data, now.data) != 0)
            line(look, out, "life", "%s: a1 aISO L10 with %s", r->drive->pulleys[i].name,
                 now.data != NULL ? now.data : "");
        out->failed = out->failed || now.failed;
        snub_text_free(&last);
        last = now;
    }
    snub_text_free(&last);
}

static snub_status bearings(const snub_hardware_report *r, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {{"pulley", "", SNUB_CELL_TEXT, 0},      {"type", "", SNUB_CELL_TEXT, 0},
                                          {"P", "N", SNUB_CELL_NUMBER, 0},        {"L10", "h", SNUB_CELL_NUMBER, 0},
                                          {"aISO", "", SNUB_CELL_NUMBER, 2},      {"life", "h", SNUB_CELL_NUMBER, 0},
                                          {"grease", "h", SNUB_CELL_NUMBER, 0},   {"top", "rpm", SNUB_CELL_NUMBER, 0},
                                          {"ndm", "mm rpm", SNUB_CELL_NUMBER, 0}, {"s0", "", SNUB_CELL_NUMBER, 1},
                                          {"tilt", "arcmin", SNUB_CELL_NUMBER, 1}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    int rows = 0;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_bearing_result *b = &r->bearing[i];
        if (!b->given)
            continue;
        rows++;
        *cell++ = snub_cell_text(r->drive->pulleys[i].name);
        *cell++ = snub_cell_text(b->bearing->designation);
        *cell++ = snub_cell_plain(b->load);
        *cell++ = snub_cell_plain(b->life / SNUB_HOUR);
        *cell++ = snub_cell_plain(b->life_factor);
        *cell++ = snub_cell_plain(b->life_adjusted / SNUB_HOUR);
        *cell++ = snub_cell_plain(b->grease / SNUB_HOUR);
        *cell++ = snub_cell_plain(b->top_speed / SNUB_RPM);
        *cell++ = snub_cell_plain(b->n_dm);
        *cell++ = snub_cell_plain(b->static_safety);
        *cell++ = snub_cell_plain(b->tilt / SNUB_ARCMIN);
    }
    snub_status status = show("Bearings over the duty", columns, COLUMNS, cells, rows, look, out, error);
    if (rows > 0)
        film(r, look, out);
    if (rows > 0 && r->duty_assumed)
        line(look, out, "duty", "%s",
             "not in the file: time is taken to fall linearly from idle to a twentieth of that at "
             "the redline (rule of thumb); give `duty` for your own");
    return status;
}

static snub_status tables(const snub_hardware_report *report, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_status status = planes(report, look, out, error);
    if (status == SNUB_OK)
        status = standoffs(report, look, out, error);
    if (status == SNUB_OK)
        status = slots(report, look, out, error);
    if (status == SNUB_OK)
        status = mounts(report, look, out, error);
    if (status == SNUB_OK)
        status = strips(report, look, out, error);
    return status == SNUB_OK ? bearings(report, look, out, error) : status;
}

/* "shortest belt: crank, blower; nominal belt: idler" */
static void worst_belts(const snub_hardware_report *r, snub_text *out)
{
    const int n = r->drive->pulley_count;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        int met = 0;
        for (int i = 0; i < n; i++)
            met += (int)r->hub[i].worst_at.corner == corner;
        if (met == n) {
            snub_text_printf(out, "%s, on every hub", snub_corner_text((snub_corner)corner));
            return;
        }
        if (met > 0)
            snub_text_printf(out, "%s%s:", out->length > 0 ? "; " : "", snub_corner_text((snub_corner)corner));
        for (int i = 0, k = 0; i < n; i++) {
            if ((int)r->hub[i].worst_at.corner == corner)
                snub_text_printf(out, "%s %s", k++ > 0 ? "," : "", r->drive->pulleys[i].name);
        }
    }
}

/* Whether the crank's swing is in the numbers below, and what they are without it. */
static void swing(const snub_hardware_report *r, const snub_look *look, snub_text *out)
{
    snub_text without = {0};
    if (!r->swings && r->swing_missing != NULL)
        line(look, out, "swing", "the swing of the crank is not counted in the loads: give %s", r->swing_missing);
    if (!r->swings)
        return;
    for (int i = 0; i < r->drive->pulley_count; i++) {
        const snub_bearing_result *b = &r->bearing[i];
        if (r->hub[i].worst_at.swings)
            snub_text_printf(&without, "%s hub load of %s %s", without.length > 0 ? ";" : "", r->drive->pulleys[i].name,
                             SNUB_SHOWN(look, r->hub[i].worst_steady, SNUB_UNIT_N, 0));
        if (b->given)
            snub_text_printf(&without, "%s life of %s %s", without.length > 0 ? ";" : "", r->drive->pulleys[i].name,
                             SNUB_SHOWN(look, b->life_steady, SNUB_UNIT_H, 0));
    }
    line(look, out, "swing",
         "the swing of the crank is counted in the loads: nominal belt, idle to redline without load, full load from "
         "twice idle. Without it:%s.",
         without.data != NULL ? without.data : " the same");
    out->failed = out->failed || without.failed;
    snub_text_free(&without);
}

static void loads(const snub_build *build, const snub_look *look, snub_text *out)
{
    const snub_hardware_report *r = build->report;
    const double tolerance = snub_belt_tolerance(&build->drive->belt, build->length);
    snub_text belts = {0};
    line(look, out, "loads",
         "engine stopped, and idle to redline in all ways of running; belts of %s to %s, "
         "within tolerance, the longest worn. Each part is judged by the belt that loads it most.",
         SNUB_SHOWN(look, build->length - tolerance, SNUB_UNIT_MM, 0),
         SNUB_SHOWN(look, build->length + tolerance, SNUB_UNIT_MM, 0));
    worst_belts(r, &belts);
    line(look, out, "heaviest", "%s", belts.data != NULL ? belts.data : "");
    swing(r, look, out);
    out->failed = out->failed || belts.failed;
    snub_text_free(&belts);
}

snub_status snub_text_hardware(const snub_build *build, const snub_look *look, snub_text *out, snub_error *error)
{
    const snub_drive *drive = build->drive;
    snub_status status = SNUB_OK;
    snub_text row = {0}, belt = {0};
    snub_text_printf(out, "%s\n", drive->title != NULL ? drive->title : "(no title)");
    snub_row_words(&build->row, false, look->locale, &row);
    if (row.length > 0)
        line(look, out, "build", "%s", row.data);
    snub_text_free(&row);
    snub_text_puts(&belt, build->settled ? build->designation : "none");
    snub_belt_size_words(build, look->locale, &belt);
    line(look, out, "belt", "%s", belt.data != NULL ? belt.data : "");
    out->failed = out->failed || belt.failed;
    snub_text_free(&belt);
    if (build->report != NULL && build->report->done) {
        loads(build, look, out);
        status = tables(build->report, look, out, error);
    } else {
        line(look, out, "hardware", "%s",
             drive->hardware == NULL
                 ? "the file has none: add stacks, obstacles, mounts, standoffs or bearings to have it judged"
                 : "not judged: the belt cannot be laid or tensioned");
    }
    if (snub_areas_count(build, SNUB_AREAS_OF_MOUNT) > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&build->findings, SNUB_AREAS_OF_MOUNT, look, out);
    snub_text_puts(out, "\n");
    snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_TORQUE) | snub_cautions_advised(build, SNUB_AREAS_OF_MOUNT), look,
                       out);
    snub_verdict_show(build, SNUB_AREAS_OF_MOUNT, look, out);
    if (status == SNUB_OK && out->failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status;
}
