/* Keys of the section `tolerances`: apart from its reader, which the core in the browser does without. */
#include "sections.h"

const snub_key snub_sample_keys[] = {
    {"file", NULL, SNUB_MEANS("Table (CSV) beside the drive file that has the measured values.")},
    {"column", NULL,
     SNUB_MEANS("Head of the column with the values; a unit behind it, `bore [mm]`, is left out here.")},
    {NULL, NULL, NULL},
};
const snub_key snub_tolerance_keys[] = {
    {"of", NULL, SNUB_MEANS("Path of the value, or a list of paths; a point stands for both of its coordinates.")},
    {"plus_minus", NULL, SNUB_MEANS("Tolerance to both sides of the value, from the drawing.")},
    {"plus", NULL, SNUB_MEANS("Tolerance upward, where it differs from that downward.")},
    {"minus", NULL, SNUB_MEANS("Tolerance downward, where it differs from that upward.")},
    {"shape", NULL, SNUB_MEANS("How the values lie between the ends; normal where nothing else is known.")},
    {"sigma", NULL, SNUB_MEANS("Standard deviation from kit to kit, where parts were measured.")},
    {"cut", NULL, SNUB_MEANS("Values further than this from the file's are not fitted; with `sigma`.")},
    {"skew", NULL, SNUB_MEANS("Skewness of the skewed shape; above 0 its tail is upward.")},
    {"sample", snub_sample_keys,
     SNUB_MEANS("Values that were measured on parts, at least two; or a column of a table.")},
    {"group", NULL, SNUB_MEANS("Name of a cause that several values share, such as one casting.")},
    {"correlation", NULL, SNUB_MEANS("With the cause of the group, -1 to 1; 1 where they move as one.")},
    {"cost", NULL, SNUB_MEANS("What holding this tolerance costs a kit, in your money; for each value of `of`.")},
    {"fixed", NULL, SNUB_MEANS("True: the value does not scatter, though the program would take a tolerance for it.")},
    {NULL, NULL, NULL},
};
