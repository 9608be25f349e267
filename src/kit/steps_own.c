/* What the drive file says of its steps: other words, steps of its own, steps left out. docs/guide/drive-file.md. */
#include <string.h>

#include "step_make.h"

/* ---- ids --------------------------------------------------------------------------------------------------------- */

static int index_of(const snub_steps *steps, const char *id)
{
    for (int i = 0; i < steps->count; i++) {
        if (strcmp(steps->items[i].id, id) == 0)
            return i;
    }
    return -1;
}

static bool is_pulley(const snub_drive *drive, const char *name)
{
    return snub_drive_pulley(drive, name) >= 0;
}

/* " of NAME" at the end of a text, NAME a pulley or a mount. */
static bool ends_with_owner(const snub_drive *drive, const char *text)
{
    for (const char *of = text; (of = strstr(of, " of ")) != NULL; of += 4) {
        if (is_pulley(drive, of + 4))
            return true;
        for (int m = 0; drive->hardware != NULL && m < drive->hardware->mount_count; m++) {
            if (strcmp(drive->hardware->mounts[m].name, of + 4) == 0)
                return true;
        }
    }
    return false;
}

static bool begins_with_obstacle(const snub_drive *drive, const char *text)
{
    for (int i = 0; drive->hardware != NULL && i < drive->hardware->obstacle_count; i++) {
        const char *name = drive->hardware->obstacles[i].name;
        const size_t length = strlen(name);
        if (strncmp(text, name, length) == 0 && (text[length] == '\0' || text[length] == ' '))
            return true;
    }
    return false;
}

static bool is_content(const snub_drive *drive, const char *name)
{
    for (int i = 0; i < drive->content_count; i++) {
        if (strcmp(drive->contents[i].name, name) == 0)
            return true;
    }
    return false;
}

/* A step that other builds of the same file have: then its change waits for them. */
static bool may_be_elsewhere(const snub_drive *drive, const char *id)
{
    for (int k = 0; k < SNUB_STEPS_; k++) {
        const char *stem = snub_step_describe((snub_step_kind)k)->stem;
        const size_t length = strlen(stem);
        if (strncmp(id, stem, length) != 0 || (id[length] != '\0' && id[length] != ' '))
            continue;
        const char *rest = id[length] == ' ' ? id + length + 1 : "";
        switch (k) {
        case SNUB_STEP_CLEARANCE: return begins_with_obstacle(drive, rest);
        case SNUB_STEP_TAKE_OFF:
        case SNUB_STEP_REWORK:
            return is_pulley(drive, rest) || begins_with_obstacle(drive, rest) || is_content(drive, rest);
        case SNUB_STEP_SHIMS: return ends_with_owner(drive, rest);
        case SNUB_STEP_FIT:
        case SNUB_STEP_SET:
        case SNUB_STEP_CLAMP:
        case SNUB_STEP_SLACKEN:
        case SNUB_STEP_TENSION:
        case SNUB_STEP_MARK: return is_pulley(drive, rest);
        case SNUB_STEP_EASE:
        case SNUB_STEP_READ_ARM:
        case SNUB_STEP_PLUCK:
        case SNUB_STEP_OWNER:
        case SNUB_STEP_BRACKETS: return rest[0] == '\0';
        default: break;
        }
    }
    return false;
}

static snub_status no_such_step(const snub_step_maker *m, const char *id, const snub_place *place, snub_error *error)
{
    const char *names[512];
    int count = 0;
    for (int i = 0; i < m->steps->count && count < 512; i++)
        names[count++] = m->steps->items[i].id;
    const char *near = snub_nearest(id, names, count);
    return snub_fail(error, SNUB_BAD_INPUT, place, "steps",
                     "there is no step '%.80s'%s%.80s%s; snub sheet FILE --json lists them", id,
                     near != NULL ? "; did you mean '" : "", near != NULL ? near : "", near != NULL ? "'?" : "");
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static bool has_place(const snub_step *step, const char *name, size_t length)
{
    for (int i = 0; i < step->named_count; i++) {
        if (strlen(step->named[i].name) == length && memcmp(step->named[i].name, name, length) == 0)
            return true;
    }
    return false;
}

/* Every {place} of the words must be one that the step fills: a number that is lost on paper is not missed there.
 * @param[out] torque  the words have it */
static snub_status check_places(const snub_step *step, const snub_step_change *change, bool *torque, snub_error *error)
{
    *torque = false;
    for (const char *open = change->say; (open = strchr(open, '{')) != NULL; open++) {
        const char *close = strchr(open, '}');
        const size_t length = close != NULL ? (size_t)(close - open - 1) : 0;
        if (length == 0 || !has_place(step, open + 1, length))
            return snub_fail(error, SNUB_BAD_INPUT, &change->place, "steps",
                             "the step '%.80s' has no value for the place that begins '%.20s'", change->id, open);
        *torque = *torque || (length == strlen("torque") && memcmp(open + 1, "torque", length) == 0);
    }
    return SNUB_OK;
}

static snub_status reword(snub_step *step, const snub_step_change *change, snub_error *error)
{
    bool torque;
    const snub_status status = check_places(step, change, &torque, error);
    if (status != SNUB_OK)
        return status;
    step->own = change->say;
    step->says_count = 0;
    if (step->tightens && !torque) /* or a bolt would have none */
        snub_step_also(step, SNUB_STEP_SAYS_TORQUE);
    return SNUB_OK;
}

/* ---- steps of its own -------------------------------------------------------------------------------------------- */

/* Beside its anchor, behind those that were put there before; cautions stand before it as before the anchor. */
static void insert(snub_step_maker *m, const snub_step_change *change, int anchor)
{
    const snub_caution_place place = m->steps->items[anchor].place;
    snub_step *last = snub_step_add(m, SNUB_STEP_OWN, SNUB_STEP_SAYS_TORQUE, NULL, NULL);
    if (last == &m->spare)
        return;
    last->id = change->id;
    last->own = change->say;
    last->says_count = 0;
    last->place = place;
    const snub_step made = *last;
    snub_step *items = m->steps->items;
    int at = change->before ? anchor : anchor + 1;
    for (; !change->before && at < m->steps->count - 1 && items[at].kind == SNUB_STEP_OWN; at++)
        ;
    memmove(items + at + 1, items + at, sizeof *items * (size_t)(m->steps->count - 1 - at));
    items[at] = made;
}

/* One after another, until none finds its anchor any more: one may stand beside another. */
static snub_status add_own(snub_step_maker *m, snub_error *error)
{
    const snub_drive *drive = m->drive;
    for (bool more = true; more;) {
        more = false;
        for (int i = 0; i < drive->step_change_count; i++) {
            const snub_step_change *c = &drive->step_changes[i];
            const int anchor = c->anchor != NULL && index_of(m->steps, c->id) < 0 ? index_of(m->steps, c->anchor) : -1;
            if (anchor < 0)
                continue;
            bool torque;
            const snub_status status = check_places(&(snub_step){0}, c, &torque, error);
            if (status != SNUB_OK)
                return status;
            insert(m, c, anchor);
            more = true;
        }
    }
    for (int i = 0; i < drive->step_change_count; i++) {
        const snub_step_change *c = &drive->step_changes[i];
        if (c->anchor != NULL && index_of(m->steps, c->id) < 0)
            return no_such_step(m, c->anchor, &c->anchor_place, error);
    }
    return SNUB_OK;
}

/* ---- left out ---------------------------------------------------------------------------------------------------- */

/* A torque is not left out with its step. */
static void leave_out(snub_steps *steps, int at, const snub_step_change *change)
{
    snub_step *step = &steps->items[at];
    if (steps->left_out_count < SNUB_LEFT_OUT_MOST)
        steps->left_out[steps->left_out_count++] = change;
    if (step->tightens) {
        step->says_count = 0;
        snub_step_also(step, SNUB_STEP_SAYS_LEFT_OUT);
        snub_step_name(step, "step", step->id);
        snub_step_name(step, "reason", change->leave_out);
        return;
    }
    memmove(step, step + 1, sizeof *step * (size_t)(steps->count - at - 1));
    steps->count--;
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

static void illustrate(snub_step *step, const snub_step_change *change)
{
    step->file = change->picture != NULL ? change : NULL;
    step->bare = change->no_picture;
}

snub_status snub_steps_own(snub_step_maker *m, snub_error *error)
{
    const snub_drive *drive = m->drive;
    snub_status status = m->steps->failed ? SNUB_OK : add_own(m, error);
    for (int i = 0; status == SNUB_OK && !m->steps->failed && i < drive->step_change_count; i++) {
        const snub_step_change *c = &drive->step_changes[i];
        const int at = index_of(m->steps, c->id);
        const bool own = at >= 0 && m->steps->items[at].kind == SNUB_STEP_OWN;
        if (c->anchor != NULL && !own)
            status = snub_fail(error, SNUB_BAD_INPUT, &c->place, "steps",
                               "'%.80s' is a step already: give the added step a name of its own", c->id);
        else if (at < 0 && !may_be_elsewhere(drive, c->id))
            status = no_such_step(m, c->id, &c->place, error);
        else if (at >= 0 && !own && c->say != NULL)
            status = reword(&m->steps->items[at], c, error);
        else if (at >= 0 && c->leave_out != NULL)
            leave_out(m->steps, at, c);
        if (status == SNUB_OK && at >= 0 && c->leave_out == NULL)
            illustrate(&m->steps->items[at], c);
    }
    return status;
}
