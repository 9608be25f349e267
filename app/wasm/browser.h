/** browser.h - what the page lends to the core, in the place of the C library's own (page/src/lent.ts). A sixth of the
 * core was that. */
#ifndef SNUB_WASM_BROWSER_H
#define SNUB_WASM_BROWSER_H

#include <stddef.h>

#define LENT(from, name) __attribute__((import_module(#from), import_name(#name)))

/** A finite number >= 0 as C prints it. @param kind 'e', 'f' or 'g'. @param room what `to` holds. @return its length,
 * without a zero at the end */
LENT(page, number) int browser_number(double value, int kind, int digits, char *to);
enum { BROWSER_NUMBER_MOST = 512 }; /* "%.100f" of the greatest: 309 + 1 + 100 */
/** The number that `length` characters write; they are one. */
LENT(page, value) double browser_value(const char *text, int length);

#endif
