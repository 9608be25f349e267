/** What expand.c works out for one pulley or span alone. Private to src/balance. */
#ifndef SNUB_BALANCE_EXPAND_H
#define SNUB_BALANCE_EXPAND_H

#include "snub/balance.h"

/** Fraction by which a pulley runs slow against the crank: (T_in,crank - T_in)/(EA + T_in,crank). */
double snub_creep(double crank_entry, double entry, double stiffness);
/** First natural frequency of a moving span [Hz]: (c^2 - v^2)/(2 c L), c = sqrt(T/m); 0 where c <= v or T <= 0. */
double snub_span_frequency(double tension, double mass, double speed, double length);

#endif
