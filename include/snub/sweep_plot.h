/** snub/sweep_plot.h - sweeps drawn over engine speed. Room: report. */
#ifndef SNUB_SWEEP_PLOT_H
#define SNUB_SWEEP_PLOT_H

#include "snub/draw.h"
#include "snub/sweep.h"

enum { SNUB_SWEEP_PLOTS_MOST = 24 };

/** One sweep: boost, power, temperatures, grip by pulley, slip and arm, each in a panel over engine speed; steady
 * running, with what rising and a gear change add. Several: boost, blower and crank power, worst grip, slip and arm, a
 * line for each, told apart by colour, dash and marker.
 *  @param[in] names  of the sweeps, for the legend; read only where there are several
 *  @param[in] count  1..SNUB_SWEEP_PLOTS_MOST
 *  @param[in] locale  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_sweep_plot(const snub_sweep *const *sweeps, const char *const *names, int count,
                            const snub_locale *locale, snub_arena *arena, snub_drawing *drawing, snub_error *error);

#endif
