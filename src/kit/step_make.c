/* Making steps: room for them, ids, numbers and names. */
#include "step_make.h"

#include <assert.h>
#include <string.h>

#include "snub/locale.h"

static bool taken(const snub_steps *steps, const char *id)
{
    for (int i = 0; i < steps->count; i++) {
        if (strcmp(steps->items[i].id, id) == 0)
            return true;
    }
    return false;
}

/* Two bolts of one name: the second is "... 2". */
static const char *id_of(const snub_step_maker *m, snub_step_kind kind, const char *name, const char *of)
{
    const char *stem = snub_step_describe(kind)->stem;
    const char *plain = name == NULL ? snub_copy_text(m->arena, stem)
                        : of == NULL ? snub_format(m->arena, "%s %s", stem, name)
                                     : snub_format(m->arena, "%s %s of %s", stem, name, of);
    const char *id = plain;
    for (int k = 2; id != NULL && taken(m->steps, id); k++)
        id = snub_format(m->arena, "%s %d", plain, k);
    return id;
}

static bool grow(snub_steps *steps, snub_arena *arena)
{
    const int room = steps->room > 0 ? 2 * steps->room : 32;
    snub_step *items = SNUB_NEW(arena, snub_step, room);
    if (items == NULL)
        return false;
    if (steps->count > 0)
        memcpy(items, steps->items, sizeof *items * (size_t)steps->count);
    steps->items = items;
    steps->room = room;
    return true;
}

snub_step *snub_step_add(snub_step_maker *m, snub_step_kind kind, snub_step_wording says, const char *name,
                         const char *of)
{
    snub_steps *steps = m->steps;
    const char *id = id_of(m, kind, name, of);
    const bool room = id != NULL && (steps->count < steps->room || grow(steps, m->arena));
    snub_step *step = room ? &steps->items[steps->count++] : &m->spare;
    steps->failed = steps->failed || !room;
    *step = (snub_step){.id = id,
                        .kind = kind,
                        .place = snub_step_describe(kind)->place,
                        .pulley = -1,
                        .mount = -1,
                        .bolt = -1,
                        .shims = -1,
                        .conflict = -1,
                        .torque = NAN,
                        .says_count = 1,
                        .says = {says}};
    return step;
}

void snub_step_also(snub_step *step, snub_step_wording says)
{
    assert(step->says_count < SNUB_STEP_SAYS_MOST);
    step->says[step->says_count++] = says;
}

static snub_named *next(snub_step *step, const char *place)
{
    assert(step->named_count < SNUB_STEP_NAMED_MOST);
    snub_named *named = &step->named[step->named_count++];
    *named = (snub_named){.name = place};
    return named;
}

void snub_step_number(snub_step *step, const char *place, double si, snub_unit unit, int decimals)
{
    snub_named *named = next(step, place);
    named->number = si;
    named->unit = unit;
    named->decimals = decimals;
}

void snub_step_most(snub_step *step, const char *place, double metres)
{
    snub_step_number(step, place, metres, SNUB_UNIT_MM, SNUB_CUT_DECIMALS);
    step->named[step->named_count - 1].rounding = SNUB_ROUND_DOWN;
}

void snub_step_name(snub_step *step, const char *place, const char *name)
{
    next(step, place)->text = name != NULL ? name : "\xe2\x80\x93";
}

void snub_step_text(snub_step *step, const char *place, const char *english)
{
    snub_named *named = next(step, place);
    named->text = english;
    named->words = true;
}

void snub_step_tightens(snub_step *step, double torque)
{
    step->tightens = true;
    step->torque = isfinite(torque) && torque > 0.0 ? torque : NAN;
    if (isfinite(step->torque))
        snub_step_number(step, "torque", torque, SNUB_UNIT_N_M, torque < 10.0 ? 1 : 0);
    else
        snub_step_text(step, "torque", SNUB_MESSAGE("the torque that its maker states"));
}

void snub_step_bolt(snub_step *step, const snub_bolt *bolt)
{
    snub_step_name(step, "thread", bolt != NULL ? bolt->thread : NULL);
    snub_step_name(step, "class", bolt != NULL ? bolt->class_ : NULL);
    if (bolt != NULL && bolt->condition != NULL)
        snub_step_text(step, "condition", bolt->condition);
    else
        snub_step_text(step, "condition", SNUB_MESSAGE("condition not stated"));
}
