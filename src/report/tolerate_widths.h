/** src/report/tolerate_widths.h - what other tolerances would do, written down (inside src/report only). */
#ifndef SNUB_REPORT_TOLERATE_WIDTHS_H
#define SNUB_REPORT_TOLERATE_WIDTHS_H

#include "snub/report.h"
#include "snub/tolerate.h"

struct json_t;

/** `tighten`, `tighten_first`, `loosen_first` into an object. Without kits nothing is predicted. */
void snub_json_widths(struct json_t *object, const snub_tolerated *of, snub_arena *arena);
/** A table, those that help most first, and the plan. Nothing where no kit fails. @return false: memory is out */
bool snub_text_widths(const snub_tolerated *of, const snub_look *look, snub_arena *arena, snub_text *out);

#endif
