/* What a chart keeps of a build: its numbers, and its findings without the room that they do not use. */
#include "charted.h"
#include "settle.h"

#include <stdlib.h>
#include <string.h>

enum { SLOTS_FIRST = 1024 };

/* ---- texts that builds share ------------------------------------------------------------------------------------- */

void snub_shared_texts_open(snub_shared_texts *texts, snub_arena *arena)
{
    *texts = (snub_shared_texts){.arena = arena};
}

void snub_shared_texts_close(snub_shared_texts *texts)
{
    free(texts->slots);
    *texts = (snub_shared_texts){0};
}

/* Where a text stands, or may be put: room is a power of two and never full. */
static size_t slot_of(const snub_shared_texts *texts, const char *text)
{
    size_t at = (size_t)snub_bytes_hash(text, strlen(text)) & (texts->room - 1);
    while (texts->slots[at] != NULL && strcmp(texts->slots[at], text) != 0)
        at = (at + 1) & (texts->room - 1);
    return at;
}

static bool make_room(snub_shared_texts *texts)
{
    if (2 * texts->count < texts->room)
        return true;
    const snub_shared_texts old = *texts;
    texts->room = old.room > 0 ? 2 * old.room : SLOTS_FIRST;
    texts->slots = calloc(texts->room, sizeof *texts->slots);
    if (texts->slots == NULL) {
        *texts = old;
        return false;
    }
    for (size_t i = 0; i < old.room; i++) {
        if (old.slots[i] != NULL)
            texts->slots[slot_of(texts, old.slots[i])] = old.slots[i];
    }
    free(old.slots);
    return true;
}

/* The one copy of a text; NULL stays NULL. @return false: memory is out */
static bool share(snub_shared_texts *texts, const char *text, const char **shared)
{
    *shared = NULL;
    if (text == NULL)
        return true;
    if (!make_room(texts))
        return false;
    const size_t at = slot_of(texts, text);
    if (texts->slots[at] == NULL) {
        texts->slots[at] = snub_copy_text(texts->arena, text);
        if (texts->slots[at] == NULL)
            return false;
        texts->count++;
    }
    *shared = texts->slots[at];
    return true;
}

/* A range with the words that findings show of it. A file has few. */
static bool share_range(snub_shared_texts *texts, const snub_range *range, const snub_range **shared)
{
    snub_range copy = {0};
    *shared = NULL;
    if (range == NULL)
        return true;
    if (!share(texts, range->path, &copy.path) || !share(texts, range->end[0], &copy.end[0]) ||
        !share(texts, range->end[1], &copy.end[1]) || !share(texts, range->unit, &copy.unit))
        return false;
    for (const snub_range *old = texts->ranges; old != NULL; old = old->next) {
        if (old->path == copy.path && old->end[0] == copy.end[0] && old->end[1] == copy.end[1] &&
            old->unit == copy.unit) {
            *shared = old;
            return true;
        }
    }
    snub_range *made = SNUB_NEW(texts->arena, snub_range, 1);
    if (made == NULL)
        return false;
    *made = copy;
    made->next = texts->ranges;
    texts->ranges = *shared = made;
    return true;
}

/* ---- findings ---------------------------------------------------------------------------------------------------- */

/** A snub_named of a finding, small. */
typedef struct kept_named {
    const char *name;
    const char *text; /* NULL: a number */
    double number;
    unsigned char words, unit, rounding;
    signed char decimals;
} kept_named;

/** A snub_finding, small: those that have few named values take no room for more. */
struct snub_kept_finding {
    double value, limit, speed;
    const char *pulley, *other, *second, *peak, *limit_source;
    const snub_range *range;
    const char **set;
    const snub_mend *mend; /* NULL: none */
    const kept_named *named;
    int line, limit_line;
    unsigned short wording;
    unsigned char level, kind, end, set_count, named_count, moment, way, corner, warmth;
    signed char side;
    bool swings;
};
_Static_assert(SNUB_WORDINGS_ <= 65535 && SNUB_UNITS_ <= 255 && SNUB_PULLEYS_MOST + 2 <= 255, "they fit");

static bool keep_named(const snub_finding *f, snub_shared_texts *texts, kept_named *named)
{
    for (int k = 0; k < f->named_count; k++) {
        const snub_named *n = &f->named[k];
        named[k] = (kept_named){.number = n->number,
                                .words = n->words,
                                .unit = (unsigned char)n->unit,
                                .rounding = (unsigned char)n->rounding,
                                .decimals = (signed char)n->decimals};
        if (!share(texts, n->name, &named[k].name) || !share(texts, n->text, &named[k].text))
            return false;
    }
    return true;
}

static bool keep_mend(const snub_mend *mend, snub_shared_texts *texts, const snub_mend **kept)
{
    if (mend->path == NULL)
        return true;
    snub_mend *made = SNUB_NEW(texts->arena, snub_mend, 1);
    if (made == NULL)
        return false;
    *made = *mend;
    *kept = made;
    return share(texts, mend->path, &made->path) && share(texts, mend->value[0], &made->value[0]) &&
           share(texts, mend->value[1], &made->value[1]);
}

static bool keep_finding(const snub_finding *f, snub_shared_texts *texts, struct snub_kept_finding *kept)
{
    kept_named *named = SNUB_NEW(texts->arena, kept_named, f->named_count);
    const char **set = SNUB_NEW(texts->arena, const char *, f->set_count);
    *kept = (struct snub_kept_finding){.value = f->value,
                                       .limit = f->limit,
                                       .speed = f->at.speed,
                                       .set = set,
                                       .named = named,
                                       .limit_source = f->limit_source,
                                       .line = f->line,
                                       .limit_line = f->limit_line,
                                       .wording = (unsigned short)f->wording,
                                       .level = (unsigned char)f->level,
                                       .kind = (unsigned char)f->kind,
                                       .end = (unsigned char)f->end,
                                       .set_count = (unsigned char)f->set_count,
                                       .named_count = (unsigned char)f->named_count,
                                       .moment = (unsigned char)f->at.moment,
                                       .swings = f->at.swings,
                                       .way = (unsigned char)f->at.way,
                                       .corner = (unsigned char)f->at.corner,
                                       .warmth = (unsigned char)f->at.warmth,
                                       .side = (signed char)f->at.side};
    bool good = named != NULL && set != NULL && keep_named(f, texts, named);
    for (int k = 0; k < f->set_count && good; k++)
        good = share(texts, f->set[k], &set[k]);
    return good && share(texts, f->pulley, &kept->pulley) && share(texts, f->other, &kept->other) &&
           share(texts, f->second, &kept->second) && share(texts, f->at.peak, &kept->peak) &&
           keep_mend(&f->mend, texts, &kept->mend) && share_range(texts, f->range, &kept->range);
}

static void give_finding(const struct snub_kept_finding *kept, snub_finding *f)
{
    *f = (snub_finding){.wording = (snub_wording)kept->wording,
                        .level = (snub_level)kept->level,
                        .pulley = kept->pulley,
                        .kind = (snub_other)kept->kind,
                        .other = kept->other,
                        .second = kept->second,
                        .value = kept->value,
                        .limit = kept->limit,
                        .limit_source = kept->limit_source,
                        .line = kept->line,
                        .limit_line = kept->limit_line,
                        .at = {.moment = (snub_moment)kept->moment,
                               .swings = kept->swings,
                               .speed = kept->speed,
                               .way = (snub_way)kept->way,
                               .corner = (snub_corner)kept->corner,
                               .side = kept->side,
                               .warmth = (snub_warmth)kept->warmth,
                               .peak = kept->peak},
                        .range = kept->range,
                        .end = kept->end,
                        .set_count = kept->set_count,
                        .named_count = kept->named_count};
    if (kept->mend != NULL)
        f->mend = *kept->mend;
    for (int k = 0; k < kept->set_count; k++)
        f->set[k] = kept->set[k];
    for (int k = 0; k < kept->named_count; k++) {
        const kept_named *n = &kept->named[k];
        f->named[k] = (snub_named){.name = n->name,
                                   .text = n->text,
                                   .words = n->words,
                                   .number = n->number,
                                   .unit = (snub_unit)n->unit,
                                   .decimals = n->decimals,
                                   .rounding = (snub_rounding)n->rounding};
    }
}

bool snub_charted_findings(const snub_charted *build, snub_arena *arena, snub_findings *findings)
{
    findings->count = 0;
    if (findings->room < build->finding_count) {
        findings->items = SNUB_NEW(arena, snub_finding, 2 * build->finding_count);
        findings->room = findings->items != NULL ? 2 * build->finding_count : 0;
        if (findings->items == NULL)
            return false;
    }
    for (int i = 0; i < build->finding_count; i++)
        give_finding(&build->kept[i], &findings->items[findings->count++]);
    return true;
}

/* ---- the build --------------------------------------------------------------------------------------------------- */

static bool same_slot(const snub_charted_slot *a, const snub_charted_slot *b)
{
    const double x[] = {a->slot.from[0],   a->slot.from[1],   a->slot.to[0],  a->slot.to[1],
                        a->slot.centre[0], a->slot.centre[1], a->slot.radius, a->slot.start,
                        a->slot.sweep,     a->slot.length,    a->width};
    const double y[] = {b->slot.from[0],   b->slot.from[1],   b->slot.to[0],  b->slot.to[1],
                        b->slot.centre[0], b->slot.centre[1], b->slot.radius, b->slot.start,
                        b->slot.sweep,     b->slot.length,    b->width};
    bool same = a->slot.curved == b->slot.curved;
    for (size_t k = 0; k < sizeof x / sizeof x[0]; k++)
        same = same && x[k] == y[k];
    return same;
}

/* The one copy of a pulley's slot; NULL where it has none to be set by hand. @return false: memory is out */
static bool share_slot(snub_shared_texts *texts, const snub_drive *drive, int pulley, const snub_charted_slot **shared)
{
    const snub_pulley_hardware *h = drive->hardware != NULL ? &drive->hardware->pulleys[pulley] : NULL;
    *shared = NULL;
    if (drive->pulleys[pulley].sits != SNUB_ON_SLOT || pulley == drive->locked)
        return true;
    snub_charted_slot copy = {.slot = drive->pulleys[pulley].slot};
    if (h != NULL && h->mount >= 0)
        copy.width = snub_slot_width(&drive->hardware->mounts[h->mount], h);
    for (const snub_charted_slot *old = texts->of_pulleys; old != NULL; old = old->next) {
        if (same_slot(old, &copy)) {
            *shared = old;
            return true;
        }
    }
    snub_charted_slot *made = SNUB_NEW(texts->arena, snub_charted_slot, 1);
    if (made == NULL)
        return false;
    *made = copy;
    made->next = texts->of_pulleys;
    texts->of_pulleys = *shared = made;
    return true;
}

/* Most builds of a kit leave out the same. @return false: memory is out */
static bool share_unjudged(snub_shared_texts *texts, const snub_build *build, const snub_unjudged_set **shared)
{
    const snub_unjudged_set set = snub_unjudged_of(build);
    for (*shared = texts->unjudged; *shared != NULL; *shared = (*shared)->next) {
        if (memcmp((*shared)->of, set.of, sizeof set.of) == 0)
            return true;
    }
    snub_unjudged_set *made = SNUB_NEW(texts->arena, snub_unjudged_set, 1);
    if (made == NULL)
        return false;
    *made = set;
    made->next = texts->unjudged;
    texts->unjudged = *shared = made;
    return true;
}

static bool keep_pulleys(const snub_build *build, snub_shared_texts *texts, snub_charted *kept)
{
    const snub_drive *drive = build->drive;
    snub_charted_pulley *pulleys = SNUB_NEW(texts->arena, snub_charted_pulley, drive->pulley_count);
    if (pulleys == NULL)
        return false;
    kept->pulley_count = drive->pulley_count;
    kept->pulleys = pulleys;
    for (int i = 0; i < drive->pulley_count; i++) {
        pulleys[i] = (snub_charted_pulley){.sits = drive->pulleys[i].sits,
                                           .has_blower = drive->pulleys[i].has_blower,
                                           .setting_chosen = build->setting_chosen[i],
                                           .diameter = drive->pulleys[i].nominal_diameter,
                                           .wrap = build->laid ? build->rest.path.wrap[i] : (double)NAN,
                                           .setting = build->settings[i],
                                           .own_setting = build->own_settings[i]};
        if (!share(texts, drive->pulleys[i].name, &pulleys[i].name) || !share_slot(texts, drive, i, &pulleys[i].slot))
            return false;
    }
    kept->cautions = drive->cautions;
    return share(texts, drive->pulleys[drive->crank].name, &kept->crank);
}

static bool keep_choices(const snub_build *build, snub_shared_texts *texts, snub_charted *kept)
{
    const snub_choices *choices = &build->choices;
    kept->serving = SNUB_NEW(texts->arena, double, choices->count);
    kept->open = SNUB_NEW(texts->arena, double, choices->count);
    if (kept->serving == NULL || kept->open == NULL)
        return false;
    kept->offered = choices->offered;
    kept->usable = choices->usable;
    kept->why = choices->why;
    memcpy(kept->wanted_length, choices->wanted_length, sizeof kept->wanted_length);
    kept->cut = choices->cut;
    kept->first_serves = choices->count > 0 && choices->choice[0].serves;
    for (int c = 0; c < choices->count; c++) {
        const snub_choice *choice = &choices->choice[c];
        if (choice->serves)
            kept->serving[kept->serving_count++] = choice->length;
        else if (snub_may_serve(choice, build->verdict))
            kept->open[kept->open_count++] = choice->length;
    }
    if (choices->count < 2)
        return true;
    snub_choice *second = SNUB_NEW(texts->arena, snub_choice, 1);
    if (second == NULL)
        return false;
    *second = choices->choice[1];
    kept->second = second;
    return share(texts, second->part, &second->part);
}

static bool keep_findings(const snub_findings *findings, snub_shared_texts *texts, snub_charted *kept)
{
    struct snub_kept_finding *items = SNUB_NEW(texts->arena, struct snub_kept_finding, findings->count);
    bool good = items != NULL;
    for (int i = 0; i < findings->count && good; i++)
        good = keep_finding(&findings->items[i], texts, &items[i]);
    kept->finding_count = findings->count;
    kept->kept = items;
    return good;
}

bool snub_charted_keep(const snub_build *build, const snub_row *row, snub_shared_texts *texts, snub_charted *kept)
{
    const snub_drive *drive = build->drive;
    *kept = (snub_charted){.row = row,
                           .settled = build->settled,
                           .laid = build->laid,
                           .length_chosen = build->length_chosen,
                           .length = build->length,
                           .own_length = build->own_length,
                           .ribs = drive->belt.ribs,
                           .has_arm = drive->arm >= 0,
                           .grip_design = drive->limits[SNUB_LIMIT_GRIP_DESIGN],
                           .worst_grip = build->worst_grip,
                           .worst_grip_speed = build->worst_grip_speed,
                           .blower_grip = build->blower_grip,
                           .slip_onset = build->slip_onset,
                           .tightest_gap = build->tightest_gap,
                           .wrap_gain = build->wrap_gain,
                           .wind_rest = build->wind_rest,
                           .wind_redline = build->wind_redline,
                           .air = build->air,
                           .hardware = build->hardware,
                           .verdict = build->verdict};
    snub_drive_digest(drive, kept->digest);
    return share(texts, build->part, &kept->part) && share(texts, build->own_number, &kept->own_number) &&
           share(texts, build->designation, &kept->designation) && share(texts, drive->belt.section, &kept->section) &&
           share_unjudged(texts, build, &kept->unjudged) && keep_pulleys(build, texts, kept) &&
           keep_choices(build, texts, kept) && keep_findings(&build->findings, texts, kept);
}

bool snub_charted_bare(const snub_drive *drive, snub_shared_texts *texts, snub_bare *kept)
{
    *kept = drive->bare;
    return share(texts, kept->text, &kept->text) && share(texts, kept->unit, &kept->unit) &&
           share(texts, kept->us_unit, &kept->us_unit);
}

int snub_charted_pulley_named(const snub_charted *build, const char *name)
{
    for (int i = 0; i < build->pulley_count; i++) {
        if (strcmp(build->pulleys[i].name, name) == 0)
            return i;
    }
    return -1;
}

int snub_charted_blower(const snub_charted *build)
{
    for (int i = 0; i < build->pulley_count; i++) {
        if (build->pulleys[i].has_blower)
            return i;
    }
    return -1;
}
