/* A build in motion for people. */
#include "table.h"
#include "words.h"

enum { SPEEDS_SHOWN = 5, ORDERS_SHOWN = 12 };
static const double ANGLE_SHOWN = 0.02; /* of the greatest at a speed */
static const double SHARE_SHOWN = 0.05; /* of the energy; less is not worth a word */

static const snub_cell empty;

/* "blower 62 %, tensioner.arm 21 %", the greatest first. */
static const char *moving_words(const snub_vibration *v, const snub_mode *mode, snub_arena *arena)
{
    snub_text words = {0};
    double bound = INFINITY;
    for (;;) {
        int next = -1;
        for (int i = 0; i < v->motion->count; i++) {
            if (mode->energy[i] < bound && (next < 0 || mode->energy[i] > mode->energy[next]))
                next = i;
        }
        if (next < 0 || mode->energy[next] < SHARE_SHOWN)
            break;
        bound = mode->energy[next];
        snub_text_puts(&words, words.length > 0 ? ", " : "");
        snub_mover_words(v, next, &words);
        snub_text_printf(&words, " %.0f %%", mode->energy[next] / SNUB_PERCENT);
    }
    return snub_words_copy(&words, arena);
}

static int put_modes(const snub_vibration *v, bool held, snub_arena *arena, snub_cell *cells)
{
    const snub_modes *modes = held ? &v->held.modes : &v->free.modes;
    for (int i = 0; i < modes->count; i++) {
        const snub_mode *mode = &modes->mode[i];
        cells[4 * i + 0] = snub_cell_text(held ? "held" : "free");
        cells[4 * i + 1] = snub_cell_number(mode->frequency, SNUB_MARK_NONE);
        cells[4 * i + 2] = snub_cell_number(mode->frequency * SNUB_MINUTE / v->firing, SNUB_MARK_NONE);
        cells[4 * i + 3] = snub_cell_text(moving_words(v, mode, arena));
    }
    return modes->count;
}

static snub_status add_modes(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column columns[] = {{"crank", "", SNUB_CELL_TEXT, 0},
                                          {"frequency", "Hz", SNUB_CELL_NUMBER, 1},
                                          {"firing meets it", "rpm", SNUB_CELL_NUMBER, 0},
                                          {"what moves, share of energy", "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 8 * SNUB_MOVERS_MOST);
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const int held = put_modes(v, true, arena, cells);
    const int rows = held + put_modes(v, false, arena, cells + 4 * held);
    const snub_data_table table = {
        .name = "modes", .column_count = 4, .columns = columns, .row_count = rows, .cells = cells};
    if (rows == 0)
        return SNUB_OK;
    snub_text_printf(out, "\nNatural frequencies of pulleys and arm at %.0f rpm, without damping\n\n",
                     v->modes_speed / SNUB_RPM);
    return snub_table_show(&table, look, out, error);
}

/* Behind an empty line, if there are words; frees them. */
static void add_paragraph(snub_text *words, const snub_look *look, snub_text *out)
{
    if (words->length > 0) {
        snub_text_puts(out, "\n");
        snub_wrap(words->data, 0, 0, look->width, out);
    }
    out->failed = out->failed || words->failed;
    snub_text_free(words);
}

/* Why some modes are missing, and that an arm stands. */
static void add_missing(const snub_vibration *v, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    if (v->motion == NULL) {
        snub_text_puts(&words, "There are no natural frequencies: the belt has no balance. ");
        if (v->build->settled && v->point[0].why.level != SNUB_PASS)
            snub_finding_sentence(&v->point[0].why, look->locale, &words);
    } else if (!v->held.found)
        snub_text_printf(&words, "No frequencies with the crank held: %s.", v->held.why.message);
    else if (!v->free.found)
        snub_text_printf(&words, "No frequencies with the crank free: %s.", v->free.why.message);
    if (v->motion != NULL && v->drive->arm >= 0 && !v->motion->arm_moves)
        snub_text_printf(&words, "%sThe arm stands at an end of its travel and does not move.",
                         words.length > 0 ? " " : "");
    add_paragraph(&words, look, out);
}

/* The speeds that have room in a table: the first, the last, and some between. */
static int choose_speeds(const snub_vibration *v, int *chosen)
{
    const int shown = v->speeds < SPEEDS_SHOWN ? v->speeds : SPEEDS_SHOWN;
    for (int c = 0; c < shown; c++)
        chosen[c] = shown == 1 ? 0 : c * (v->speeds - 1) / (shown - 1);
    return shown;
}

static snub_status add_spans(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    int chosen[SPEEDS_SHOWN];
    const int shown = choose_speeds(v, chosen), width = shown + 1, rows = v->drive->pulley_count;
    snub_column columns[SPEEDS_SHOWN + 1] = {{"span", "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, width * rows);
    for (int c = 0; c < shown; c++) {
        const char *title = snub_format(arena, "%.0f rpm", v->point[chosen[c]].speed / SNUB_RPM);
        columns[c + 1] = (snub_column){title, "Hz", SNUB_CELL_NUMBER, 1};
    }
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < rows; i++) {
        cells[width * i] = snub_cell_text(
            snub_format(arena, "%s - %s", v->drive->pulleys[i].name, v->drive->pulleys[(i + 1) % rows].name));
        for (int c = 0; c < shown; c++) {
            const snub_vibration_point *point = &v->point[chosen[c]];
            cells[width * i + c + 1] =
                point->solved ? snub_cell_number(point->span[i].frequency[0], SNUB_MARK_NONE) : empty;
        }
    }
    const snub_data_table table = {
        .name = "spans", .column_count = width, .columns = columns, .row_count = rows, .cells = cells};
    snub_text_puts(out, "\nFirst frequency of each span over engine speed");
    snub_text_puts(out, v->drive->belt.bending > 0.0 ? ", with the belt's bending stiffness\n\n"
                                                     : "; the second is twice as high\n\n");
    return snub_table_show(&table, look, out, error);
}

/* Orders that some shown speed has with a part of its greatest angle. */
static int choose_orders(const snub_vibration *v, const int *chosen, int shown, double *orders)
{
    enum { FINEST = 2 * SNUB_ORDERS + 1 };
    int count = 0;
    for (int half = 1; half < 2 * FINEST && count < ORDERS_SHOWN; half++) {
        bool wanted = false;
        for (int c = 0; c < shown; c++) {
            const snub_vibration_point *p = &v->point[chosen[c]];
            double greatest = 0.0, here = 0.0;
            for (int k = 0; k < p->order_count; k++) {
                greatest = fmax(greatest, p->order[k].angle);
                here = fabs(p->order[k].order - 0.5 * half) < 0.25 ? fmax(here, p->order[k].angle) : here;
            }
            wanted = wanted || (here > 0.0 && here >= ANGLE_SHOWN * greatest);
        }
        if (wanted)
            orders[count++] = 0.5 * half;
    }
    return count;
}

/* Angle of an order at a speed; the table's rows are half orders. */
static snub_cell angle_cell(const snub_vibration_point *point, double order)
{
    for (int k = 0; k < point->order_count; k++) {
        if (fabs(point->order[k].order - order) < 0.25)
            return snub_cell_number(point->order[k].angle / SNUB_DEG, SNUB_MARK_NONE);
    }
    return empty;
}

static void add_uneven_basis(const snub_vibration *v, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    const char *between = " Assumed by rules of thumb: ";
    if (!v->uneven.known)
        snub_text_printf(&words, "How unevenly the crank turns is not known: %s.", v->uneven.why.message);
    else if (!v->uneven.measured)
        snub_text_printf(&words, "From the cylinders %s, the crank as one body.",
                         v->way == SNUB_SHUT ? "without load, which turn the engine and the drive alone"
                                             : "at full load");
    for (unsigned bit = 1; bit <= SNUB_ASSUMED_FIRING && v->uneven.known; bit <<= 1) {
        if (v->uneven.assumed & bit) {
            snub_text_printf(&words, "%s%s", between, snub_cylinder_assumed_text((snub_cylinder_assumed)bit));
            between = "; ";
        }
    }
    if (v->uneven.assumed != 0 && v->uneven.known)
        snub_text_puts(&words, ". A measured table (engine.irregularity) is better.");
    add_paragraph(&words, look, out);
}

static snub_status add_uneven(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    int chosen[SPEEDS_SHOWN];
    double orders[ORDERS_SHOWN];
    const int shown = choose_speeds(v, chosen), width = shown + 1;
    const int rows = choose_orders(v, chosen, shown, orders);
    snub_column columns[SPEEDS_SHOWN + 1] = {{"order", "", SNUB_CELL_NUMBER, 1}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, width * (rows + 1));
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int c = 0; c < shown; c++) {
        const char *title = snub_format(arena, "%.0f rpm", v->point[chosen[c]].speed / SNUB_RPM);
        columns[c + 1] = (snub_column){title, "deg", SNUB_CELL_NUMBER, 4};
        for (int i = 0; i < rows; i++) {
            cells[width * i] = snub_cell_number(orders[i], SNUB_MARK_NONE);
            cells[width * i + c + 1] = angle_cell(&v->point[chosen[c]], orders[i]);
        }
    }
    const snub_data_table table = {
        .name = "orders", .column_count = width, .columns = columns, .row_count = rows, .cells = cells};
    if (rows > 0) {
        snub_text_puts(out, "\nHow unevenly the crank turns: amplitude of its angle by order\n\n");
        const snub_status status = snub_table_show(&table, look, out, error);
        if (status != SNUB_OK)
            return status;
    }
    add_uneven_basis(v, look, out);
    return SNUB_OK;
}

/* The order that pulls most at a speed, and the span at which it does. @return false: nothing is known there */
static bool hardest(const snub_vibration *v, const snub_vibration_point *point, int *order, int *span)
{
    double most = -1.0;
    for (int k = 0; point->response != NULL && k < point->order_count; k++) {
        for (int i = 0; i < v->drive->pulley_count; i++) {
            if (point->response[k].tension[i] <= most)
                continue;
            most = point->response[k].tension[i];
            *order = k;
            *span = i;
        }
    }
    return most >= 0.0;
}

/* "alternator lets go", of pulleys whose clutches do. */
static const char *lets_go_words(const snub_vibration *v, const snub_response *r, snub_arena *arena)
{
    const char *words = "";
    for (int i = 0; i < v->drive->pulley_count && words != NULL; i++) {
        if (r->lets_go[i])
            words = snub_format(arena, "%s; %s lets go", words, v->drive->pulleys[i].name);
    }
    return words != NULL ? words : "";
}

static int put_hardest(const snub_vibration *v, snub_arena *arena, snub_cell *cells)
{
    const int n = v->drive->pulley_count;
    int rows = 0, order = 0, span = 0;
    for (int k = 0; k < v->speeds; k++) {
        const snub_vibration_point *p = &v->point[k];
        if (!hardest(v, p, &order, &span))
            continue;
        const snub_response *r = &p->response[order];
        snub_cell *row = &cells[6 * rows++];
        row[0] = snub_cell_number(p->speed / SNUB_RPM, SNUB_MARK_NONE);
        row[1] = snub_cell_number(p->order[order].order, SNUB_MARK_NONE);
        row[2] = snub_cell_number(r->tension[span], SNUB_MARK_NONE);
        row[3] = snub_cell_number(p->span[span].tension, SNUB_MARK_NONE);
        row[4] = v->drive->arm < 0 ? empty : snub_cell_number(r->angle[n] / SNUB_DEG, SNUB_MARK_NONE);
        row[5] = snub_cell_text(snub_format(arena, "%s - %s%s%s%s", v->drive->pulleys[span].name,
                                            v->drive->pulleys[(span + 1) % n].name,
                                            snub_swings_slack(v, p, order, span) ? "; goes slack" : "",
                                            r->sticks ? "; arm sticks" : "", lets_go_words(v, r, arena)));
    }
    return rows;
}

/* What the crank's unevenness does: at each speed the order that pulls most. */
static snub_status add_response(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                                snub_error *error)
{
    static const snub_column metric[] = {{"engine", "rpm", SNUB_CELL_NUMBER, 0}, {"order", "", SNUB_CELL_NUMBER, 1},
                                         {"swing", "N", SNUB_CELL_NUMBER, 0},    {"mean", "N", SNUB_CELL_NUMBER, 0},
                                         {"arm", "deg", SNUB_CELL_NUMBER, 3},    {"span", "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 6 * v->speeds);
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const int rows = put_hardest(v, arena, cells);
    const snub_data_table table = {
        .name = "response", .column_count = 6, .columns = metric, .row_count = rows, .cells = cells};
    if (rows == 0)
        return SNUB_OK;
    return snub_table_titled("What that does: the order that pulls most at each speed, amplitudes", &table, look, arena,
                             out, error);
}

/* The inertias that the file does not give. */
static void add_assumed(const snub_vibration *v, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    for (int i = 0; i < v->drive->pulley_count + (v->drive->arm >= 0 ? 1 : 0); i++) {
        const bool arm = i == v->drive->pulley_count;
        const snub_inertia_from from = arm ? v->inertias.arm_from : v->inertias.pulley_from[i];
        const double inertia = arm ? v->inertias.arm : v->inertias.pulley[i];
        if (from == SNUB_INERTIA_GIVEN || from == SNUB_INERTIA_UNKNOWN)
            continue;
        snub_text_puts(&words, words.length > 0 ? "; " : "Inertias that the file does not give, by rules of thumb: ");
        snub_mover_words(v, i, &words);
        snub_text_printf(&words, " %s", SNUB_SHOWN(look, inertia, SNUB_UNIT_KG_M2, 5));
        snub_text_printf(&words, " (%s)", snub_inertia_from_text(from));
    }
    if (words.length > 0)
        snub_text_puts(&words, ". The frequencies are no better than they.");
    add_paragraph(&words, look, out);
}

snub_status snub_text_vibration(const snub_vibration *vibration, const snub_look *look, snub_text *out,
                                snub_error *error)
{
    snub_arena arena = {0};
    const snub_build *build = vibration->build;
    snub_text_printf(out, "%s\nbelt %s", build->drive->title != NULL ? build->drive->title : "(no title)",
                     build->settled ? build->designation : "none");
    snub_belt_size_words(build, look->locale, out);
    snub_text_printf(out, ", %s, nominal belt\n",
                     vibration->way == SNUB_SHUT ? "throttle closed, speed held" : "steady, throttle open");
    snub_status status = add_modes(vibration, look, &arena, out, error);
    add_missing(vibration, look, out);
    if (status == SNUB_OK && vibration->coupled != NULL)
        status = snub_coupled_show(vibration, look, &arena, out, error);
    if (status == SNUB_OK && vibration->motion != NULL)
        status = add_spans(vibration, look, &arena, out, error);
    if (status == SNUB_OK)
        status = add_uneven(vibration, look, &arena, out, error);
    if (status == SNUB_OK)
        status = add_response(vibration, look, &arena, out, error);
    if (status == SNUB_OK && vibration->flapping != NULL)
        status = snub_flapping_show(vibration, look, &arena, out, error);
    if (status == SNUB_OK && vibration->calming != NULL)
        status = snub_calming_show(vibration, look, &arena, out, error);
    add_assumed(vibration, look, out);
    if (status == SNUB_OK && (arena.refused || out->failed))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_arena_free(&arena);
    if (snub_areas_count(build, SNUB_AREAS_OF_MOTION) > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&build->findings, SNUB_AREAS_OF_MOTION, look, out);
    snub_text_puts(out, "\n");
    snub_verdict_show(build, SNUB_AREAS_OF_MOTION, look, out);
    return status;
}
