/** Words on the front view, and the ground that they keep off. */
#include "front_labels.h"

#include <math.h>

#include "view.h"

/* ---- label map -------------------------------------------------------------------------------------------------- */

void snub_front_map_belt(const snub_front_scene *s)
{
    const snub_view_build *build = &s->view->build[0];
    if (!snub_view_laid(build))
        return;
    for (int i = 0; i < build->count; i++)
        snub_label_map_line(s->map, build->pulley[i].leave, build->pulley[(i + 1) % build->count].enter,
                            build->thickness + 0.5 * s->drawing->unit, 0.5);
}

void snub_front_map_parts(const snub_front_scene *s)
{
    const snub_view *view = s->view;
    double unit = s->drawing->unit;
    for (int i = 0; i < view->build[0].count; i++) {
        const snub_view_pulley *p = &view->build[0].pulley[i];
        double reach = p->pitch_radius + view->build[0].thickness; /* a disc: half its radius, that wide both ways */
        snub_label_map_ring(s->map, p->centre, reach / 2, reach / 2, 0.5);
        snub_label_map_ring(s->map, p->centre, p->outer_radius, 1 * unit, 0.4);
    }
    for (int i = 0; i < view->slot_count; i++) {
        double a[2], b[2], u[2];
        snub_view_slot_point(&view->slot[i], 0, a, u);
        snub_view_slot_point(&view->slot[i], view->slot[i].length, b, u);
        snub_label_map_line(s->map, a, b, 1.5 * unit, 0.45);
    }
    if (view->arm.pulley >= 0) {
        const snub_view_pulley *p = &view->build[0].pulley[view->arm.pulley];
        snub_label_map_line(s->map, view->arm.pivot, p->centre, 2 * unit, 0.5);
        for (int i = 0; i < 2; i++) {
            double at[2];
            snub_view_arm_point(&view->arm, i * view->arm.travel, at);
            snub_label_map_ring(s->map, at, p->outer_radius, 0.4 * unit, 0.25);
            snub_label_map_line(s->map, view->arm.pivot, at, 0.4 * unit, 0.2);
        }
        for (int i = 0; i <= 8; i++) { /* the path of the centre, in pieces */
            double a[2], b[2];
            snub_view_arm_point(&view->arm, view->arm.travel * i / 9, a);
            snub_view_arm_point(&view->arm, view->arm.travel * (i + 1) / 9, b);
            snub_label_map_line(s->map, a, b, 1 * unit, 0.3);
        }
    }
    for (int i = 0; i < view->hole_count; i++)
        snub_label_map_ring(s->map, view->hole[i].at, 0, view->hole[i].diameter / 2 + 1.5 * unit, 0.5);
    for (int i = 0; i < view->obstacle_count; i++) {
        const snub_view_obstacle *o = &view->obstacle[i];
        if (o->round)
            snub_label_map_ring(s->map, o->centre, o->radius, 0.5 * unit, 0.2);
        for (int k = 0; !o->round && k < o->count; k++)
            snub_label_map_line(s->map, o->corner[k], o->corner[(k + 1) % o->count], 0.5 * unit, 0.2);
    }
}

/* ---- labels ----------------------------------------------------------------------------------------------------- */

snub_label *snub_front_label(snub_front_scene *s)
{
    return &s->label[s->labels++];
}

const char *snub_front_text(snub_front_scene *s, const char *format, const char *a, const char *b)
{
    const char *made = snub_format(s->drawing->arena, format, a, b);
    if (made == NULL) {
        s->drawing->failed = true;
        return "";
    }
    return made;
}

/* Away from the middle of the drive: there the sheet is empty. */
void snub_front_outwards(const snub_front_scene *s, const double at[2], double along[2])
{
    const snub_view_build *build = &s->view->build[0];
    double middle[2] = {0, 0};
    for (int i = 0; i < build->count; i++) {
        middle[0] += build->pulley[i].centre[0] / build->count;
        middle[1] += build->pulley[i].centre[1] / build->count;
    }
    double dx = at[0] - middle[0], dy = at[1] - middle[1], d = hypot(dx, dy);
    along[0] = d > 0 ? dx / d : 1;
    along[1] = d > 0 ? dy / d : 0;
}

/* @param[in] way  along the slot beyond that end: -1 zero, 1 the other */
static void label_slot_end(snub_front_scene *s, const snub_view_slot *slot, int way, const char *text)
{
    double at[2], u[2];
    snub_view_slot_point(slot, way < 0 ? 0 : slot->length, at, u);
    snub_label *label = snub_front_label(s);
    *label = (snub_label){.at = {at[0], at[1]},
                          .clear = 1.2 * s->drawing->unit,
                          .ink = SNUB_INK_SLOT,
                          .height = 2.1,
                          .lines = 1,
                          .line = {text},
                          .along = {way * u[0], way * u[1]}};
}

void snub_front_label_slot(snub_front_scene *s, const snub_view_slot *slot)
{
    double at[2], u[2];
    char size[48];
    const char *name =
        slot->pulley >= 0 && slot->pulley < s->view->build[0].count ? s->view->build[0].pulley[slot->pulley].name : "";
    label_slot_end(s, slot, -1, snub_draw_inches(s->locale) ? "0 in" : "0 mm");
    snub_draw_mm(s->locale, slot->length, 1, size);
    label_slot_end(s, slot, 1, snub_front_text(s, "%s%s", size, ""));
    if (!isfinite(slot->setting))
        return;
    snub_view_slot_point(slot, slot->setting, at, u);
    snub_draw_mm(s->locale, slot->setting, 1, size);
    snub_label *mark = snub_front_label(s);
    *mark = (snub_label){.at = {at[0], at[1]},
                         .clear = 2.8 * s->drawing->unit,
                         .ink = SNUB_INK_SLOT,
                         .height = 2.5,
                         .bold_first = true,
                         .lines = 2};
    mark->line[0] = snub_front_text(s, "%s %s", snub_say(s->locale, "setting"), size);
    mark->line[1] = snub_front_text(s, "%s, %s", name, snub_say(s->locale, "from 0"));
    snub_front_outwards(s, at, mark->along);
}

void snub_front_label_arm(snub_front_scene *s, int count)
{
    const snub_view_arm *arm = &s->view->arm;
    if (arm->pulley < 0)
        return;
    const struct {
        double wind;
        const char *name;
    } places[3] = {{0, snub_say(s->locale, "free")},
                   {arm->travel, snub_say(s->locale, "stop")},
                   {arm->wind, snub_say(s->locale, "arm angle from free")}};
    for (int i = 0; i < count; i++) {
        if (!isfinite(places[i].wind))
            continue;
        double at[2], angle = arm->rest + arm->winds * places[i].wind;
        snub_view_arm_point(arm, places[i].wind, at);
        snub_label *label = snub_front_label(s);
        char number[32];
        /* rest and stop stand at the ends of the centre's path; the wind on the bar, near its pivot */
        double past = i == 0 ? -arm->winds : arm->winds;
        *label = (snub_label){.at = {at[0], at[1]},
                              .clear = 2.2 * s->drawing->unit,
                              .ink = SNUB_INK_ARM,
                              .height = 2.1,
                              .lines = 1,
                              .along = {-sin(angle) * past, cos(angle) * past}};
        if (i == 2) {
            label->at[0] = arm->pivot[0] + (at[0] - arm->pivot[0]) * 0.35;
            label->at[1] = arm->pivot[1] + (at[1] - arm->pivot[1]) * 0.35;
            label->clear = 2.6 * s->drawing->unit;
            label->along[0] = -cos(angle);
            label->along[1] = -sin(angle);
            label->bold_first = true;
        }
        snub_number_text(s->locale, places[i].wind / SNUB_DEG, 1, number);
        label->line[0] = snub_front_text(s, "%s %s\xc2\xb0", places[i].name, number);
    }
}
