/* Steps that show whether the belt is right: the arm, the pluck, the first runs. */
#include "mark.h"
#include "step_make.h"

/* ---- the idler's mark ------------------------------------------------------------------------------------------- */

typedef struct mark_form {
    snub_step_wording says;
    snub_unit unit;
    int decimals;
} mark_form;

static mark_form form_of(snub_slot_reading_kind kind)
{
    switch (kind) {
    case SNUB_READS_CENTRES: return (mark_form){SNUB_STEP_SAYS_MARK_CENTRES, SNUB_UNIT_MM, 1};
    case SNUB_READS_RIMS: return (mark_form){SNUB_STEP_SAYS_MARK_RIMS, SNUB_UNIT_MM, 1};
    case SNUB_READS_SPAN: return (mark_form){SNUB_STEP_SAYS_MARK_SPAN, SNUB_UNIT_MM, 1};
    case SNUB_READS_ARM: return (mark_form){SNUB_STEP_SAYS_MARK_ARM, SNUB_UNIT_DEG, 1};
    case SNUB_READS_PLUCK: return (mark_form){SNUB_STEP_SAYS_MARK_PLUCK, SNUB_UNIT_HZ, 1};
    default: return (mark_form){SNUB_STEP_SAYS_MARK_PLUCKS, SNUB_UNIT_NONE, 2};
    }
}

/* Near an end of the slot a mark can be wrong by so little that it reads right: no sign of a wrong one. */
static bool reads_wrong(const snub_slot_mark *mark, double at)
{
    return isfinite(at) && !(at >= mark->low && at <= mark->high);
}

/* What it reads when the mark is wrong, to either side. */
static void wrong_sentences(snub_step *s, const snub_slot_mark *mark, const mark_form *form)
{
    const snub_slot_reading *r = &mark->reading[mark->best];
    const bool is_short = reads_wrong(mark, r->at[0]), over = reads_wrong(mark, r->at[1]);
    if (is_short) {
        snub_step_also(s, SNUB_STEP_SAYS_MARK_SHORT);
        snub_step_number(s, "short", r->at[0], form->unit, form->decimals);
        snub_step_number(s, "less", mark->off[0], SNUB_UNIT_MM, 1);
    }
    if (over) {
        snub_step_also(s, is_short ? SNUB_STEP_SAYS_MARK_OVER : SNUB_STEP_SAYS_MARK_OVER_ALONE);
        snub_step_number(s, "over", r->at[1], form->unit, form->decimals);
        snub_step_number(s, "more", mark->off[1], SNUB_UNIT_MM, 1);
    }
}

static void mark_step(snub_step_maker *m, int slot)
{
    const snub_drive *drive = m->drive;
    snub_slot_mark *mark = SNUB_NEW(m->arena, snub_slot_mark, 1);
    if (mark == NULL) {
        m->steps->failed = true;
        return;
    }
    snub_slot_readings(m->build, slot, mark);
    if (mark->best < 0)
        return;
    const snub_slot_reading *r = &mark->reading[mark->best];
    const mark_form form = form_of(r->kind);
    const int behind = (slot + 1) % drive->pulley_count;
    snub_step *s = snub_step_add(m, SNUB_STEP_MARK, form.says, drive->pulleys[slot].name, NULL);
    s->pulley = slot;
    s->mark = mark;
    snub_step_name(s, "name", drive->pulleys[slot].name);
    snub_step_name(s, "other", drive->pulleys[r->other >= 0 ? r->other : behind].name);
    snub_step_name(s, "before", drive->pulleys[(slot + drive->pulley_count - 1) % drive->pulley_count].name);
    snub_step_text(s, "end", snub_slot_zero_end(&drive->pulleys[slot].slot));
    snub_step_number(s, "low", mark->low, form.unit, form.decimals);
    snub_step_number(s, "high", mark->high, form.unit, form.decimals);
    snub_step_number(s, "nominal", r->nominal, form.unit, form.decimals);
    wrong_sentences(s, mark, &form);
    snub_step_also(s, mark->tells ? SNUB_STEP_SAYS_MARK_AGAIN : SNUB_STEP_SAYS_MARK_BLIND);
    if (!mark->tells)
        snub_step_number(s, "tried", fmax(mark->off[0], mark->off[1]), SNUB_UNIT_MM, 1);
}

static void mark_steps(snub_step_maker *m)
{
    for (int i = 0; i < m->drive->pulley_count; i++) {
        if (m->drive->pulleys[i].sits == SNUB_ON_SLOT && i != m->drive->locked && isfinite(m->build->settings[i]))
            mark_step(m, i);
    }
}

/* ---- the belt ---------------------------------------------------------------------------------------------------- */

static void arm_step(snub_step_maker *m)
{
    const snub_expectation *e = &m->steps->expect;
    if (!e->known || m->drive->arm < 0)
        return;
    bool slot = false;
    for (int i = 0; i < m->drive->pulley_count; i++)
        slot = slot || m->drive->pulleys[i].sits == SNUB_ON_SLOT;
    snub_step *s = snub_step_add(m, SNUB_STEP_READ_ARM,
                                 slot ? SNUB_STEP_SAYS_READ_ARM : SNUB_STEP_SAYS_READ_ARM_NO_SLOT, NULL, NULL);
    s->pulley = m->drive->arm;
    snub_step_number(s, "nominal", e->wind[1], SNUB_UNIT_DEG, 1);
    snub_step_number(s, "low", e->wind[0], SNUB_UNIT_DEG, 1);
    snub_step_number(s, "high", e->wind[2], SNUB_UNIT_DEG, 1);
}

static void pluck_step(snub_step_maker *m)
{
    const snub_expectation *e = &m->steps->expect;
    snub_note low, high;
    if (!e->known || e->span < 0)
        return;
    snub_step *s = snub_step_add(m, SNUB_STEP_PLUCK, SNUB_STEP_SAYS_PLUCK, NULL, NULL);
    snub_step_name(s, "from", m->drive->pulleys[e->span].name);
    snub_step_name(s, "to", m->drive->pulleys[(e->span + 1) % m->drive->pulley_count].name);
    snub_step_number(s, "low", e->frequency[0], SNUB_UNIT_HZ, 1);
    snub_step_number(s, "heard", e->frequency[1], SNUB_UNIT_HZ, 1);
    snub_step_number(s, "high", e->frequency[2], SNUB_UNIT_HZ, 1);
    if (snub_note_of(e->frequency[0], &low) && snub_note_of(e->frequency[2], &high))
        snub_step_also(s, SNUB_STEP_SAYS_TUNER_RANGE);
}

/* Nothing but an arm follows the belt as it wears. */
static void owner_step(snub_step_maker *m)
{
    snub_retension r;
    const snub_expectation *e = &m->steps->expect;
    if (m->drive->arm >= 0 || !e->known || e->span < 0)
        return;
    if (m->drive->locked < 0) {
        (void)snub_step_add(m, SNUB_STEP_OWNER, SNUB_STEP_SAYS_OWNER_NO_FIGURE, NULL, NULL);
        return;
    }
    snub_retension_find(m->build, &r);
    if (!r.given || isnan(r.again))
        return;
    snub_step *s = snub_step_add(m, SNUB_STEP_OWNER, SNUB_STEP_SAYS_OWNER, NULL, NULL);
    s->pulley = m->drive->locked;
    snub_step_number(s, "frequency", snub_expected_frequency(e, r.again), SNUB_UNIT_HZ, 1);
    snub_step_number(s, "tension", r.again, SNUB_UNIT_N, 0);
}

void snub_steps_prove(snub_step_maker *m)
{
    mark_steps(m);
    arm_step(m);
    pluck_step(m);
    owner_step(m);
    (void)snub_step_add(m, SNUB_STEP_IDLE, SNUB_STEP_SAYS_IDLE, NULL, NULL);
    (void)snub_step_add(m, SNUB_STEP_HEAT, m->drive->arm >= 0 ? SNUB_STEP_SAYS_HEAT_ARM : SNUB_STEP_SAYS_HEAT, NULL,
                        NULL);
    (void)snub_step_add(m, SNUB_STEP_LOAD, SNUB_STEP_SAYS_LOAD, NULL, NULL);
}
