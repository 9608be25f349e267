/** In the place of jansson, for the core in the browser: the calls that it makes, declared by <jansson.h>. */
#ifndef SNUB_WASM_JSON_STAND_IN_H
#define SNUB_WASM_JSON_STAND_IN_H

#include "snub/base.h"

/** Let go of every value that was made. */
void json_stand_in_reset(void);

#endif
