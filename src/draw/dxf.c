/** DXF R12, ASCII. Pairs of lines: group code, value. What the codes mean is in docs/guide/drawings.md. */
#include <math.h>
#include <string.h>

#include "compose.h"
#include "shape.h"

/* Coordinates in mm with six decimals: a nanometre. */
static void real(snub_text *out, int code, double value)
{
    snub_text_printf(out, "%3d\n%.6f\n", code, fabs(value) < 5e-7 ? 0.0 : value);
}

static void whole(snub_text *out, int code, int value)
{
    snub_text_printf(out, "%3d\n%6d\n", code, value);
}

static void string(snub_text *out, int code, const char *value)
{
    snub_text_printf(out, "%3d\n%s\n", code, value);
}

static const char *linetype(snub_dash dash)
{
    static const char *const names[SNUB_DASH_COUNT_] = {"CONTINUOUS", "DASHED", "DOT", "CENTER", "PHANTOM", "LONGDASH"};
    return names[dash];
}

/* Colour numbers of R12 (1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black or white, 8 and 9 grey). */
static int layer_colour(snub_layer layer)
{
    switch (layer) {
    case SNUB_LAYER_GRID: return 9;
    case SNUB_LAYER_OBSTACLE: return 1;
    case SNUB_LAYER_ENGRAVE: return 3;
    case SNUB_LAYER_GHOST: return 9;
    case SNUB_LAYER_ARM: return 30;
    case SNUB_LAYER_SLOT:
    case SNUB_LAYER_DIMENSION: return 4;
    case SNUB_LAYER_PITCH: return 5;
    case SNUB_LAYER_BUILDS: return 6;
    case SNUB_LAYER_CENTRES:
    case SNUB_LAYER_LEADER: return 8;
    default: return 7;
    }
}

/* $INSUNITS is younger than R12, yet readers honour it there; without it a file comes back in metres or none. */
static void header(const snub_drawing *drawing, snub_text *out)
{
    string(out, 0, "SECTION");
    string(out, 2, "HEADER");
    string(out, 9, "$ACADVER");
    string(out, 1, "AC1009");
    string(out, 9, "$INSUNITS");
    whole(out, 70, drawing->inches ? 1 : 4);
    string(out, 9, "$MEASUREMENT");
    whole(out, 70, drawing->inches ? 0 : 1);
    string(out, 9, "$EXTMIN");
    real(out, 10, drawing->low[0]);
    real(out, 20, drawing->low[1]);
    real(out, 30, 0);
    string(out, 9, "$EXTMAX");
    real(out, 10, drawing->high[0]);
    real(out, 20, drawing->high[1]);
    real(out, 30, 0);
    string(out, 9, "$LTSCALE");
    real(out, 40, drawing->unit);
    string(out, 0, "ENDSEC");
}

static void linetypes(snub_text *out)
{
    string(out, 0, "TABLE");
    string(out, 2, "LTYPE");
    whole(out, 70, SNUB_DASH_COUNT_);
    for (int dash = 0; dash < SNUB_DASH_COUNT_; dash++) {
        int count;
        const double *lengths = snub_dash_lengths((snub_dash)dash, &count);
        double sum = 0;
        for (int i = 0; i < count; i++)
            sum += lengths[i];
        string(out, 0, "LTYPE");
        string(out, 2, linetype((snub_dash)dash));
        whole(out, 70, 0);
        string(out, 3, "");
        whole(out, 72, 65);
        whole(out, 73, count);
        real(out, 40, sum);
        for (int i = 0; i < count; i++)
            real(out, 49, i % 2 == 0 ? lengths[i] : -lengths[i]);
    }
    string(out, 0, "ENDTAB");
}

static void tables(snub_text *out)
{
    string(out, 0, "SECTION");
    string(out, 2, "TABLES");
    linetypes(out);
    string(out, 0, "TABLE");
    string(out, 2, "LAYER");
    whole(out, 70, SNUB_LAYER_COUNT_);
    for (int layer = 0; layer < SNUB_LAYER_COUNT_; layer++) {
        string(out, 0, "LAYER");
        string(out, 2, layer == SNUB_LAYER_PAPER ? "0" : snub_layer_name((snub_layer)layer));
        whole(out, 70, 0);
        whole(out, 62, layer_colour((snub_layer)layer));
        string(out, 6, "CONTINUOUS");
    }
    string(out, 0, "ENDTAB");
    string(out, 0, "TABLE");
    string(out, 2, "STYLE");
    whole(out, 70, 1);
    string(out, 0, "STYLE");
    string(out, 2, "STANDARD");
    whole(out, 70, 0);
    real(out, 40, 0);
    real(out, 41, 1);
    real(out, 50, 0);
    whole(out, 71, 0);
    real(out, 42, 2.5);
    string(out, 3, "txt");
    string(out, 4, "");
    string(out, 0, "ENDTAB");
    string(out, 0, "ENDSEC");
}

static void begin(snub_text *out, const char *kind, const snub_entity *entity)
{
    string(out, 0, kind);
    string(out, 8, snub_layer_name(entity->layer));
    if (entity->pen.dash != SNUB_DASH_SOLID)
        string(out, 6, linetype(entity->pen.dash));
}

static void corner(snub_text *out, int code, double x, double y)
{
    real(out, code, x);
    real(out, code + 10, y);
    real(out, code + 20, 0);
}

static double degrees(double angle)
{
    double value = fmod(angle / SNUB_DEG, 360);
    return value < 0 ? value + 360 : value;
}

static void polyline(snub_text *out, const snub_entity *entity, const snub_loop *loop)
{
    begin(out, "POLYLINE", entity);
    whole(out, 66, 1);
    corner(out, 10, 0, 0);
    whole(out, 70, loop->closed ? 1 : 0);
    for (int i = 0; i < loop->count; i++) {
        begin(out, "VERTEX", entity);
        corner(out, 10, loop->vertex[i].x, loop->vertex[i].y);
        if (loop->vertex[i].bulge != 0)
            snub_text_printf(out, " 42\n%.12f\n", loop->vertex[i].bulge);
    }
    begin(out, "SEQEND", entity);
}

/* R12 fills nothing but SOLID, three or four corners: arrow heads. Larger fills leave their outline, if it has a pen.
 */
static void path(snub_text *out, const snub_entity *entity)
{
    const snub_loop *loop = entity->as.path.loop;
    bool triangle = entity->as.path.count == 1 && loop->closed && loop->count == 3 && entity->fill != SNUB_INK_NONE &&
                    loop->vertex[0].bulge == 0 && loop->vertex[1].bulge == 0 && loop->vertex[2].bulge == 0;
    if (triangle) {
        begin(out, "SOLID", entity);
        corner(out, 10, loop->vertex[0].x, loop->vertex[0].y);
        corner(out, 11, loop->vertex[1].x, loop->vertex[1].y);
        corner(out, 12, loop->vertex[2].x, loop->vertex[2].y);
        corner(out, 13, loop->vertex[2].x, loop->vertex[2].y);
        return;
    }
    if (entity->pen.ink == SNUB_INK_NONE)
        return;
    for (int i = 0; i < entity->as.path.count; i++)
        polyline(out, entity, &loop[i]);
}

/* What every CAD program writes with signs of its own, or has a near sign for. NULL: none of these. */
static const char *near_sign(uint32_t point)
{
    switch (point) {
    case 0xb0: return "%%d";
    case 0xb1: return "%%p";
    case 0x2300:
    case 0xd8: return "%%c";
    case 0x2013:
    case 0x2014:
    case 0x2212: return "-";
    case 0x2019: return "'";
    case 0x2026: return "...";
    case 0x2190: return "<-";
    case 0x2192: return "->";
    default: return NULL;
    }
}

/* \U+XXXX; beyond the first 65536 characters as the two halves of UTF-16. */
static void by_number(snub_text *out, uint32_t point)
{
    if (point > 0xFFFF)
        snub_text_printf(out, "\\U+%04X\\U+%04X", 0xD7C0 + (unsigned)(point >> 10), 0xDC00 + (unsigned)(point & 0x3FF));
    else
        snub_text_printf(out, "\\U+%04X", (unsigned)point);
}

/* A lone '%' is one; beside another, or before a code, it is %%037. '^' begins a control code unless a blank follows;
 * '\' before "U+" would begin a number. */
static void ascii_text(snub_text *out, const char *text)
{
    const char *end = text + strlen(text);
    bool percent = false;
    for (const char *at = text; at < end;) {
        const uint32_t point = snub_utf8_next(&at, end);
        const char *ahead = at, *sign = near_sign(point);
        const uint32_t next = ahead < end ? snub_utf8_next(&ahead, end) : 0;
        const char *next_sign = near_sign(next);
        if (point == '%')
            snub_text_puts(out, percent || next == '%' || (next_sign && next_sign[0] == '%') ? "%%037" : "%");
        else if (point == '^')
            snub_text_puts(out, "^ ");
        else if (sign)
            snub_text_puts(out, sign);
        else if (point >= 0x7f || point == '\\')
            by_number(out, point);
        else
            snub_text_printf(out, "%c", (char)point);
        percent = point == '%';
    }
}

static void text(snub_text *out, const snub_entity *entity, double unit)
{
    static const int across[3] = {0, 1, 2};
    double box[4][2], base[2], height = entity->as.text.height * unit, angle = entity->as.text.angle;
    snub_text_box(entity, unit, box, base);
    double drop = entity->as.text.up < 0 ? 0 : entity->as.text.up == 0 ? height / 2 : height;
    double x = entity->as.text.at[0] + sin(angle) * drop, y = entity->as.text.at[1] - cos(angle) * drop;
    begin(out, "TEXT", entity);
    corner(out, 10, base[0], base[1]);
    real(out, 40, height);
    snub_text_puts(out, "  1\n");
    ascii_text(out, entity->as.text.text);
    snub_text_puts(out, "\n");
    real(out, 50, degrees(angle));
    string(out, 7, "STANDARD");
    int how = across[entity->as.text.across + 1];
    if (how == 0)
        return;
    whole(out, 72, how);
    corner(out, 11, x, y);
}

static void arc(snub_text *out, const snub_entity *entity)
{
    double start = entity->as.arc.start, end = start + entity->as.arc.sweep;
    begin(out, "ARC", entity);
    corner(out, 10, entity->as.arc.centre[0], entity->as.arc.centre[1]);
    real(out, 40, entity->as.arc.radius);
    bool ccw = entity->as.arc.sweep >= 0;
    snub_text_printf(out, " 50\n%.9f\n 51\n%.9f\n", degrees(ccw ? start : end), degrees(ccw ? end : start));
}

static void entity_pairs(snub_text *out, const snub_entity *entity, double unit)
{
    switch (entity->kind) {
    case SNUB_ENTITY_LINE:
        begin(out, "LINE", entity);
        corner(out, 10, entity->as.line.a[0], entity->as.line.a[1]);
        corner(out, 11, entity->as.line.b[0], entity->as.line.b[1]);
        return;
    case SNUB_ENTITY_ARC: arc(out, entity); return;
    case SNUB_ENTITY_CIRCLE:
        if (entity->pen.ink == SNUB_INK_NONE && entity->fill == SNUB_INK_NONE)
            return;
        begin(out, "CIRCLE", entity);
        corner(out, 10, entity->as.circle.centre[0], entity->as.circle.centre[1]);
        real(out, 40, entity->as.circle.radius);
        return;
    case SNUB_ENTITY_PATH: path(out, entity); return;
    case SNUB_ENTITY_TEXT: text(out, entity, unit); return;
    }
}

static snub_status write(const snub_drawing *drawing, snub_text *out, snub_error *error)
{
    header(drawing, out);
    tables(out);
    string(out, 0, "SECTION");
    string(out, 2, "ENTITIES");
    for (int layer = SNUB_LAYER_PAPER + 1; layer < SNUB_LAYER_COUNT_; layer++)
        for (int i = 0; i < drawing->count; i++)
            if ((int)drawing->entity[i].layer == layer)
                entity_pairs(out, &drawing->entity[i], drawing->unit);
    string(out, 0, "ENDSEC");
    string(out, 0, "EOF");
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}

/* ---- inches ------------------------------------------------------------------------------------------------------ */

static const double PER_MM = SNUB_MM / SNUB_INCH;

static void shrink(double point[2])
{
    point[0] *= PER_MM;
    point[1] *= PER_MM;
}

/* Angles and bulges have no unit. @return false: out of memory */
static bool shrink_path(snub_entity *entity, snub_arena *arena)
{
    const int loops = entity->as.path.count;
    snub_loop *loop = SNUB_NEW(arena, snub_loop, loops);
    for (int i = 0; loop != NULL && i < loops; i++) {
        loop[i] = entity->as.path.loop[i];
        snub_vertex *vertex = SNUB_NEW(arena, snub_vertex, loop[i].count + 1);
        if (vertex == NULL)
            return false;
        for (int k = 0; k < loop[i].count; k++)
            vertex[k] =
                (snub_vertex){loop[i].vertex[k].x * PER_MM, loop[i].vertex[k].y * PER_MM, loop[i].vertex[k].bulge};
        loop[i].vertex = vertex;
    }
    entity->as.path.loop = loop;
    return loop != NULL;
}

static bool shrink_entity(snub_entity *entity, snub_arena *arena)
{
    switch (entity->kind) {
    case SNUB_ENTITY_LINE:
        shrink(entity->as.line.a);
        shrink(entity->as.line.b);
        return true;
    case SNUB_ENTITY_ARC:
        shrink(entity->as.arc.centre);
        entity->as.arc.radius *= PER_MM;
        return true;
    case SNUB_ENTITY_CIRCLE:
        shrink(entity->as.circle.centre);
        entity->as.circle.radius *= PER_MM;
        return true;
    case SNUB_ENTITY_TEXT: shrink(entity->as.text.at); return true;
    case SNUB_ENTITY_PATH: return shrink_path(entity, arena);
    }
    return true;
}

/* R12 itself knows no unit, and a reader may pass over $INSUNITS: a drawing for a reader in inches is in inches, or its
 * labels would disagree with what the CAD measures. */
static bool in_inches(const snub_drawing *drawing, snub_arena *arena, snub_drawing *out)
{
    *out = *drawing;
    out->entity = SNUB_NEW(arena, snub_entity, drawing->count + 1);
    bool good = out->entity != NULL;
    for (int i = 0; good && i < drawing->count; i++) {
        out->entity[i] = drawing->entity[i];
        good = shrink_entity(&out->entity[i], arena);
    }
    shrink(out->low);
    shrink(out->high);
    out->unit *= PER_MM;
    return good;
}

snub_status snub_draw_dxf(const snub_drawing *metric, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_drawing inches;
    snub_status status = snub_drawing_ready(metric, error);
    if (status != SNUB_OK)
        return status;
    if (!metric->inches)
        return write(metric, out, error);
    snub_arena_init(&arena, 0);
    status = in_inches(metric, &arena, &inches)
                 ? write(&inches, out, error)
                 : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    snub_arena_free(&arena);
    return status;
}
