/** contents_same.h - what is the same part. */
#ifndef SNUB_KIT_CONTENTS_SAME_H
#define SNUB_KIT_CONTENTS_SAME_H

#include "snub/contents.h"

/** Whether two lines are the same part, in one build or in two: by kind, numbers and sizes; without a number by the
 * name as well. How they come is not looked at. */
bool snub_item_same(const snub_item *a, const snub_item *b);

#endif
