/* When a fixed tensioner has to be set again. docs/theory/kit.md. */
#include "fixed_tensioner.h"
#include "loads.h"
#include "snub/kit.h"

#include <string.h>

/* Permanent stretch up to which a belt is followed, as a fraction: past it no belt is in service. */
static const double STRETCH_MOST = 0.02;
/* Halvings of that range: to 1e-8 of the length, some hundredths of a newton. */
enum { HALVINGS = 21 };

typedef struct ageing {
    const snub_build *build;
    snub_rig rig[2]; /* cold, warm */
    bool grows;
} ageing;

static bool solve(const ageing *a, int speed, snub_way way, double stretch, bool warm, snub_balance *balance)
{
    snub_case wanted;
    snub_equilibrium e;
    const snub_build *build = a->build;
    snub_loads_case(build->drive, &build->loads, speed, way, 0.0, build->length, stretch, warm, &wanted);
    if (snub_solve(&a->rig[warm], &wanted, &e, NULL) != SNUB_OK)
        return false;
    snub_expand(build->drive, &a->rig[warm], &wanted, &e, balance);
    return true;
}

/* Tension with the engine stopped; 0 where the belt is slack. */
static double still(const ageing *a, double stretch, bool warm)
{
    snub_balance balance;
    return solve(a, 0, SNUB_STEADY, stretch, warm, &balance) ? fmax(balance.span_tension[0], 0.0) : 0.0;
}

static double grip_of(const snub_balance *balance, int pulleys, bool design)
{
    double worst = 0.0;
    for (int i = 0; i < pulleys; i++)
        worst = fmax(worst, design ? balance->pulley[i].grip_design : balance->pulley[i].grip_limit);
    return worst;
}

/* The same of the moments in which loads are at their peaks. */
static double peak_grip(const ageing *a, int speed, snub_way way, double stretch, bool warm, bool design)
{
    double worst = 0.0;
    const snub_build *build = a->build;
    for (int k = 0; k < snub_peak_states(&build->loads); k++) {
        snub_case wanted;
        snub_equilibrium mean, e;
        snub_balance balance;
        snub_loads_case(build->drive, &build->loads, speed, way, 0.0, build->length, stretch, warm, &wanted);
        if (snub_solve(&a->rig[warm], &wanted, &mean, NULL) != SNUB_OK)
            return INFINITY;
        (void)snub_loads_peak(build->drive, &build->loads, speed, way, k, &wanted);
        snub_solve_held(&a->rig[warm], &wanted, &mean, &e);
        snub_expand(build->drive, &a->rig[warm], &wanted, &e, &balance);
        worst = fmax(worst, grip_of(&balance, build->loads.pulleys, design));
    }
    return worst;
}

/* Greatest grip used of all pulleys over all that the engine does, on design or on limit friction. */
static double worst_grip(const ageing *a, double stretch, bool design)
{
    const snub_loads *loads = &a->build->loads;
    double worst = 0.0;
    for (int speed = 1; speed < loads->speeds; speed++) {
        for (int k = 0; k < SNUB_WAYS * (a->grows ? 2 : 1); k++) {
            const snub_way way = (snub_way)(k % SNUB_WAYS);
            snub_balance balance;
            if (!loads->runs[way])
                continue;
            if (!solve(a, speed, way, stretch, k >= SNUB_WAYS, &balance))
                return INFINITY;
            worst = fmax(worst, grip_of(&balance, loads->pulleys, design));
            worst = fmax(worst, peak_grip(a, speed, way, stretch, k >= SNUB_WAYS, design));
        }
    }
    return worst;
}

void snub_retension_find(const snub_build *build, snub_retension *result)
{
    const snub_drive *drive = build->drive;
    const snub_belt *belt = &drive->belt;
    ageing a = {.build = build};
    *result = (snub_retension){false, NAN, NAN, NAN, NAN, false};
    if (!build->settled || !build->laid || drive->locked < 0 ||
        snub_build_rig(build, false, &a.rig[0], NULL) != SNUB_OK ||
        snub_build_rig(build, true, &a.rig[1], NULL) != SNUB_OK)
        return;
    a.grows = snub_drive_grows(drive);
    result->given = true;
    result->set = still(&a, belt->stretch, false);
    result->warm = a.grows ? still(&a, belt->stretch, true) : (double)NAN;
    result->worn = belt->worn > belt->stretch ? still(&a, belt->worn, false) : (double)NAN;
    /* The grip that a new setting has decides which limit the belt is watched by. */
    const double design = drive->limits[SNUB_LIMIT_GRIP_DESIGN], limit = drive->limits[SNUB_LIMIT_GRIP_SLIP];
    result->by_design = worst_grip(&a, belt->stretch, true) <= design;
    const double most = result->by_design ? design : limit;
    double low = belt->stretch, high = belt->stretch + STRETCH_MOST;
    if (build->loads.speeds < 2 || worst_grip(&a, low, result->by_design) > most ||
        worst_grip(&a, high, result->by_design) <= most)
        return;
    for (int k = 0; k < HALVINGS; k++) {
        const double middle = 0.5 * (low + high);
        *(worst_grip(&a, middle, result->by_design) <= most ? &low : &high) = middle;
    }
    result->again = still(&a, low, false);
}
