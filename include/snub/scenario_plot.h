/** snub/scenario_plot.h - a run drawn over time. Room: report. */
#ifndef SNUB_SCENARIO_PLOT_H
#define SNUB_SCENARIO_PLOT_H

#include "snub/draw.h"
#include "snub/scenario.h"

/** Engine speed, arm, tension of the spans that swing most (as bands from least to greatest) and slip, each in a panel
 *  over time.
 *  @param[in] run  with samples
 *  @param[in] locale  may be NULL
 *  @return SNUB_OK; SNUB_BAD_INPUT (nothing was sampled); SNUB_NO_MEMORY */
snub_status snub_scenario_plot(const snub_scenario_run *run, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error);

#endif
