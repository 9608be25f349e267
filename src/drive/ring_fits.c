/* Fits of bearing rings that the load goes round: what keeps them from creeping.
 * SKF General Catalogue, tables of fits for radial bearings (memory): a turning outer ring sits in M7 under light or
 * changing load (belt tensioner pulleys are its example), in N7 over 0.05 C, in P7 over 0.1 C or in a thin wall; a
 * turning inner ring of a ball bearing on j5 (to 17 mm) or j6 under light load, over 0.05 C on j5 (to 17 mm), k5 (to
 * 100 mm) or m5. */
#include <ctype.h>
#include <string.h>

#include "snub/drive.h"

/* Fundamental deviations of ISO 286, from loose to tight; js counts as j. */
static const char letters[] = "fghjkmnpr";

#define LIGHT 0.05
#define HEAVY 0.10

int snub_fit_tightness(const char *fit, bool bore)
{
    const char *at = NULL;
    size_t length = 1;
    if (fit[0] != '\0' && (bore ? isupper((unsigned char)fit[0]) : islower((unsigned char)fit[0])))
        at = strchr(letters, tolower((unsigned char)fit[0]));
    if (at != NULL && *at == 'j' && fit[1] == (bore ? 'S' : 's'))
        length = 2;
    if (at == NULL || fit[length] < '4' || fit[length] > '9' || fit[length + 1] != '\0')
        return -1;
    return (int)(at - letters);
}

const char *snub_fit_needed(bool bore, double share, double diameter)
{
    if (bore)
        return share > HEAVY ? "P7" : share > LIGHT ? "N7" : "M7";
    if (diameter <= 17e-3)
        return "j5";
    if (share <= LIGHT)
        return diameter <= 100e-3 ? "j6" : "k6";
    return diameter <= 100e-3 ? "k5" : "m5";
}
