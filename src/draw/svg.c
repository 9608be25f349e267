/** SVG, written by hand so that its bytes are ours alone. */
#include <math.h>
#include <string.h>

#include "compose.h"
#include "shape.h"

/** Sheet mm are written with this many decimals: 0.1 um, well under any printer's dot. */
enum { PLACES = 4 };

typedef struct writer {
    const snub_drawing *drawing;
    snub_theme theme;
    snub_text *out;
} writer;

/* A number without needless zeros; the same on every machine for |value| < 1e9. */
static void number(snub_text *out, double value)
{
    long long whole = llround(value * 1e4);
    long long size = whole < 0 ? -whole : whole;
    snub_text_puts(out, whole < 0 ? "-" : "");
    char digits[PLACES + 1];
    for (int i = PLACES - 1; i >= 0; i--) {
        digits[i] = (char)('0' + size % 10);
        size /= 10;
    }
    int used = PLACES;
    while (used > 0 && digits[used - 1] == '0')
        used--;
    digits[used] = '\0';
    snub_text_printf(out, used > 0 ? "%lld.%s" : "%lld", size, digits);
}

static void attribute(snub_text *out, const char *name, double value)
{
    snub_text_printf(out, " %s=\"", name);
    number(out, value);
    snub_text_puts(out, "\"");
}

static double sheet_x(const writer *w, double x)
{
    return (x - w->drawing->low[0]) / w->drawing->unit;
}

static double sheet_y(const writer *w, double y)
{
    return (w->drawing->high[1] - y) / w->drawing->unit;
}

static void point(const writer *w, const char *command, double x, double y)
{
    snub_text_puts(w->out, command);
    number(w->out, sheet_x(w, x));
    snub_text_puts(w->out, " ");
    number(w->out, sheet_y(w, y));
}

static void escaped(snub_text *out, const char *text)
{
    for (const char *c = text; *c != '\0'; c++)
        switch (*c) {
        case '<': snub_text_puts(out, "&lt;"); break;
        case '>': snub_text_puts(out, "&gt;"); break;
        case '&': snub_text_puts(out, "&amp;"); break;
        case '"': snub_text_puts(out, "&quot;"); break;
        default: snub_text_add(out, c, 1);
        }
}

static void colour(const writer *w, const char *name, snub_ink ink)
{
    if (ink == SNUB_INK_NONE)
        snub_text_printf(w->out, " %s=\"none\"", name);
    else
        snub_text_printf(w->out, " %s=\"#%06x\"", name, (unsigned)snub_ink_colour(ink, w->theme));
}

static void pen_and_fill(const writer *w, const snub_entity *entity)
{
    snub_ink fill =
        entity->kind == SNUB_ENTITY_CIRCLE || entity->kind == SNUB_ENTITY_PATH ? entity->fill : SNUB_INK_NONE;
    if (fill != SNUB_INK_NONE)
        colour(w, "fill", fill);
    if (entity->pen.ink == SNUB_INK_NONE)
        return;
    colour(w, "stroke", entity->pen.ink);
    attribute(w->out, "stroke-width", entity->pen.width);
    int count;
    const double *lengths = snub_dash_lengths(entity->pen.dash, &count);
    for (int i = 0; i < count; i++) {
        snub_text_puts(w->out, i == 0 ? " stroke-dasharray=\"" : " ");
        number(w->out, lengths[i]);
    }
    if (count > 0)
        snub_text_puts(w->out, "\"");
}

/* "A" with the flags as SVG has them: y runs down, so counter-clockwise is sweep 0. Pieces of at most a half turn. */
static void arc_to(const writer *w, const double centre[2], double radius, double start, double sweep)
{
    int parts = fabs(sweep) > SNUB_PI * 0.999 ? 2 : 1;
    for (int i = 1; i <= parts; i++) {
        double at = start + sweep * i / parts;
        snub_text_puts(w->out, "A");
        number(w->out, radius / w->drawing->unit);
        snub_text_puts(w->out, " ");
        number(w->out, radius / w->drawing->unit);
        snub_text_printf(w->out, " 0 0 %d ", sweep < 0 ? 1 : 0);
        point(w, "", centre[0] + radius * cos(at), centre[1] + radius * sin(at));
    }
}

static void loop_data(const writer *w, const snub_loop *loop)
{
    for (int i = 0; i < loop->count; i++) {
        const snub_vertex *a = &loop->vertex[i], *b = &loop->vertex[(i + 1) % loop->count];
        if (i == 0)
            point(w, "M", a->x, a->y);
        if (i + 1 == loop->count && !loop->closed)
            break;
        double centre[2], radius, start, sweep;
        if (snub_bulge_arc(a, b, centre, &radius, &start, &sweep))
            arc_to(w, centre, radius, start, sweep);
        else if (i + 1 < loop->count)
            point(w, "L", b->x, b->y);
    }
    if (loop->closed)
        snub_text_puts(w->out, "Z");
}

static void text_element(const writer *w, const snub_entity *entity)
{
    static const char *const anchors[3] = {"start", "middle", "end"};
    double corner[4][2], base[2], height = entity->as.text.height, angle = entity->as.text.angle;
    snub_text_box(entity, w->drawing->unit, corner, base);
    /* the anchor on the baseline: the renderer's own widths place the rest */
    double drop = entity->as.text.up < 0 ? 0 : entity->as.text.up == 0 ? height / 2 : height;
    double x = sheet_x(w, entity->as.text.at[0]) + sin(angle) * drop;
    double y = sheet_y(w, entity->as.text.at[1]) + cos(angle) * drop;
    snub_text_puts(w->out, "<text");
    attribute(w->out, "x", x);
    attribute(w->out, "y", y);
    attribute(w->out, "font-size", height / SNUB_CAPITALS);
    if (entity->as.text.bold)
        snub_text_puts(w->out, " font-weight=\"bold\"");
    if (entity->as.text.across >= 0)
        snub_text_printf(w->out, " text-anchor=\"%s\"", anchors[entity->as.text.across + 1]);
    if (angle != 0) {
        snub_text_puts(w->out, " transform=\"rotate(");
        number(w->out, -angle / SNUB_DEG);
        snub_text_puts(w->out, " ");
        number(w->out, x);
        snub_text_puts(w->out, " ");
        number(w->out, y);
        snub_text_puts(w->out, ")\"");
    }
    colour(w, "fill", entity->pen.ink);
    if (entity->as.text.halo) {
        snub_text_puts(w->out, " paint-order=\"stroke\"");
        colour(w, "stroke", SNUB_INK_PAPER);
        attribute(w->out, "stroke-width", 0.3 * height);
        snub_text_puts(w->out, " stroke-linejoin=\"round\"");
    }
    snub_text_puts(w->out, ">");
    escaped(w->out, entity->as.text.text);
    snub_text_puts(w->out, "</text>\n");
}

static void element(const writer *w, const snub_entity *entity)
{
    switch (entity->kind) {
    case SNUB_ENTITY_LINE:
        snub_text_puts(w->out, "<line");
        attribute(w->out, "x1", sheet_x(w, entity->as.line.a[0]));
        attribute(w->out, "y1", sheet_y(w, entity->as.line.a[1]));
        attribute(w->out, "x2", sheet_x(w, entity->as.line.b[0]));
        attribute(w->out, "y2", sheet_y(w, entity->as.line.b[1]));
        break;
    case SNUB_ENTITY_CIRCLE:
        snub_text_puts(w->out, "<circle");
        attribute(w->out, "cx", sheet_x(w, entity->as.circle.centre[0]));
        attribute(w->out, "cy", sheet_y(w, entity->as.circle.centre[1]));
        attribute(w->out, "r", entity->as.circle.radius / w->drawing->unit);
        break;
    case SNUB_ENTITY_ARC: {
        double x = entity->as.arc.centre[0] + entity->as.arc.radius * cos(entity->as.arc.start);
        double y = entity->as.arc.centre[1] + entity->as.arc.radius * sin(entity->as.arc.start);
        snub_text_puts(w->out, "<path d=\"");
        point(w, "M", x, y);
        arc_to(w, entity->as.arc.centre, entity->as.arc.radius, entity->as.arc.start, entity->as.arc.sweep);
        snub_text_puts(w->out, "\"");
        break;
    }
    case SNUB_ENTITY_PATH:
        snub_text_puts(w->out, "<path d=\"");
        for (int i = 0; i < entity->as.path.count; i++)
            loop_data(w, &entity->as.path.loop[i]);
        snub_text_puts(w->out, "\"");
        break;
    case SNUB_ENTITY_TEXT: text_element(w, entity); return;
    }
    pen_and_fill(w, entity);
    snub_text_puts(w->out, "/>\n");
}

static void head(const writer *w, const snub_imprint *imprint)
{
    double width = (w->drawing->high[0] - w->drawing->low[0]) / w->drawing->unit;
    double height = (w->drawing->high[1] - w->drawing->low[1]) / w->drawing->unit;
    const char *title = imprint != NULL && imprint->title != NULL ? imprint->title : w->drawing->title;
    snub_text_puts(w->out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
                           "version=\"1.1\" width=\"");
    number(w->out, width);
    snub_text_puts(w->out, "mm\" height=\"");
    number(w->out, height);
    snub_text_puts(w->out, "mm\" viewBox=\"0 0 ");
    number(w->out, width);
    snub_text_puts(w->out, " ");
    number(w->out, height);
    snub_text_puts(w->out, "\" font-family=\"Liberation Sans, Arial, Helvetica, sans-serif\" fill=\"none\" "
                           "fill-rule=\"evenodd\" stroke-linecap=\"round\" stroke-linejoin=\"round\" role=\"img\">\n");
    if (title != NULL && title[0] != '\0') {
        snub_text_puts(w->out, "<title>");
        escaped(w->out, title);
        snub_text_puts(w->out, "</title>\n");
    }
    if (imprint != NULL && imprint->subject != NULL) {
        snub_text_puts(w->out, "<desc>");
        escaped(w->out, imprint->subject);
        snub_text_puts(w->out, "</desc>\n");
    }
    snub_text_puts(w->out, "<rect");
    attribute(w->out, "width", width);
    attribute(w->out, "height", height);
    colour(w, "fill", SNUB_INK_PAPER);
    snub_text_puts(w->out, "/>\n");
}

snub_status snub_draw_svg(const snub_drawing *drawing, snub_theme theme, const snub_imprint *imprint, snub_text *out,
                          snub_error *error)
{
    snub_status status = snub_drawing_ready(drawing, error);
    if (status != SNUB_OK)
        return status;
    writer w = {drawing, theme, out};
    head(&w, imprint);
    for (int layer = 0; layer < SNUB_LAYER_COUNT_; layer++) {
        bool open = false;
        for (int i = 0; i < drawing->count; i++) {
            if ((int)drawing->entity[i].layer != layer)
                continue;
            if (!open)
                snub_text_printf(out, "<g id=\"%s\">\n", snub_layer_name((snub_layer)layer));
            open = true;
            element(&w, &drawing->entity[i]);
        }
        if (open)
            snub_text_puts(out, "</g>\n");
    }
    snub_text_puts(out, "</svg>\n");
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}
