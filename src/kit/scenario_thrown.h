/** When a belt may be thrown. Private to src/kit. */
#ifndef SNUB_KIT_SCENARIO_THROWN_H
#define SNUB_KIT_SCENARIO_THROWN_H

/** Sag of a loose span's middle [m]: a shallow arc of 8 sag^2/(3 span) more than its chord. */
double snub_loose_sag(double span, double loose);

#endif
