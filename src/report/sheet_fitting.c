/** Fitting sheet of one build. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "expect.h"
#include "pages.h"

/** Slack [m] under which no rim stands in the belt's way. */
#define NO_RIM 0.00005
#define SIGNATURES 9.0      /**< mm of them, with the gap above */
#define HEADED 11.0         /**< mm of the picture's heading */
#define PICTURE_LEAST 112.0 /**< the least that shares page 1: in a smaller one labels stand beside other pulleys */
#define PICTURE 122.0       /**< height of the belt's way, mm */

typedef struct fitter {
    snub_pages *pages;
    const snub_build *build;
    snub_expectation expect;
    int step;
} fitter;

/* ---- cautions ---------------------------------------------------------------------------------------------------- */

/* What applies at some places, before the step that it is for. */
static void cautions(const fitter *f, snub_caution_place place)
{
    snub_pages_cautions(f->pages, snub_cautions_of(f->build) & snub_cautions_at(place));
}

/* ---- what is fitted ---------------------------------------------------------------------------------------------- */

static const char *range(snub_pages *pages, const double value[3], double size, int decimals, const char *unit)
{
    const snub_shown low = snub_number_shown(pages->locale, value[0] / size, unit, decimals);
    const snub_shown high = snub_number_shown(pages->locale, value[2] / size, unit, decimals);
    return snub_pages_fill(pages, SAY("{nominal} ({low} to {high})"), "nominal",
                           snub_pages_number(pages, value[1] / size, decimals, unit), "low",
                           snub_pages_number(pages, low.value, low.decimals, ""), "high",
                           snub_pages_number(pages, high.value, high.decimals, ""), NULL);
}

static const char *span_name(snub_pages *pages, const snub_drive *drive, int span)
{
    return snub_pages_fill(pages, SAY("{a} to {b}"), "a", drive->pulleys[span].name, "b",
                           drive->pulleys[(span + 1) % drive->pulley_count].name, NULL);
}

enum { ROWS_MOST = 16 + SNUB_PULLEYS_MOST };

typedef struct listing {
    const char *cell[2 * ROWS_MOST];
    int rows;
} listing;

static void line(listing *list, const char *name, const char *value)
{
    if (list->rows == ROWS_MOST)
        return;
    list->cell[2 * list->rows] = name;
    list->cell[2 * list->rows + 1] = value;
    list->rows++;
}

/* Which end of a slot is its zero: said by where it lies, so that nobody measures from the wrong one. */
static const char *zero_end(snub_pages *pages, const snub_slot *slot)
{
    double dx = slot->to[0] - slot->from[0], dy = slot->to[1] - slot->from[1];
    bool sideways = fabs(dx) > fabs(dy);
    return sideways ? (dx > 0 ? SAY("left end") : SAY("right end")) : (dy > 0 ? SAY("lower end") : SAY("upper end"));
}

/* Over balls first: what calipers find over the tips depends on how far these are rounded. */
static const char *pulley_size(snub_pages *pages, const snub_drive *drive, const snub_pulley *p)
{
    const char *size = snub_pages_length(pages, p->diameter, 1);
    if (p->side == SNUB_BACK || drive->belt.section == NULL || strcmp(drive->belt.section, "PK") != 0)
        return snub_pages_fill(pages, SAY("{size} effective diameter"), "size", size, NULL);
    const char *balls = snub_pages_length(pages, p->diameter + SNUB_BALLS_OVER_EFFECTIVE, 1);
    const char *tips =
        snub_pages_length(pages, p->diameter - snub_tips_under_effective(p->tip_radius, p->groove_angle), 1);
    const char *radius = snub_pages_length(pages, p->tip_radius, 2);
    const char *ball = snub_pages_length(pages, SNUB_BALL_DIAMETER, 1);
    if (p->tip_radius_given)
        return snub_pages_fill(pages,
                               SAY("{balls} over balls of {ball}; {tips} over the tips, which are rounded by {radius}; "
                                   "{size} effective diameter"),
                               "balls", balls, "ball", ball, "tips", tips, "radius", radius, "size", size, NULL);
    return snub_pages_fill(
        pages,
        SAY("{balls} over balls of {ball}; over the tips {tips} where they are rounded by {radius}, up to {most} where "
            "by "
            "{least}; {size} effective diameter"),
        "balls", balls, "ball", ball, "tips", tips, "radius", radius, "most",
        snub_pages_length(pages, p->diameter - snub_tips_under_effective(SNUB_LEAST_TIP_RADIUS, p->groove_angle), 1),
        "least", snub_pages_length(pages, SNUB_LEAST_TIP_RADIUS, 2), "size", size, NULL);
}

static void key_numbers(fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_drive *drive = f->build->drive;
    const snub_build *build = f->build;
    listing list = {.rows = 0};
    line(&list, SAY("belt"),
         snub_pages_fill(pages, SAY("{designation}, {ribs} ribs, effective length {length}"), "designation",
                         build->designation, "ribs", snub_pages_number(pages, drive->belt.ribs, 0, ""), "length",
                         snub_pages_length(pages, build->length, 1), NULL));
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].has_blower)
            line(&list, snub_pages_fill(pages, SAY("pulley on {name}"), "name", drive->pulleys[i].name, NULL),
                 pulley_size(pages, drive, &drive->pulleys[i]));
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(build->settings[i]))
            line(&list, snub_pages_fill(pages, SAY("slot setting of {name}"), "name", drive->pulleys[i].name, NULL),
                 snub_pages_fill(pages, SAY("{set} from the {end} of its slot to the middle of its bolt"), "set",
                                 snub_pages_length(pages, build->settings[i], 1), "end",
                                 zero_end(pages, &drive->pulleys[i].slot), NULL));
    if (f->expect.known && drive->arm >= 0)
        line(&list, SAY("arm angle, engine stopped"),
             snub_pages_fill(
                 pages, SAY("{wind} from free, of {travel}"), "wind", range(pages, f->expect.wind, SNUB_DEG, 1, "deg"),
                 "travel", snub_pages_number(pages, drive->pulleys[drive->arm].arm.travel / SNUB_DEG, 0, "deg"), NULL));
    if (f->expect.known && f->expect.span >= 0) {
        line(
            &list,
            snub_pages_fill(pages, SAY("pluck the span {span}"), "span", span_name(pages, drive, f->expect.span), NULL),
            range(pages, f->expect.frequency, 1, 1, "Hz"));
        line(&list, SAY("tension there, engine stopped"), range(pages, f->expect.tension, 1, 0, "N"));
    }
    snub_pages_column columns[2] = {{SAY("what"), "", 30, -1}, {SAY("value"), "", 70, -1}};
    snub_pages_heading(pages, SAY("Target readings"));
    pages->cell = 2.3;
    snub_pages_table(pages, columns, 2, list.cell, list.rows);
    pages->cell = 0;
    snub_pages_quiet(
        pages, drive->locked >= 0
                   ? SAY("In brackets: near enough, 3 % of the frequency either way (rule of thumb). Belt cold, "
                         "engine stopped.")
                   : SAY("In brackets: from the longest to the shortest new belt in tolerance and over the friction "
                         "of the arm. Belt cold, engine stopped."));
}

/* ---- steps ------------------------------------------------------------------------------------------------------- */

static void step(fitter *f, const char *text)
{
    snub_pages_step(f->pages, ++f->step, text);
}

/* As it was judged. */
static const char *torque_of(snub_pages *pages, double torque)
{
    return isfinite(torque) && torque > 0 ? snub_pages_torque(pages, torque) : SAY("the torque that its maker states");
}

static bool same(const char *a, const char *b)
{
    return a != NULL && b != NULL && strcmp(a, b) == 0;
}

/* What a finding speaks of: a bolt of a mount, the mount as such (`bolt` NULL), or what a pulley stands on and is
 * clamped by (`mount` NULL, `bolt` the pulley's name). */
static bool speaks_of(const snub_finding *finding, const char *mount, const char *bolt)
{
    const snub_rule rule = snub_wording_describe(finding->wording)->rule;
    if (mount != NULL)
        return same(finding->other, mount) &&
               (bolt != NULL ? finding->kind == SNUB_OTHER_BOLT && same(finding->second, bolt)
                             : finding->second == NULL) &&
               snub_rule_describe(rule)->area == SNUB_AREA_HARDWARE;
    return same(finding->pulley, bolt) &&
           (rule == SNUB_RULE_STANDOFF_GAP || rule == SNUB_RULE_STANDOFF_FATIGUE || rule == SNUB_RULE_STANDOFF_SLIP ||
            rule == SNUB_RULE_SLOT_CLAMP || rule == SNUB_RULE_SURFACE_PRESSURE || rule == SNUB_RULE_BOLT_PROOF ||
            rule == SNUB_RULE_PRELOAD || rule == SNUB_RULE_ENGAGEMENT);
}

/* A step with what was found about its bolt: it is read where the wrench is in hand. */
static void step_of(fitter *f, const char *text, const char *mount, const char *bolt)
{
    snub_pages *pages = f->pages;
    const snub_findings *all = &f->build->findings;
    for (int i = 0; i < all->count; i++) {
        snub_text words = {0};
        if (!speaks_of(&all->items[i], mount, bolt))
            continue;
        snub_finding_sentence(&all->items[i], pages->locale, &words);
        text = snub_pages_fill(pages, SAY("{step} Note: {finding}"), "step", text, "finding",
                               snub_pages_keep(pages, &words), NULL);
    }
    step(f, text);
}

static void bolt_step(fitter *f, const snub_mount_result *mount, const snub_bolt_result *bolt)
{
    snub_pages *pages = f->pages;
    char order[16];
    snprintf(order, sizeof order, "%d", bolt->order);
    step_of(f,
            snub_pages_fill(pages,
                            SAY("{mount}: bolt {order}, {name} ({thread}, class {class}, {condition}): {torque}."),
                            "mount", mount->mount->name, "order", order, "name", bolt->bolt->name, "thread",
                            bolt->bolt->thread != NULL ? bolt->bolt->thread : "\xe2\x80\x93", "class",
                            bolt->bolt->class_ != NULL ? bolt->bolt->class_ : "\xe2\x80\x93", "condition",
                            bolt->bolt->condition != NULL ? bolt->bolt->condition : SAY("condition not stated"),
                            "torque", torque_of(pages, bolt->torque), NULL),
            mount->mount->name, bolt->bolt->name);
}

static void mount_steps(fitter *f, const snub_hardware_report *report)
{
    snub_pages *pages = f->pages;
    for (int m = 0; m < report->mount_count; m++) {
        const snub_mount_result *mount = &report->mounts[m];
        int n = mount->mount->bolt_count;
        if (n < 1)
            continue;
        step_of(f,
                snub_pages_fill(pages,
                                SAY("{mount}: clean the faces, set it in place, run all bolts in by hand. Tighten in "
                                    "the order below, first to half the torque, then to the full torque."),
                                "mount", mount->mount->name, NULL),
                mount->mount->name, NULL);
        for (int order = 1; order <= n; order++)
            for (int i = 0; i < n; i++)
                if (mount->bolts[i].order == order)
                    bolt_step(f, mount, &mount->bolts[i]);
    }
}

static void standoff_steps(fitter *f, const snub_hardware_report *report)
{
    snub_pages *pages = f->pages;
    const snub_drive *drive = f->build->drive;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_standoff_result *s = &report->standoff[i];
        if (!s->given)
            continue;
        const snub_standoff *from = &drive->hardware->pulleys[i].standoff;
        const bool slides = report->clamp[i].given && report->clamp[i].bolt == s->bolt;
        step_of(f,
                snub_pages_fill(
                    pages,
                    slides ? SAY("{name}: standoff {length} long, bolt {thread}: run it in by hand; it is tightened "
                                 "when the slot is set.")
                           : SAY("{name}: standoff {length} long, bolt {thread}: {torque}."),
                    "name", drive->pulleys[i].name, "length", snub_pages_length(pages, from->length, 1), "thread",
                    from->bolt.thread != NULL ? from->bolt.thread : "\xe2\x80\x93", "torque",
                    torque_of(pages, s->torque), NULL),
                NULL, slides ? NULL : drive->pulleys[i].name);
    }
}

static void relief_steps(fitter *f, const snub_hardware_report *report)
{
    snub_pages *pages = f->pages;
    for (int i = 0; i < report->conflict_count; i++) {
        const snub_finding conflict = snub_conflict_finding(f->build->drive, &report->conflicts[i]);
        snub_text words = {0};
        snub_finding_sentence(&conflict, pages->locale, &words);
        step(f, snub_pages_fill(pages, SAY("Clearance, before anything is bolted on: {text}"), "text",
                                snub_pages_keep(pages, &words), NULL));
    }
}

static void shim_steps(fitter *f, const snub_hardware_report *report)
{
    snub_pages *pages = f->pages;
    const snub_hardware *hardware = f->build->drive->hardware;
    for (int k = 0; report->shims.asked && k < report->shims.places; k++) {
        snub_text pack = {0};
        for (int s = 0; s < hardware->shim_count; s++)
            if (report->shims.wanted && report->shims.answer.count[k][s] > 0)
                snub_text_printf(&pack, "%s%d x %s", pack.length > 0 ? " + " : "", report->shims.answer.count[k][s],
                                 snub_pages_length(pages, hardware->shims[s], 2));
        if (!report->shims.wanted && report->shims.answer.pack[k] > 0.0)
            snub_text_puts(&pack, snub_pages_length(pages, report->shims.answer.pack[k], 2));
        step(f,
             snub_pages_fill(pages, SAY("Shims under {owner}, at {place}: {pack}."), "owner",
                             report->shims.owner[k] != NULL ? report->shims.owner[k] : "\xe2\x80\x93", "place",
                             report->shims.place[k]->name, "pack", pack.data != NULL ? pack.data : SAY("none"), NULL));
        snub_text_free(&pack);
    }
}

/* The last words about a slot: "Tighten its bolt, M12, to 96 N m." */
static const char *slot_bolt(fitter *f, int pulley)
{
    snub_pages *pages = f->pages;
    const snub_clamp_result *c = f->build->report != NULL ? &f->build->report->clamp[pulley] : NULL;
    if (c == NULL || !c->given)
        return SAY("Tighten its bolt.");
    return snub_pages_fill(pages, SAY("Tighten its bolt, {thread}, to {torque}."), "thread",
                           c->bolt->thread != NULL ? c->bolt->thread : "\xe2\x80\x93", "torque",
                           torque_of(pages, c->torque), NULL);
}

static void belt_steps(fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_drive *drive = f->build->drive;
    const snub_build *build = f->build;
    snub_fitting fitting = {0};
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked && isfinite(build->settings[i]))
            step_of(f,
                    snub_pages_fill(pages, SAY("{name}: set it {set} from the {end} of its slot. {tighten}"), "name",
                                    drive->pulleys[i].name, "set", snub_pages_length(pages, build->settings[i], 1),
                                    "end", zero_end(pages, &drive->pulleys[i].slot), "tighten", slot_bolt(f, i), NULL),
                    NULL, drive->pulleys[i].name);
    bool known = snub_fitting_find(drive, build->settings, build->length, &fitting, NULL) == SNUB_OK;
    const char *last = known && fitting.possible ? drive->pulleys[fitting.last].name : NULL;
    if (drive->locked >= 0)
        step(f, snub_pages_fill(pages, SAY("{name}: leave its bolt loose and push it to where the belt is slackest."),
                                "name", drive->pulleys[drive->locked].name, NULL));
    if (drive->arm >= 0)
        step(f, SAY("Wind the arm to its stop and hold it there. Lay the belt as the picture shows, ribs in grooves, "
                    "back on "
                    "the plain pulleys."));
    else
        step(f, SAY("Lay the belt as the picture shows, ribs in grooves, back on the plain pulleys."));
    if (last != NULL && fitting.needed < NO_RIM)
        step(f, snub_pages_fill(pages, SAY("Slip the belt on at {name} last: there is {slack} of slack."), "name", last,
                                "slack", snub_pages_length(pages, fitting.slack, 1), NULL));
    else if (last != NULL)
        step(f, snub_pages_fill(pages,
                                SAY("Pass the belt over {name} last: there is {slack} of slack, {needed} is needed."),
                                "name", last, "slack", snub_pages_length(pages, fitting.slack, 1), "needed",
                                snub_pages_length(pages, fitting.needed, 1), NULL));
    else
        step(f, SAY("The belt has too little slack to pass over any rim in place: fit one pulley together with the "
                    "belt."));
    if (drive->arm >= 0)
        step(f, SAY("Ease the arm until the belt carries it."));
    if (drive->locked >= 0 && f->expect.known && f->expect.span >= 0)
        step_of(f,
                snub_pages_fill(
                    pages,
                    SAY("{name}: pull it along its slot until the span {span}, plucked in its middle, reads "
                        "{frequency}; this is {tension} of tension. Expect it near {set} from the {end} of "
                        "its slot: far from there, the belt or a pulley is wrong. {tighten}"),
                    "name", drive->pulleys[drive->locked].name, "span", span_name(pages, drive, f->expect.span),
                    "frequency", snub_pages_number(pages, f->expect.frequency[1], 1, "Hz"), "tension",
                    snub_pages_value(pages, f->expect.tension[1], SNUB_UNIT_N, 0), "set",
                    snub_pages_length(pages, build->settings[drive->locked], 1), "end",
                    zero_end(pages, &drive->pulleys[drive->locked].slot), "tighten", slot_bolt(f, drive->locked), NULL),
                NULL, drive->pulleys[drive->locked].name);
    step(f, SAY("Turn the engine two full turns by hand, at the crank's bolt, in its running direction. Every rib "
                "must sit in "
                "its groove, and no edge may hang over a rim."));
}

/* With its cautions, and together with the signatures: nobody signs a page of its own. */
static void load_step(fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_caution_set asked = snub_cautions_of(f->build) & snub_cautions_at(SNUB_PLACE_LOAD);
    const char *text = SAY("First full load: only after that check. Raise the load in stages; between them stop and "
                           "look at the belt's edges.");
    snub_pages_room(pages, snub_pages_cautions_height(pages, asked) + snub_pages_step_height(pages, text) + SIGNATURES);
    cautions(f, SNUB_PLACE_LOAD);
    step(f, text);
}

/* A fixed tensioner does not follow the belt as it wears. */
static void again_step(fitter *f)
{
    snub_pages *pages = f->pages;
    snub_retension r;
    snub_retension_find(f->build, &r);
    if (!r.given || isnan(r.again) || !f->expect.known || f->expect.span < 0)
        return;
    step(f,
         snub_pages_fill(pages,
                         SAY("Tell the owner: nothing takes up wear. Pluck the same span, engine cold, at every "
                             "service; set the tensioner again before it reads under {frequency} ({tension})."),
                         "frequency", snub_pages_number(pages, snub_expected_frequency(&f->expect, r.again), 1, "Hz"),
                         "tension", snub_pages_value(pages, r.again, SNUB_UNIT_N, 0), NULL));
}

static void proof_steps(fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_drive *drive = f->build->drive;
    if (f->expect.known && drive->arm >= 0)
        step(f, snub_pages_fill(pages,
                                SAY("Read the arm: {low} to {high} from free. Outside that range the belt, a pulley "
                                    "or the slot setting is wrong: stop and find which."),
                                "low", snub_pages_number(pages, f->expect.wind[0] / SNUB_DEG, 1, "deg"), "high",
                                snub_pages_number(pages, f->expect.wind[2] / SNUB_DEG, 1, "deg"), NULL));
    if (f->expect.known && f->expect.span >= 0)
        step(f, snub_pages_fill(pages,
                                SAY("Pluck the span {span} in its middle: {low} to {high}. Write down what it reads: "
                                    "________ Hz."),
                                "span", span_name(pages, drive, f->expect.span), "low",
                                snub_pages_number(pages, f->expect.frequency[0], 1, "Hz"), "high",
                                snub_pages_number(pages, f->expect.frequency[2], 1, "Hz"), NULL));
    again_step(f);
    cautions(f, SNUB_PLACE_RUN);
    step(f, SAY("Guards and hoses back on, tools out, battery on. Run at idle for a minute, then stop and look at the "
                "belt's edges."));
    step(f, drive->arm >= 0
                ? SAY("After the first heat cycle, engine cold again: check every bolt's torque in the same order, the "
                      "arm angle and the pluck frequency. Check them once more after 24 to 48 hours of running.")
                : SAY("After the first heat cycle, engine cold again: check every bolt's torque in the same order, and "
                      "the pluck frequency. Check them once more after 24 to 48 hours of running."));
    load_step(f);
}

static void without_hardware(fitter *f)
{
    snub_pages *pages = f->pages;
    step(f,
         SAY("Bolt the bracket, idlers and blower on with the torques that their makers state; the drive file gives no "
             "bolts, so that this sheet cannot."));
}

static void steps(fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_hardware_report *report = f->build->report;
    snub_pages_heading(pages, SAY("Steps, in this order"));
    step(f, SAY("Make safe as page 1 says. Sketch or photograph the old belt's routing."));
    cautions(f, SNUB_PLACE_BELT);
    step(f, f->build->drive->arm >= 0 ? SAY("Wind the tensioner back, take the old belt off, ease the tensioner.")
                                      : SAY("Slacken the old belt, or loosen what tensions it, and take it off."));
    step(f, SAY("Look at every pulley that stays: no play, no wear of the grooves, no oil. Clean the grooves."));
    cautions(f, SNUB_PLACE_METAL);
    if (report != NULL) {
        relief_steps(f, report);
        shim_steps(f, report);
        cautions(f, SNUB_PLACE_BOLTS);
        mount_steps(f, report);
        standoff_steps(f, report);
    } else {
        cautions(f, SNUB_PLACE_BOLTS);
        without_hardware(f);
    }
    belt_steps(f);
    proof_steps(f);
}

/* A build that fails: what is known, and no number that somebody could work by. */
static void refuse(const fitter *f)
{
    snub_pages *pages = f->pages;
    const snub_caution_set asked = snub_cautions_at(SNUB_PLACE_START) | snub_cautions_at(SNUB_PLACE_METAL);
    snub_pages_heading(pages, SAY("This build is not to be fitted"));
    snub_pages_paragraph(
        pages,
        SAY("It fails for the reasons above, and this sheet gives no steps, torques or settings for it. Give it back "
            "to whoever designed the kit, with these reasons. Fit another build, or the one that follows when the "
            "reasons are gone; its sheet will have the steps."));
    snub_pages_cautions(pages, (asked & snub_cautions_of(f->build)) | snub_cautions_advised(f->build, SNUB_ALL_AREAS));
}

static void sign_off(snub_pages *pages)
{
    snub_pages_gap(pages, 3);
    snub_pages_room(pages, 6);
    snub_pages_paragraph(pages,
                         SAY("Fitted by: ____________________   Date: ______________   Checked cold after the first "
                             "heat cycle by: ____________________"));
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    fitter f = {.pages = pages, .build = pages->build->build};
    (void)context;
    if (snub_pages_fails(pages)) {
        refuse(&f);
        return SNUB_OK;
    }
    snub_expect(f.build, &f.expect);
    snub_pages_heading(pages, SAY("Before you start"));
    cautions(&f, SNUB_PLACE_START);
    key_numbers(&f);
    const double left = pages->bottom - pages->y - HEADED;
    snub_status status = snub_pages_front(pages, left < PICTURE && left > PICTURE_LEAST ? left : PICTURE,
                                          SAY("Belt routing, seen from the front of the engine"), error);
    if (status != SNUB_OK)
        return status;
    steps(&f);
    sign_off(pages);
    return SNUB_OK;
}

snub_status snub_sheet_fitting(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                               snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Fitting sheet"), .build = build, .print = print};
    return snub_pages_print(sheet, &job, out, error);
}
