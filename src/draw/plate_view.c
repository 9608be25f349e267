/** A bracket as a plate, full size, to be cut: docs/theory/plate.md. */
#include <math.h>
#include <string.h>

#include "compose.h"
#include "labels.h"
#include "plate_outline.h"
#include "ruler.h"
#include "snub/clearance.h"
#include "view.h"

#define EDGE 40.0    /* mm round the plate, for names */
#define OFF_SLOT 1.5 /* mm from a slot's rim to its scale */
#define STROKE 2.0   /* mm, of a scale's shortest lines */
#define CUT_PEN 0.35 /* sheet mm */
#define CURVE_STEPS                                                                                                    \
    48 /* discs along a curved slot; by how much the lines between them cut in is added to their radius */

/* What leaves metal away: a hole, or a slot as a row of discs along its middle. */
typedef struct opening {
    const char *name;
    int first, count; /* of the discs */
} opening;

typedef struct plate_job {
    const snub_plate *plate;
    const snub_locale *locale;
    snub_drawing *drawing;
    snub_arena *arena;
    snub_disc_at *disc; /* of openings, without edge */
    int discs;
    opening *open;
    int openings;
    snub_vertex *outline;
    int corners;
} plate_job;

/* ---- contours ---------------------------------------------------------------------------------------------------- */

static snub_pen cut_pen(void)
{
    return snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, CUT_PEN);
}

static void straight_slot(plate_job *j, const snub_plate_slot *s)
{
    const double *a = s->slot.from, *b = s->slot.to, r = s->width / 2;
    const double x = (b[0] - a[0]) / s->slot.length, y = (b[1] - a[1]) / s->slot.length;
    const snub_vertex vertex[4] = {{a[0] + r * y, a[1] - r * x, 0},
                                   {b[0] + r * y, b[1] - r * x, 1},
                                   {b[0] - r * y, b[1] + r * x, 0},
                                   {a[0] - r * y, a[1] + r * x, 1}};
    snub_draw_path(j->drawing, SNUB_LAYER_CUT, cut_pen(), SNUB_INK_NONE, vertex, 4, true);
}

static snub_vertex at_angle(const snub_view_slot *slot, double radius, double angle, double bulge)
{
    return (snub_vertex){slot->centre[0] + radius * cos(angle), slot->centre[1] + radius * sin(angle), bulge};
}

static void curved_slot(plate_job *j, const snub_plate_slot *s)
{
    const double r = s->width / 2, out = s->slot.radius + r, in = s->slot.radius - r;
    const double low = s->slot.sweep > 0 ? s->slot.start : s->slot.start + s->slot.sweep, sweep = fabs(s->slot.sweep);
    const snub_vertex vertex[4] = {
        at_angle(&s->slot, out, low, tan(sweep / 4)), at_angle(&s->slot, out, low + sweep, 1),
        at_angle(&s->slot, in, low + sweep, -tan(sweep / 4)), at_angle(&s->slot, in, low, 1)};
    snub_draw_path(j->drawing, SNUB_LAYER_CUT, cut_pen(), SNUB_INK_NONE, vertex, 4, true);
}

/* One stroke for each mm beside the slot, to the left as it runs from its 0 end; a number at every tenth. */
static void engrave_scale(plate_job *j, const snub_plate_slot *s)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_SLOT, SNUB_DASH_SOLID, 0.18);
    const bool inches = snub_draw_inches(j->locale);
    const double step = inches ? SNUB_INCH / SNUB_MM / 16 : 1;
    const int named = inches ? 8 : 10, middle = inches ? 4 : 5;
    for (int k = 0; k * step <= s->slot.length + 1e-6; k++) {
        double at[2], way[2];
        char number[32];
        snub_view_slot_point(&s->slot, fmin(k * step, s->slot.length), at, way);
        const double from = s->width / 2 + OFF_SLOT, to = from + STROKE * (k % named == 0    ? 2.0
                                                                           : k % middle == 0 ? 1.5
                                                                                             : 1.0);
        snub_draw_line(j->drawing, SNUB_LAYER_ENGRAVE, pen, at[0] - way[1] * from, at[1] + way[0] * from,
                       at[0] - way[1] * to, at[1] + way[0] * to);
        if (k % named != 0)
            continue;
        const snub_lettering lettering = {.height = 2, .ink = SNUB_INK_SLOT};
        snub_number_text(j->locale, inches ? k / 16.0 : k, inches ? 1 : 0, number);
        snub_draw_text(j->drawing, SNUB_LAYER_ENGRAVE, &lettering, at[0] - way[1] * (to + 2.5),
                       at[1] + way[0] * (to + 2.5), number);
    }
}

/* The outline: the file's polygon, or the hull of all openings with their edge. @return false: out of memory */
static bool draw_outline(plate_job *j)
{
    const snub_plate *plate = j->plate;
    const int room = plate->corners > 0 ? plate->corners : SNUB_HULL_VERTICES(j->discs);
    snub_vertex *vertex = SNUB_NEW(j->arena, snub_vertex, room);
    snub_disc_at *grown = SNUB_NEW(j->arena, snub_disc_at, j->discs + 1);
    if (vertex == NULL || grown == NULL)
        return false;
    int n = plate->corners;
    for (int i = 0; i < plate->corners; i++)
        vertex[i] = (snub_vertex){plate->corner[i][0], plate->corner[i][1], 0};
    for (int i = 0; i < j->discs; i++) {
        grown[i] = j->disc[i];
        grown[i].radius += plate->edge;
    }
    if (n == 0)
        n = snub_hull_of_discs(grown, j->discs, vertex);
    j->outline = vertex;
    j->corners = n;
    snub_draw_path(j->drawing, SNUB_LAYER_CUT, cut_pen(), SNUB_INK_NONE, vertex, n, true);
    return true;
}

/* ---- openings ---------------------------------------------------------------------------------------------------- */

static void add_disc(plate_job *j, double x, double y, double radius)
{
    j->disc[j->discs++] = (snub_disc_at){{x, y}, radius};
    j->open[j->openings - 1].count++;
}

static void begin_opening(plate_job *j, const char *name)
{
    j->open[j->openings++] = (opening){name, j->discs, 0};
}

static bool gather(plate_job *j)
{
    const snub_plate *plate = j->plate;
    const int room = plate->hole_count + plate->slot_count * (CURVE_STEPS + 1);
    j->disc = SNUB_NEW(j->arena, snub_disc_at, room + 1);
    j->open = SNUB_NEW(j->arena, opening, plate->hole_count + plate->slot_count + 1);
    if (j->disc == NULL || j->open == NULL)
        return false;
    for (int i = 0; i < plate->hole_count; i++) {
        if (plate->hole[i].diameter <= 0)
            continue;
        begin_opening(j, plate->hole[i].name);
        add_disc(j, plate->hole[i].at[0], plate->hole[i].at[1], plate->hole[i].diameter / 2);
    }
    for (int i = 0; i < plate->slot_count; i++) {
        const snub_plate_slot *s = &plate->slot[i];
        const int steps = CURVE_STEPS;
        const double cut_in = s->slot.curved ? s->slot.radius * (1 - cos(s->slot.sweep / steps / 2)) : 0;
        begin_opening(j, s->name);
        for (int k = 0; k <= steps; k++) {
            double at[2], way[2];
            snub_view_slot_point(&s->slot, s->slot.length * k / steps, at, way);
            add_disc(j, at[0], at[1], s->width / 2 + cut_in);
        }
    }
    return true;
}

/* ---- what cannot be cut ------------------------------------------------------------------------------------------ */

static double apart(const plate_job *j, const opening *a, const opening *b)
{
    double least = INFINITY;
    for (int i = a->first; i < a->first + a->count; i++) {
        for (int k = b->first; k < b->first + b->count; k++) {
            const snub_disc_at *p = &j->disc[i], *q = &j->disc[k];
            least = fmin(least, hypot(p->at[0] - q->at[0], p->at[1] - q->at[1]) - p->radius - q->radius);
        }
    }
    return least;
}

static snub_status check_outline(const plate_job *j, snub_error *error)
{
    for (int o = 0; o < j->openings && j->plate->corners > 0; o++) {
        const opening *open = &j->open[o];
        for (int i = open->first; i < open->first + open->count; i++) {
            if (-snub_point_polygon(j->disc[i].at, j->plate->corners, j->plate->corner, NULL) <= j->disc[i].radius)
                return snub_fail(error, SNUB_BAD_INPUT, NULL, "outline",
                                 "'%.60s' of mount '%.60s' is cut by the plate's outline", open->name, j->plate->name);
        }
    }
    return SNUB_OK;
}

static snub_status check(const plate_job *j, snub_error *error)
{
    const snub_plate *plate = j->plate;
    if (plate->corners == 0 && !(plate->edge > 0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "bracket",
                         "mount '%.60s' has no outline: give its bracket an `outline`, or an `edge` around its holes",
                         plate->name);
    for (int i = 0; i < plate->slot_count; i++) {
        const snub_plate_slot *s = &plate->slot[i];
        if (!(s->width > 0))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "slot_width",
                             "the width of the slot of '%.60s' is not known: give slot_width, or the bolt in it",
                             s->name);
        if (s->slot.curved && s->slot.radius <= s->width / 2)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "slot_width", "the slot of '%.60s' is wider than its curve",
                             s->name);
    }
    for (int a = 0; a < j->openings; a++) {
        for (int b = 0; b < a; b++) {
            if (apart(j, &j->open[a], &j->open[b]) <= 0)
                return snub_fail(error, SNUB_BAD_INPUT, NULL, "mounts",
                                 "'%.60s' and '%.60s' of mount '%.60s' run together", j->open[b].name, j->open[a].name,
                                 plate->name);
        }
    }
    return check_outline(j, error);
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static const char *needed(snub_drawing *drawing, const char *text)
{
    drawing->failed = drawing->failed || text == NULL;
    return text != NULL ? text : "";
}

static void keep_off_scale(snub_label_map *map, const snub_plate_slot *s)
{
    double before[2] = {0, 0};
    const double off = s->width / 2 + OFF_SLOT + 2 * STROKE;
    for (int k = 0; k <= CURVE_STEPS; k++) {
        double at[2], way[2];
        snub_view_slot_point(&s->slot, s->slot.length * k / CURVE_STEPS, at, way);
        const double here[2] = {at[0] - way[1] * off, at[1] + way[0] * off};
        if (k > 0)
            snub_label_map_line(map, before, here, 2 * STROKE, 1);
        before[0] = here[0];
        before[1] = here[1];
    }
}

static bool draw_labels(plate_job *j)
{
    const snub_plate *plate = j->plate;
    snub_label *label = SNUB_NEW(j->arena, snub_label, plate->hole_count + plate->slot_count + 1);
    snub_label_map *map = snub_label_map_new(j->drawing, j->arena);
    int n = 0;
    if (label == NULL || map == NULL)
        return false;
    for (int i = 0; i < j->corners; i++) {
        const snub_vertex *a = &j->outline[i], *b = &j->outline[(i + 1) % j->corners];
        snub_label_map_line(map, (double[]){a->x, a->y}, (double[]){b->x, b->y}, 1, 1);
    }
    for (int i = 0; i < plate->slot_count; i++)
        keep_off_scale(map, &plate->slot[i]);
    for (int i = 0; i < j->discs; i++)
        snub_label_map_ring(map, j->disc[i].at, 0, j->disc[i].radius + 1, 0.6);
    for (int i = 0; i < plate->hole_count; i++) {
        const snub_plate_hole *hole = &plate->hole[i];
        label[n] = (snub_label){.at = {hole->at[0], hole->at[1]},
                                .clear = hole->diameter / 2 + 2,
                                .along = {0.7, 0.7},
                                .lines = 2,
                                .bold_first = true,
                                .ink = SNUB_INK_TEXT,
                                .height = 2.6};
        label[n].line[0] = hole->name;
        label[n].lines = hole->first != NULL ? 3 : 2;
        label[n].line[2] = hole->first;
        label[n++].line[1] = hole->work != NULL ? hole->work : snub_say(j->locale, SNUB_MESSAGE("hole not given"));
    }
    for (int i = 0; i < plate->slot_count; i++) {
        const snub_plate_slot *s = &plate->slot[i];
        double at[2], way[2];
        char width[48];
        snub_view_slot_point(&s->slot, s->slot.length, at, way);
        label[n] = (snub_label){.at = {at[0], at[1]},
                                .clear = s->width / 2 + 2,
                                .along = {way[0], way[1]},
                                .lines = 2,
                                .bold_first = true,
                                .ink = SNUB_INK_TEXT,
                                .height = 2.6};
        label[n].line[0] = s->name;
        label[n++].line[1] =
            needed(j->drawing, snub_format(j->arena, "%s %s", snub_say(j->locale, SNUB_MESSAGE("slot width")),
                                           snub_draw_mm(j->locale, s->width, 1, width)));
    }
    snub_place_labels(j->drawing, map, label, n);
    return true;
}

static const char *heading(plate_job *j)
{
    const snub_plate *plate = j->plate;
    char thick[48];
    const char *size = plate->thickness > 0 ? snub_draw_mm(j->locale, plate->thickness, 1, thick) : "";
    return needed(j->drawing, snub_format(j->arena, "%s%s%s%s%s", plate->name, plate->material != NULL ? ", " : "",
                                          plate->material != NULL ? snub_say(j->locale, plate->material) : "",
                                          size[0] != '\0' ? ", " : "", size));
}

static void frame(plate_job *j, const snub_view *view)
{
    snub_extent e;
    const double foot = view->bare ? 0 : SNUB_TITLE_HEIGHT + SNUB_SHEET_MARGIN + SNUB_RULERS_HEIGHT;
    const double least = view->bare ? 0 : 190;
    snub_extent_none(&e);
    for (int i = 0; i < j->discs; i++)
        snub_extent_add(&e, j->disc[i].at[0], j->disc[i].at[1], j->disc[i].radius + j->plate->edge);
    for (int i = 0; i < j->plate->hole_count; i++)
        snub_extent_add(&e, j->plate->hole[i].at[0], j->plate->hole[i].at[1], 0);
    for (int i = 0; i < j->plate->corners; i++)
        snub_extent_add(&e, j->plate->corner[i][0], j->plate->corner[i][1], 0);
    const double wide = fmax(0, least - (e.high[0] - e.low[0]) - 2 * EDGE) / 2;
    snub_drawing_frame(j->drawing, floor(e.low[0] - EDGE - wide), floor(e.low[1] - EDGE - foot),
                       ceil(e.high[0] + EDGE + wide), ceil(e.high[1] + EDGE));
}

static bool draw_contours(plate_job *j)
{
    const snub_plate *plate = j->plate;
    if (!draw_outline(j))
        return false;
    for (int i = 0; i < plate->hole_count; i++) {
        const snub_plate_hole *hole = &plate->hole[i];
        if (hole->diameter > 0)
            snub_draw_circle(j->drawing, SNUB_LAYER_CUT, cut_pen(), SNUB_INK_NONE, hole->at[0], hole->at[1],
                             hole->diameter / 2);
        snub_draw_centre(j->drawing, hole->at[0], hole->at[1], hole->diameter / 2 + 3);
    }
    for (int i = 0; i < plate->slot_count; i++) {
        if (plate->slot[i].slot.curved)
            curved_slot(j, &plate->slot[i]);
        else
            straight_slot(j, &plate->slot[i]);
        engrave_scale(j, &plate->slot[i]);
    }
    return true;
}

snub_status snub_draw_plate(const snub_view *view, const snub_plate *plate, const snub_locale *locale,
                            snub_arena *arena, snub_drawing *drawing, snub_error *error)
{
    plate_job j = {.plate = plate, .locale = locale, .drawing = drawing, .arena = arena};
    snub_drawing_init(drawing, arena, 1);
    drawing->inches = snub_draw_inches(locale);
    drawing->title = view->title;
    if (!gather(&j))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    const snub_status status = check(&j, error);
    if (status != SNUB_OK)
        return status;
    frame(&j, view);
    if (!draw_contours(&j) || !draw_labels(&j))
        drawing->failed = true;
    snub_draw_warning(drawing, view->warning);
    if (!view->bare) {
        snub_draw_rulers(drawing, locale, drawing->low[0] + 14,
                         drawing->low[1] + SNUB_TITLE_HEIGHT + SNUB_SHEET_MARGIN + SNUB_RULERS_HEIGHT - 12);
        const snub_title_block block = {
            .view_name = snub_say(locale, SNUB_MESSAGE("plate, full size")), .build = heading(&j), .scale = 1};
        snub_draw_title_block(drawing, view, locale, &block);
    }
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}
