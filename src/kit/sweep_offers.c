/* Every blower pulley on offer, and how it holds. docs/theory/sweep.md */
#include "snub/sweep.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RPM (30.0 / SNUB_PI)
enum { OFFER_SPEEDS = 41 };

/* The option that offers the blower's diameter: "NAME.diameter" or "NAME.diameter.value". */
static const snub_option *diameter_option(const snub_drive *drive, const char *blower)
{
    char path[2][200];
    snprintf(path[0], sizeof path[0], "%.150s.diameter", blower);
    snprintf(path[1], sizeof path[1], "%.150s.diameter.value", blower);
    for (int i = 0; i < drive->option_count; i++)
        if (strcmp(drive->options[i].path, path[0]) == 0 || strcmp(drive->options[i].path, path[1]) == 0)
            return &drive->options[i];
    return NULL;
}

static void no_offer(snub_pulley_offer *offer, const char *why)
{
    offer->laid = false;
    snprintf(offer->why, sizeof offer->why, "%.150s", why);
}

static void read_onset(const snub_sweep *sweep, snub_pulley_offer *offer)
{
    static const snub_sweep_way ways[] = {SNUB_SWEEP_STEADY, SNUB_SWEEP_RISING};
    offer->onset = NAN;
    for (int i = 0; i < 2; i++) {
        double onset = snub_sweep_slip_onset(sweep, ways[i], sweep->blower);
        if (isfinite(onset) && !(onset >= offer->onset)) {
            offer->onset = onset;
            offer->onset_way = ways[i];
        }
    }
    offer->grip = 0;
    for (int k = 0; k < sweep->speeds; k++) {
        double grip = sweep->pulley[SNUB_SWEEP_STEADY][k * sweep->pulleys + sweep->blower].grip_design;
        if (sweep->point[SNUB_SWEEP_STEADY][k].solved && grip > offer->grip)
            offer->grip = grip;
    }
}

/* One offered diameter: read, choose belt and setting, sweep. */
static snub_status work_out(const snub_document *document, const snub_reading *reading,
                            const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offer,
                            snub_error *error)
{
    snub_drive drive;
    snub_check check;
    snub_sweep sweep;
    snub_mistakes mistakes = {0};
    snub_status status = snub_drive_read(document, reading, &drive, &mistakes);
    if (status != SNUB_OK) {
        no_offer(offer, mistakes.count > 0 ? mistakes.items[0].message : snub_status_text(status));
        snub_mistakes_free(&mistakes);
        return status == SNUB_NO_MEMORY ? snub_fail(error, status, NULL, NULL, "out of memory") : SNUB_OK;
    }
    snub_mistakes_free(&mistakes);
    /* another pulley takes another belt */
    if (drive.belt.stock_count > 0)
        drive.belt.length = NAN;
    const snub_check_request wanted = {.only_speed = NAN, .speeds = OFFER_SPEEDS, .free_settings = true};
    status = snub_check_drive(&drive, &wanted, arena, &check, error);
    if (status != SNUB_OK)
        return status;
    if (!check.laid) {
        no_offer(offer, check.failure.message);
        return SNUB_OK;
    }
    status = snub_sweep_run(&drive, check.length, check.settings, request, arena, &sweep, error);
    if (status != SNUB_OK)
        return status;
    const snub_pulley *pulley = &drive.pulleys[sweep.blower];
    const snub_sweep_point *last = &sweep.point[SNUB_SWEEP_STEADY][sweep.speeds - 1];
    offer->laid = true;
    offer->diameter = pulley->diameter;
    offer->boost = last->match.boost;
    offer->rotor_speed = last->match.rotor_speed;
    offer->rotor_limit = snub_rotor_limit(pulley);
    read_onset(&sweep, offer);
    return SNUB_OK;
}

static int by_diameter(const void *a, const void *b)
{
    const snub_pulley_offer *x = a, *y = b;
    return x->diameter > y->diameter ? -1 : x->diameter < y->diameter ? 1 : strcmp(x->value, y->value);
}

snub_status snub_sweep_offers(const snub_document *document, const snub_reading *reading, const snub_drive *drive,
                              const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offers,
                              int *count, snub_error *error)
{
    int blower = 0;
    *count = 0;
    while (blower < drive->pulley_count && !drive->pulleys[blower].has_blower)
        blower++;
    const snub_option *option =
        blower < drive->pulley_count ? diameter_option(drive, drive->pulleys[blower].name) : NULL;
    if (!option)
        return SNUB_OK;
    const int own = reading->overlay_count;
    snub_overlay *overlays = SNUB_NEW(arena, snub_overlay, own + 1);
    if (!overlays)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (own > 0)
        memcpy(overlays, reading->overlays, sizeof *overlays * (size_t)own);
    for (int i = 0; i < option->count && *count < SNUB_OFFERS_MOST; i++) {
        snub_reading with = *reading;
        overlays[own] = (snub_overlay){.path = option->path, .value = option->values[i], .place = option->place};
        with.overlays = overlays;
        with.overlay_count = own + 1;
        snub_pulley_offer *offer = &offers[*count];
        *offer = (snub_pulley_offer){
            .value = option->values[i]->text ? option->values[i]->text : "?", .onset = NAN, .rotor_limit = NAN};
        snub_status status = work_out(document, &with, request, arena, offer, error);
        if (status != SNUB_OK)
            return status;
        ++*count;
    }
    qsort(offers, (size_t)*count, sizeof *offers, by_diameter);
    return SNUB_OK;
}

void snub_sweep_advice(const snub_sweep *sweep, const snub_pulley_offer *offers, int count, snub_text *out)
{
    double redline = sweep->speed[sweep->speeds - 1];
    for (int i = 0; i < count; i++) {
        const snub_pulley_offer *offer = &offers[i];
        snub_text_puts(out, i > 0 ? "; " : "");
        snub_text_printf(out, "%s%s", offer->value, strpbrk(offer->value, "abcdefghijklmnopqrstuvwxyz\"") ? "" : " mm");
        if (!offer->laid)
            snub_text_printf(out, " has no belt");
        else if (isfinite(offer->onset))
            snub_text_printf(out, " slips from %.0f rpm (%s)", offer->onset * RPM,
                             snub_sweep_way_text(offer->onset_way));
        else
            snub_text_printf(out, " holds to %.0f rpm", redline * RPM);
        if (offer->laid)
            snub_text_printf(out, ", %.0f kPa", offer->boost / 1e3);
        if (offer->laid && offer->rotor_speed > offer->rotor_limit)
            snub_text_printf(out, ", rotor %.0f %% over its limit",
                             100 * (offer->rotor_speed / offer->rotor_limit - 1));
    }
}
