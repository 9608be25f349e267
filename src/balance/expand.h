/** What expand.c works out for one pulley or span alone. Private to src/balance. */
#ifndef SNUB_BALANCE_EXPAND_H
#define SNUB_BALANCE_EXPAND_H

#include "snub/balance.h"

/** Fraction by which a pulley runs slow against the crank: (T_in,crank - T_in)/(EA + T_in,crank). */
double snub_creep(double crank_entry, double entry, double stiffness);

#endif
