/* Ratios of the blower pulleys on offer. A drive is only read for it: which belt would run is another question. */
#include "snub/trace.h"

static snub_status read_offer(const snub_document *document, const snub_reading *reading, const snub_build *build,
                              const snub_option *option, int value, snub_log_offer *offer, bool *good)
{
    const snub_overlay overlay = {.path = option->path, .value = option->values[value], .place = option->place};
    snub_errors errors = {0};
    snub_reading own = *reading;
    snub_row row;
    snub_drive *drive = SNUB_NEW(reading->arena, snub_drive, 1);
    *good = false;
    if (drive == NULL || !snub_row_with(&build->row, &overlay, reading->arena, &row))
        return SNUB_NO_MEMORY;
    own.overlays = row.overlays;
    own.overlay_count = row.overlay_count;
    const snub_status status = snub_drive_read(document, &own, drive, &errors);
    snub_errors_free(&errors);
    const int blower = status == SNUB_OK ? snub_first_blower(drive) : -1;
    if (blower < 0)
        return status == SNUB_NO_MEMORY ? status : SNUB_OK;
    *good = true;
    *offer = (snub_log_offer){.value = option->values[value]->text != NULL ? option->values[value]->text : "?",
                              .ratio = snub_speed_ratio(drive, blower)};
    return SNUB_OK;
}

snub_status snub_log_offers_find(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                 snub_log_offer *offers, int *count)
{
    const int blower = snub_first_blower(build->drive);
    const snub_option *option = blower >= 0 ? snub_diameter_option(build->drive, blower) : NULL;
    *count = 0;
    for (int i = 0; option != NULL && i < option->count && *count < SNUB_LOG_OFFERS_MOST; i++) {
        bool good;
        const snub_status status = read_offer(document, reading, build, option, i, &offers[*count], &good);
        if (status != SNUB_OK)
            return status;
        *count += good;
    }
    return SNUB_OK;
}
