/** snub/tolerate_plot.h - histograms of what kits come to. Room: report. */
#ifndef SNUB_TOLERATE_PLOT_H
#define SNUB_TOLERATE_PLOT_H

#include "snub/draw.h"
#include "snub/tolerate.h"

/** Grip, arm, gap and boost of the kits, a histogram each with its nominal value, its limits and the share of kits
 * beyond them. A number that no kit has is left out.
 *  @param[in] locale  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT (no kit has any of them); SNUB_NO_MEMORY */
snub_status snub_tolerate_plot(const snub_tolerated *tolerated, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error);

#endif
