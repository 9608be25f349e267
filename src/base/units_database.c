/* Units that are in no everyday use, by UDUNITS-2, opened at the first one that needs it. */
#include "units_database.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

struct snub_units {
    ut_system *system; /* NULL until a unit needs it */
    ut_unit *si[SNUB_Q_COUNT_];
};

/* UDUNITS-2 parses with file-scope state of its own, so that even separate systems must take turns. This lock is the
 * one piece of shared state in the core, and it guards theirs. */
static pthread_mutex_t udunits_turn = PTHREAD_MUTEX_INITIALIZER;

/* Names of the trade that UDUNITS-2 lacks, or means otherwise: its `oz` is a volume, its `hp` is rounded, its `PS`
 * peta-siemens and its `mph` milli-phot. */
static const char *const extra_names[][2] = {
    {"deg", "arc_degree"},
    {"rev", "6.283185307179586477 rad"},
    {"thou", "0.001 inch"},
    {"Nm", "N m"},
    {"hp", "745.69987158227022 W"},
    {"PS", "735.49875 W"},
    {"mph", "0.44704 m/s"},
    {"cfm", "ft3/min"},
    {"oz", "0.028349523125 kg"},
    {"ozf", "0.27801385095378125 N"},
    {"psia", "psi"},
    {"degR", "0.55555555555555555556 K"},
};

snub_status snub_units_open(snub_units **units, snub_error *error)
{
    snub_units *opened = calloc(1, sizeof *opened);
    if (!opened)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *units = opened;
    return SNUB_OK;
}

void snub_units_free(snub_units *units)
{
    if (!units)
        return;
    pthread_mutex_lock(&udunits_turn);
    for (int i = 0; i < SNUB_Q_COUNT_; i++)
        ut_free(units->si[i]);
    if (units->system)
        ut_free_system(units->system);
    pthread_mutex_unlock(&udunits_turn);
    free(units);
}

static bool add_names(ut_system *system)
{
    for (size_t i = 0; i < sizeof extra_names / sizeof extra_names[0]; i++) {
        const char *name = extra_names[i][0];
        ut_unit *unit = ut_parse(system, extra_names[i][1], UT_ASCII);
        (void)ut_unmap_name_to_unit(system, name, UT_ASCII);
        (void)ut_unmap_symbol_to_unit(system, name, UT_ASCII);
        bool mapped = unit && ut_map_name_to_unit(name, UT_ASCII, unit) == UT_SUCCESS;
        ut_free(unit);
        if (!mapped)
            return false;
    }
    return true;
}

/* Under the lock. */
static bool open_database(snub_units *units)
{
    if (units->system)
        return true;
    ut_set_error_message_handler(ut_ignore);
    units->system = ut_read_xml(NULL);
    if (!units->system)
        return false;
    bool good = add_names(units->system);
    for (int i = 0; good && i < SNUB_Q_COUNT_; i++) {
        units->si[i] = ut_parse(units->system, snub_quantity_describe((snub_quantity)i)->si, UT_ASCII);
        good = units->si[i] != NULL;
    }
    if (!good) {
        for (int i = 0; i < SNUB_Q_COUNT_; i++) {
            ut_free(units->si[i]);
            units->si[i] = NULL;
        }
        ut_free_system(units->system);
        units->system = NULL;
    }
    return good;
}

/* ---- the dimension of a UDUNITS-2 unit, angle included ----------------------------------------------------------- */

typedef struct dimension_walk {
    snub_dimension dimension;
    bool good;
} dimension_walk;

static void walk_power(const ut_unit *basic, int power, dimension_walk *walk)
{
    static const char *const symbols[DIM_COUNT] = {"m", "kg", "s", "K", "rad"};
    const char *symbol = ut_get_symbol(basic, UT_ASCII);
    for (int i = 0; symbol && i < DIM_COUNT; i++) {
        if (strcmp(symbol, symbols[i]) != 0)
            continue;
        int sum = walk->dimension.power[i] + power;
        if (sum >= -100 && sum <= 100) {
            walk->dimension.power[i] = (signed char)sum;
            return;
        }
    }
    walk->good = false;
}

static ut_status visit_basic(const ut_unit *unit, void *context)
{
    walk_power(unit, 1, context);
    return UT_SUCCESS;
}

static ut_status visit_product(const ut_unit *unit, int count, const ut_unit *const *basic, const int *powers,
                               void *context)
{
    (void)unit;
    for (int i = 0; i < count; i++)
        walk_power(basic[i], powers[i], context);
    return UT_SUCCESS;
}

static const ut_visitor *dimension_visitor(void);

static ut_status visit_galilean(const ut_unit *unit, double scale, const ut_unit *underlying, double offset,
                                void *context)
{
    (void)unit, (void)scale, (void)offset;
    return ut_accept_visitor(underlying, dimension_visitor(), context);
}

static ut_status visit_timestamp(const ut_unit *unit, const ut_unit *time, double origin, void *context)
{
    (void)unit, (void)time, (void)origin;
    ((dimension_walk *)context)->good = false;
    return UT_SUCCESS;
}

static ut_status visit_logarithmic(const ut_unit *unit, double base, const ut_unit *reference, void *context)
{
    (void)unit, (void)base, (void)reference;
    ((dimension_walk *)context)->good = false;
    return UT_SUCCESS;
}

static const ut_visitor *dimension_visitor(void)
{
    static const ut_visitor visitor = {visit_basic, visit_product, visit_galilean, visit_timestamp, visit_logarithmic};
    return &visitor;
}

/* ---- conversion -------------------------------------------------------------------------------------------------- */

/* Under the lock. A difference of temperatures has no zero of its own: only the scale counts. */
static snub_unit_lookup convert(snub_units *units, snub_quantity quantity, const char *unit, double number, double *si,
                                snub_dimension *dimension)
{
    if (!open_database(units))
        return SNUB_UNIT_NO_DATABASE;
    ut_unit *parsed = ut_parse(units->system, unit, UT_ASCII);
    if (!parsed)
        return SNUB_UNIT_UNKNOWN;
    dimension_walk walk = {.good = true};
    bool walked = ut_accept_visitor(parsed, dimension_visitor(), &walk) == UT_SUCCESS;
    *dimension = walk.dimension;
    snub_unit_lookup result = SNUB_UNIT_UNKNOWN;
    if (!walked || !walk.good || !snub_same_dimension(&walk.dimension, &snub_quantity_describe(quantity)->dimension)) {
        result = walked && walk.good ? SNUB_UNIT_OF_OTHER : SNUB_UNIT_UNKNOWN;
    } else {
        cv_converter *converter = ut_get_converter(parsed, units->si[quantity]);
        if (converter) {
            double zero = quantity == SNUB_Q_TEMPERATURE_DIFFERENCE ? cv_convert_double(converter, 0) : 0;
            *si = cv_convert_double(converter, number) - zero;
            cv_free(converter);
            result = SNUB_UNIT_FOUND;
        }
    }
    ut_free(parsed);
    return result;
}

snub_unit_lookup snub_units_convert(snub_units *units, snub_quantity quantity, const char *unit, double number,
                                    double *si, snub_dimension *dimension)
{
    pthread_mutex_lock(&udunits_turn);
    const snub_unit_lookup result = convert(units, quantity, unit, number, si, dimension);
    pthread_mutex_unlock(&udunits_turn);
    return result;
}
