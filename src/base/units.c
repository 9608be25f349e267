/* Values with units. The table answers for the units in everyday use; UDUNITS-2 for all others, opened at the first
 * one that needs it. */
#include "units_table.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
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

static bool same_dimension(const snub_dimension *a, const snub_dimension *b)
{
    return memcmp(a, b, sizeof *a) == 0;
}

/* ---- refusals ---------------------------------------------------------------------------------------------------- */

static snub_status refuse(snub_error *error, snub_status code, snub_quantity quantity, const char *text,
                          const char *message)
{
    const snub_quantity_info *info = snub_quantity_describe(quantity);
    snub_fail(error, code, NULL, NULL, "%s", message);
    if (error) {
        snprintf(error->got, sizeof error->got, strlen(text) < sizeof error->got ? "%s" : "%.80s...", text);
        snprintf(error->need, sizeof error->need, "%s, such as %s", info->name, info->example);
    }
    return code;
}

/* "0x10", "0o14", "0b11": numbers to other programs. */
static bool other_base(const char *text)
{
    const char *at = text + strspn(text, " \t");
    at += *at == '-' || *at == '+';
    return at[0] == '0' && at[1] != '\0' && strchr("xXoObB", at[1]) != NULL && at[2] != '\0' &&
           strspn(at + 2, "0123456789abcdefABCDEF") == strlen(at + 2);
}

static snub_status refuse_number(snub_error *error, snub_quantity quantity, const char *text)
{
    const char *at = text;
    while (*at == ' ' || *at == '\t')
        at++;
    if (!*at)
        return refuse(error, SNUB_BAD_INPUT, quantity, text, "is empty");
    if (other_base(text))
        return refuse(error, SNUB_BAD_INPUT, quantity, text, "is not a decimal number");
    double value;
    const char *end;
    if ((*at >= '0' && *at <= '9') && snub_parse_number(at, &end, &value) != SNUB_OK)
        return refuse(error, SNUB_BAD_INPUT, quantity, text, "number out of range");
    return refuse(error, SNUB_BAD_INPUT, quantity, text, "does not begin with a number");
}

/* What the trade writes for one thing and units say of another. */
static const char *hint(snub_quantity quantity, const snub_dimension *got)
{
    static const snub_dimension mass_length = {{1, 1, 0, 0, 0}}, per_second = {{0, 0, -1, 0, 0}},
                                turns = {{0, 0, -1, 0, 1}}, torque = {{2, 1, -2, 0, 0}}, mass = {{0, 1, 0, 0, 0}};
    if (quantity == SNUB_Q_TORQUE && same_dimension(got, &mass_length))
        return "mass times length is not a torque: lb is a mass; write lbf";
    if (quantity == SNUB_Q_FORCE && same_dimension(got, &mass))
        return "a mass is not a force: write lbf, kgf or N";
    if (quantity == SNUB_Q_TURN_SPEED && same_dimension(got, &per_second))
        return "a frequency is not a rotational speed: write rpm, rev/s or rad/s";
    if (quantity == SNUB_Q_FREQUENCY && same_dimension(got, &turns))
        return "a rotational speed is not a frequency: write Hz";
    if (quantity == SNUB_Q_TORQUE_RATE && same_dimension(got, &torque))
        return "a torque is not a torque per angle: write it per deg or per rad";
    return NULL;
}

static snub_status refuse_dimension(snub_error *error, snub_quantity quantity, const char *text, const char *unit,
                                    const snub_dimension *got)
{
    const snub_quantity_info *wanted = snub_quantity_describe(quantity);
    const char *known = other_base(text) ? "is not a decimal number" : got ? hint(quantity, got) : NULL;
    char message[sizeof error->message];
    if (known)
        return refuse(error, SNUB_BAD_INPUT, quantity, text, known);
    if (quantity == SNUB_Q_NUMBER) {
        snprintf(message, sizeof message, "takes no unit, but has \"%s\"", unit);
        return refuse(error, SNUB_BAD_INPUT, quantity, text, message);
    }
    for (int i = 0; got && i < SNUB_Q_COUNT_; i++) {
        const snub_quantity_info *info = snub_quantity_describe((snub_quantity)i);
        if (!same_dimension(got, &info->dimension))
            continue;
        snprintf(message, sizeof message, "\"%s\" is a unit of %s, not of %s", unit, info->name, wanted->name);
        return refuse(error, SNUB_BAD_INPUT, quantity, text, message);
    }
    snprintf(message, sizeof message, "\"%s\" is not a unit of %s", unit, wanted->name);
    return refuse(error, SNUB_BAD_INPUT, quantity, text, message);
}

/* Spellings that people write and that are no units here, with the one that is. Ends of words and case are as they are
 * met. */
static const struct {
    const char *written, *unit;
} spellings[] = {{"\"", "in"},         {"in.", "in"},        {"ft lbs", "lbf ft"}, {"ft-lbs", "lbf ft"},
                 {"ft.lbs", "lbf ft"}, {"lbs ft", "lbf ft"}, {"lbs-ft", "lbf ft"}, {"in lbs", "lbf in"},
                 {"in-lbs", "lbf in"}, {"cid", "in3"},       {"CID", "in3"},       {"ci", "in3"},
                 {"cu in", "in3"},     {"cu. in.", "in3"},   {"cu in.", "in3"},    {"cubic inches", "in3"},
                 {"PSI", "psi"},       {"Psi", "psi"},       {"PSIG", "psig"},     {"HP", "hp"},
                 {"RPM", "rpm"}};

static const char *usual_spelling(snub_quantity quantity, const char *written)
{
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        if (strcmp(written, spellings[i].written) == 0 && snub_unit_find(quantity, spellings[i].unit) != NULL)
            return spellings[i].unit;
    }
    return NULL;
}

/* "3 1/4 in", "1/4 in": what it is as one number; false where it is no such thing. */
static bool read_fraction(const char *text, double *value, const char **unit)
{
    const char *after, *rest;
    double number, over, under;
    if (snub_parse_number(text, &rest, &number) != SNUB_OK)
        return false;
    rest += strspn(rest, " ");
    over = number;
    const bool mixed = *rest != '/';
    if (number < 0 || number != floor(number) || (mixed && snub_parse_number(rest, &after, &over) != SNUB_OK))
        return false;
    if (mixed)
        rest = after;
    if (*rest != '/' || snub_parse_number(rest + 1, &after, &under) != SNUB_OK || !(under > 0) || over < 0)
        return false;
    after += strspn(after, " ");
    *value = (mixed ? number : 0) + over / under;
    *unit = after;
    return isfinite(*value);
}

static snub_status refuse_unknown(snub_error *error, snub_quantity quantity, const char *text, const char *unit)
{
    char message[sizeof error->message];
    const char *rest = unit;
    double fraction;
    const char *of;
    while (*rest == ' ')
        rest++;
    const char *usual = usual_spelling(quantity, rest);
    if (other_base(text))
        snprintf(message, sizeof message, "is not a decimal number");
    else if (usual != NULL)
        snprintf(message, sizeof message, "write %s, not \"%.60s\"", usual, rest);
    else if (read_fraction(text, &fraction, &of))
        snprintf(message, sizeof message, "fractions and sums are not accepted: write %.9g%s%.40s", fraction,
                 *of != '\0' ? " " : "",
                 *of != '\0' && usual_spelling(quantity, of) != NULL ? usual_spelling(quantity, of) : of);
    else if (*rest == ',' && rest[1] >= '0' && rest[1] <= '9')
        snprintf(message, sizeof message, "use a decimal point, not a comma");
    else if ((*rest >= '0' && *rest <= '9') || *rest == '/')
        snprintf(message, sizeof message, "fractions and sums are not accepted: write one decimal number and its unit");
    else if (snub_quantity_describe(quantity)->dimension.power[DIM_KELVIN] &&
             (!strcmp(rest, "C") || !strcmp(rest, "F")))
        snprintf(message, sizeof message, "\"%s\" alone is not a temperature: write deg%s", rest, rest);
    else
        snprintf(message, sizeof message, "unknown unit \"%.60s\"", rest);
    return refuse(error, SNUB_BAD_INPUT, quantity, text, message);
}

/* ---- reading ----------------------------------------------------------------------------------------------------- */

typedef enum lookup { FOUND, UNKNOWN, OTHER_QUANTITY, NO_DATABASE } lookup;

/* Under the lock. A difference of temperatures has no zero of its own: only the scale counts. */
static lookup convert(snub_units *units, snub_quantity quantity, const char *unit, double number, double *si,
                      snub_dimension *dimension)
{
    if (!open_database(units))
        return NO_DATABASE;
    ut_unit *parsed = ut_parse(units->system, unit, UT_ASCII);
    if (!parsed)
        return UNKNOWN;
    dimension_walk walk = {.good = true};
    bool walked = ut_accept_visitor(parsed, dimension_visitor(), &walk) == UT_SUCCESS;
    *dimension = walk.dimension;
    lookup result = UNKNOWN;
    if (!walked || !walk.good || !same_dimension(&walk.dimension, &snub_quantity_describe(quantity)->dimension)) {
        result = walked && walk.good ? OTHER_QUANTITY : UNKNOWN;
    } else {
        cv_converter *converter = ut_get_converter(parsed, units->si[quantity]);
        if (converter) {
            double zero = quantity == SNUB_Q_TEMPERATURE_DIFFERENCE ? cv_convert_double(converter, 0) : 0;
            *si = cv_convert_double(converter, number) - zero;
            cv_free(converter);
            result = FOUND;
        }
    }
    ut_free(parsed);
    return result;
}

static snub_status convert_by_database(snub_units *units, snub_quantity quantity, const char *text, const char *unit,
                                       double number, double *si, snub_error *error)
{
    snub_dimension dimension = {{0}};
    pthread_mutex_lock(&udunits_turn);
    lookup result = convert(units, quantity, unit, number, si, &dimension);
    pthread_mutex_unlock(&udunits_turn);
    switch (result) {
    case FOUND: return SNUB_OK;
    case OTHER_QUANTITY: return refuse_dimension(error, quantity, text, unit, &dimension);
    case NO_DATABASE:
        return refuse(error, SNUB_IO, quantity, text, "the UDUNITS-2 database, which this unit needs, is missing");
    case UNKNOWN: break;
    }
    return refuse_unknown(error, quantity, text, unit);
}

snub_status snub_units_parse(snub_units *units, snub_quantity quantity, const char *text, double *value,
                             snub_error *error)
{
    const char *rest;
    double number, si;
    char unit[UNIT_TEXT_MOST];
    if (snub_parse_number(text, &rest, &number) != SNUB_OK)
        return refuse_number(error, quantity, text);
    while (*rest == ' ' || *rest == '\t')
        rest++;
    if (!*rest) {
        si = snub_quantity_from_bare(quantity, number);
    } else {
        if (!snub_unit_normalise(rest, unit) ||
            (usual_spelling(quantity, rest) != NULL && snub_unit_find(quantity, unit) == NULL))
            return refuse_unknown(error, quantity, text, rest);
        const snub_unit_row *row = snub_unit_find(quantity, unit);
        const snub_unit_row *other = row ? NULL : snub_unit_find_any(unit);
        if (row) {
            si = snub_unit_to_si(row, number);
        } else if (other && !same_dimension(&snub_quantity_describe(quantity)->dimension,
                                            &snub_quantity_describe(other->quantity)->dimension)) {
            return refuse_dimension(error, quantity, text, unit, &snub_quantity_describe(other->quantity)->dimension);
        } else {
            snub_status status = convert_by_database(units, quantity, text, unit, number, &si, error);
            if (status != SNUB_OK)
                return status;
        }
    }
    if (!isfinite(si))
        return refuse(error, SNUB_BAD_INPUT, quantity, text, "is too large");
    if (quantity == SNUB_Q_TEMPERATURE && si < 0)
        return refuse(error, SNUB_BAD_INPUT, quantity, text, "is below absolute zero");
    *value = si;
    return SNUB_OK;
}
