/* Numbers of the kits in order and in classes. docs/theory/tolerate.md. */
#include "snub/kit_histogram.h"

#include <math.h>
#include <stdlib.h>

#include "snub/scatter.h"

const double snub_quantile_chance[SNUB_QUANTILES] = {0.001, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 0.999};

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void limits_of(const snub_drive *drive, snub_followed followed, snub_kit_histogram *h)
{
    h->low_limit = h->high_limit = NAN;
    switch (followed) {
    case SNUB_FOLLOWED_GRIP:
    case SNUB_FOLLOWED_BLOWER_GRIP: h->high_limit = drive->limits[SNUB_LIMIT_GRIP_DESIGN]; break;
    case SNUB_FOLLOWED_WIND_STOPPED:
    case SNUB_FOLLOWED_WIND_REDLINE:
        if (drive->arm >= 0) {
            h->low_limit = drive->pulleys[drive->arm].arm.work[0];
            h->high_limit = drive->pulleys[drive->arm].arm.work[1];
        }
        break;
    case SNUB_FOLLOWED_GAP: h->low_limit = drive->limits[SNUB_LIMIT_CLEARANCE]; break;
    case SNUB_FOLLOWED_WRAP:
    case SNUB_FOLLOWED_BOOST:
    case SNUB_FOLLOWED_: break;
    }
}

static void count_beyond(const double *sorted, snub_kit_histogram *h)
{
    for (int i = 0; i < h->count; i++) {
        h->below += sorted[i] < h->low_limit;
        h->above += sorted[i] > h->high_limit;
    }
}

static void find_quantiles(const double *sorted, snub_kit_histogram *h)
{
    const snub_scatter kits = {.kind = SNUB_SAMPLED, .count = h->count, .sample = sorted};
    for (int q = 0; q < SNUB_QUANTILES; q++) {
        const double chance = snub_quantile_chance[q], tail = fmin(chance, 1.0 - chance);
        const bool reached = h->count > 0 && h->count * tail > 1.0 - 1e-9; /* 1000 times 0.001 is 1 */
        h->quantile[q] = reached ? snub_scatter_value(&kits, chance) : (double)NAN;
    }
}

/* Of the finite numbers; endless ones stand behind them. */
static void find_classes(const double *sorted, snub_kit_histogram *h)
{
    const int finite = h->count - h->endless;
    if (finite == 0)
        return;
    const double whole = sorted[finite - 1] - sorted[0];
    const int wanted = (int)ceil(2.0 * cbrt(finite) - 1e-9); /* 27 kits make 6 */
    h->class_count = whole > 0.0 ? (wanted < SNUB_CLASSES_MOST ? wanted : SNUB_CLASSES_MOST) : 1;
    h->from = sorted[0];
    h->width = whole / h->class_count;
    for (int i = 0; i < finite; i++) {
        const int class = h->width > 0.0 ? (int)((sorted[i] - h->from) / h->width) : 0;
        h->kits[class < h->class_count ? class : h->class_count - 1]++;
    }
}

snub_status snub_kit_histogram_of(const snub_tolerated *tolerated, snub_followed followed,
                                  snub_kit_histogram *histogram)
{
    double *sorted = malloc(((size_t)tolerated->kit_count + 1) * sizeof *sorted);
    *histogram = (snub_kit_histogram){0};
    if (sorted == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < tolerated->kit_count; i++) {
        const double value = tolerated->kits[i].of[followed];
        if (isnan(value))
            continue;
        sorted[histogram->count++] = value;
        histogram->endless += !isfinite(value);
    }
    qsort(sorted, (size_t)histogram->count, sizeof *sorted, by_size);
    limits_of(tolerated->build->drive, followed, histogram);
    count_beyond(sorted, histogram);
    find_quantiles(sorted, histogram);
    find_classes(sorted, histogram);
    free(sorted);
    return SNUB_OK;
}
