/* Values with units. The table answers for the units in everyday use, a database of units for all others. */
#include "units_database.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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
    if (quantity == SNUB_Q_TORQUE && snub_same_dimension(got, &mass_length))
        return "mass times length is not a torque: lb is a mass; write lbf";
    if (quantity == SNUB_Q_FORCE && snub_same_dimension(got, &mass))
        return "a mass is not a force: write lbf, kgf or N";
    if (quantity == SNUB_Q_TURN_SPEED && snub_same_dimension(got, &per_second))
        return "a frequency is not a rotational speed: write rpm, rev/s or rad/s";
    if (quantity == SNUB_Q_FREQUENCY && snub_same_dimension(got, &turns))
        return "a rotational speed is not a frequency: write Hz";
    if (quantity == SNUB_Q_TORQUE_RATE && snub_same_dimension(got, &torque))
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
        if (!snub_same_dimension(got, &info->dimension))
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

static snub_status convert_by_database(snub_units *units, snub_quantity quantity, const char *text, const char *unit,
                                       double number, double *si, snub_error *error)
{
    snub_dimension dimension = {{0}};
    switch (snub_units_convert(units, quantity, unit, number, si, &dimension)) {
    case SNUB_UNIT_FOUND: return SNUB_OK;
    case SNUB_UNIT_OF_OTHER: return refuse_dimension(error, quantity, text, unit, &dimension);
    case SNUB_UNIT_NO_DATABASE:
        return refuse(error, SNUB_IO, quantity, text, "the UDUNITS-2 database, which this unit needs, is missing");
    case SNUB_UNIT_UNKNOWN: break;
    }
    return refuse_unknown(error, quantity, text, unit);
}

/* Of a unit that the table has for another quantity alone, no database can say more. @param[out] other  that row; NULL
 */
static bool may_be_rare(snub_quantity quantity, const char *unit, const snub_unit_row **other)
{
    *other = snub_unit_find_any(unit);
    return *other == NULL || snub_same_dimension(&snub_quantity_describe(quantity)->dimension,
                                                 &snub_quantity_describe((*other)->quantity)->dimension);
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
        const snub_unit_row *row = snub_unit_find(quantity, unit), *other;
        if (row) {
            si = snub_unit_to_si(row, number);
        } else if (!may_be_rare(quantity, unit, &other)) {
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

bool snub_units_rare(snub_units *units, snub_quantity quantity, const char *text, snub_rare_unit *rare)
{
    const char *rest;
    double number, one;
    const snub_unit_row *other;
    snub_dimension dimension = {{0}};
    _Static_assert(sizeof rare->name >= UNIT_TEXT_MOST, "a normal spelling fits");
    if (snub_parse_number(text, &rest, &number) != SNUB_OK)
        return false;
    rest += strspn(rest, " \t");
    if (*rest == '\0' || !snub_unit_normalise(rest, rare->name) || snub_unit_find(quantity, rare->name) != NULL ||
        !may_be_rare(quantity, rare->name, &other) ||
        snub_units_convert(units, quantity, rare->name, 0.0, &rare->zero, &dimension) != SNUB_UNIT_FOUND ||
        snub_units_convert(units, quantity, rare->name, 1.0, &one, &dimension) != SNUB_UNIT_FOUND)
        return false;
    rare->scale = one - rare->zero;
    return true;
}
