/* Keys of the section `search`: below its reader, since the list of all keys has them too. */
#include "sections.h"

const snub_key snub_circle_keys[] = {
    {"at", NULL, SNUB_MEANS("Centre of the circle in the front view.")},
    {"diameter", NULL, SNUB_MEANS("How far it is across the round region.")},
    {NULL, NULL, NULL},
};
const snub_key snub_rectangle_keys[] = {
    {"from", NULL, SNUB_MEANS("Corner of the rectangle in the front view.")},
    {"to", NULL, SNUB_MEANS("Opposite corner of the rectangle.")},
    {NULL, NULL, NULL},
};
const snub_key snub_within_keys[] = {
    {"polygon", NULL, SNUB_MEANS("Region by its corners in order in the front view, not closed.")},
    {"rectangle", snub_rectangle_keys, SNUB_MEANS("Region as a rectangle, its sides along x and y.")},
    {"circle", snub_circle_keys, SNUB_MEANS("Round region in the front view, about where the point stands today.")},
    {NULL, NULL, NULL},
};
const snub_key snub_move_keys[] = {
    {"what", NULL,
     SNUB_MEANS("Path of what may move: a centre, an end of a slot, a pivot, a length, a diameter, a part.")},
    {"within", snub_within_keys, SNUB_MEANS("Region in the front view that the point must stay in.")},
    {"from", NULL, SNUB_MEANS("Least value of a number; or `catalogue`, to choose among its parts.")},
    {"to", NULL, SNUB_MEANS("Greatest value of a number.")},
    {"choose", NULL, SNUB_MEANS("The only values that a number may have, or the keys of the parts to choose from.")},
    {"step", NULL,
     SNUB_MEANS("Grid that values lie on, counted from zero: a bracket is drilled to whole millimetres.")},
    {NULL, NULL, NULL},
};
const snub_key snub_search_keys[] = {
    {"move", snub_move_keys, SNUB_MEANS("What may move, each with where to.")},
    {"aims", NULL, SNUB_MEANS("What is to be gained: one or two of the words that the guide lists.")},
    {"pulley", NULL, SNUB_MEANS("Pulley whose hub load or wrap is the aim.")},
    {"hold", NULL,
     SNUB_MEANS("What every build must hold: `marginal` (none fails), `pass`, or `today` (none gets worse).")},
    {NULL, NULL, NULL},
};
