/** chart_shown.h - which pulleys a chart speaks of. Private to src/report. */
#ifndef SNUB_REPORT_CHART_SHOWN_H
#define SNUB_REPORT_CHART_SHOWN_H

#include "snub/report.h"

/** True for blowers, and for pulleys whose diameter, or catalogue part, is an option. */
bool snub_chart_shows(const snub_chart *chart, const snub_drive *drive, int pulley);

#endif
