/** boost_map.h - boost of the build over engine and blower speed, and the way back. Private to src/trace. */
#ifndef SNUB_TRACE_BOOST_MAP_H
#define SNUB_TRACE_BOOST_MAP_H

#include "snub/trace.h"

/** Boost of the build over engine and blower speeds; `air.given` is false where the file says too little. */
void trace_air_fill(snub_log_model *model);

/** How much blunter boost is at an engine speed than where it is sharpest, >= 1. @return NAN: it tells nothing there */
double trace_blur(const snub_log_air *air, double at);

/** The blower's speed over that without slip, by which the build makes this manifold pressure.
 *  @param[in] at  engine speed in steps of the model
 *  @return NAN: no speed does, or boost tells too little there */
double trace_factor(const snub_log_air *air, double at, double manifold);

/** What else would cost as much boost: a hole behind the blower [m], a loss before it [Pa].
 *  @param[in] slip  fraction of the blower's speed */
void trace_alike(const snub_log_model *model, double engine, double slip, double *leak, double *filter);

#endif
