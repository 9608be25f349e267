/* The quantities, and the units in everyday use. A file that keeps to these never opens the unit database, whose
 * reading takes longer than all the rest of `snub check`. */
#include "units_table.h"

#include <string.h>

/* Exact by definition: foot 0.3048 m, pound 0.45359237 kg (international yard and pound agreement, 1959). */
#define POUND_FORCE (SNUB_POUND * SNUB_GRAVITY)
#define TURN (2 * SNUB_PI)
/* Conventional inch of mercury: 13595.1 kg/m3 x standard gravity x 1 inch. */
#define INCH_MERCURY (13595.1 * SNUB_GRAVITY * SNUB_INCH)
/* 550 ft lbf/s; UDUNITS-2 rounds it to 745.6999 W. */
#define HORSEPOWER (550 * SNUB_FOOT * POUND_FORCE)
/* 75 kgf m/s, the horsepower of dynos in metric countries. */
#define METRIC_HORSEPOWER (75 * SNUB_GRAVITY)
#define POUND_PER_INCH2 (POUND_FORCE / (SNUB_INCH * SNUB_INCH))

#define DIMS(m, kg, s, K, rad)                                                                                         \
    {                                                                                                                  \
        {                                                                                                              \
            m, kg, s, K, rad                                                                                           \
        }                                                                                                              \
    }

static const snub_quantity_info quantities[SNUB_Q_COUNT_] = {
    [SNUB_Q_NUMBER] = {"a number", "", "0.85", "1", DIMS(0, 0, 0, 0, 0)},
    [SNUB_Q_LENGTH] = {"a length", "mm", "25 mm or 1 in", "m", DIMS(1, 0, 0, 0, 0)},
    [SNUB_Q_ANGLE] = {"an angle", "deg", "30 deg", "rad", DIMS(0, 0, 0, 0, 1)},
    [SNUB_Q_FORCE] = {"a force", "N", "400 N or 90 lbf", "N", DIMS(1, 1, -2, 0, 0)},
    [SNUB_Q_TORQUE] = {"a torque", "N m", "25 N m or 18 lbf ft", "N m", DIMS(2, 1, -2, 0, 0)},
    [SNUB_Q_TORQUE_RATE] = {"a torque per angle", "N m/deg", "0.8 N m/deg", "N m/rad", DIMS(2, 1, -2, 0, -1)},
    [SNUB_Q_MASS] = {"a mass", "kg", "0.5 kg or 1 lb", "kg", DIMS(0, 1, 0, 0, 0)},
    [SNUB_Q_MASS_PER_LENGTH] = {"a mass per length", "kg/m", "0.019 kg/m or 19 g/m", "kg/m", DIMS(-1, 1, 0, 0, 0)},
    [SNUB_Q_INERTIA] = {"a moment of inertia", "kg m2", "0.0016 kg m2", "kg m2", DIMS(2, 1, 0, 0, 0)},
    [SNUB_Q_POWER] = {"a power", "kW", "30 kW or 40 hp", "W", DIMS(2, 1, -3, 0, 0)},
    [SNUB_Q_TURN_SPEED] = {"a rotational speed", "rpm", "6200 rpm", "rad/s", DIMS(0, 0, -1, 0, 1)},
    [SNUB_Q_TURN_RATE] = {"an angular acceleration", "rpm/s", "1500 rpm/s", "rad/s2", DIMS(0, 0, -2, 0, 1)},
    [SNUB_Q_SPEED] = {"a speed", "m/s", "30 m/s", "m/s", DIMS(1, 0, -1, 0, 0)},
    [SNUB_Q_PRESSURE] = {"a pressure", "kPa", "80 kPa, 14.7 psi or 8 psig", "Pa", DIMS(-1, 1, -2, 0, 0)},
    [SNUB_Q_TEMPERATURE] = {"a temperature", "degC", "25 degC or 77 degF", "K", DIMS(0, 0, 0, 1, 0)},
    [SNUB_Q_TEMPERATURE_DIFFERENCE] = {"a temperature difference", "K", "20 K", "K", DIMS(0, 0, 0, 1, 0)},
    [SNUB_Q_VOLUME] = {"a volume", "L", "1.6 L or 98 in3", "m3", DIMS(3, 0, 0, 0, 0)},
    [SNUB_Q_FLOW_MASS] = {"a mass flow", "kg/s", "0.2 kg/s or 26 lb/min", "kg/s", DIMS(0, 1, -1, 0, 0)},
    [SNUB_Q_FLOW_VOLUME] = {"a volume flow", "m3/s", "0.2 m3/s or 424 cfm", "m3/s", DIMS(3, 0, -1, 0, 0)},
    [SNUB_Q_STRESS] = {"a stress", "MPa", "250 MPa", "Pa", DIMS(-1, 1, -2, 0, 0)},
    [SNUB_Q_FREQUENCY] = {"a frequency", "Hz", "120 Hz", "Hz", DIMS(0, 0, -1, 0, 0)},
    [SNUB_Q_TIME] = {"a time", "s", "0.2 s", "s", DIMS(0, 0, 1, 0, 0)},
    [SNUB_Q_STIFFNESS] = {"a stiffness", "N/mm", "50 N/mm", "N/m", DIMS(0, 1, -2, 0, 0)},
    [SNUB_Q_AREA] = {"an area", "mm2", "58 mm2", "m2", DIMS(2, 0, 0, 0, 0)},
    [SNUB_Q_DENSITY] = {"a density", "kg/m3", "1.2 kg/m3 or 0.075 lb/ft3", "kg/m3", DIMS(-3, 1, 0, 0, 0)},
    [SNUB_Q_VISCOSITY] = {"a kinematic viscosity", "mm2/s", "100 mm2/s or 100 cSt", "m2/s", DIMS(2, 0, -1, 0, 0)},
    [SNUB_Q_BENDING] = {"a bending stiffness", "N m2", "0.003 N m2 or 1 lbf in2", "N m2", DIMS(3, 1, -2, 0, 0)},
};

static const snub_unit_row rows[] = {
    {"%", SNUB_Q_NUMBER, 1, 100, 0, 0, false},
    {"mm", SNUB_Q_LENGTH, 1, 1000, 0, 0, false},
    {"cm", SNUB_Q_LENGTH, 1, 100, 0, 0, false},
    {"m", SNUB_Q_LENGTH, 1, 1, 0, 0, false},
    {"um", SNUB_Q_LENGTH, 1, 1e6, 0, 0, false},
    {"in", SNUB_Q_LENGTH, 254, 10000, 0, 0, false},
    {"inch", SNUB_Q_LENGTH, 254, 10000, 0, 0, false},
    {"ft", SNUB_Q_LENGTH, 3048, 10000, 0, 0, false},
    {"thou", SNUB_Q_LENGTH, 254, 1e7, 0, 0, true},
    {"deg", SNUB_Q_ANGLE, SNUB_PI, 180, 0, 0, true},
    {"rad", SNUB_Q_ANGLE, 1, 1, 0, 0, false},
    {"rev", SNUB_Q_ANGLE, TURN, 1, 0, 0, true},
    {"N", SNUB_Q_FORCE, 1, 1, 0, 0, false},
    {"kN", SNUB_Q_FORCE, 1000, 1, 0, 0, false},
    {"lbf", SNUB_Q_FORCE, POUND_FORCE, 1, 0, 0, false},
    {"kgf", SNUB_Q_FORCE, SNUB_GRAVITY, 1, 0, 0, false},
    {"N m", SNUB_Q_TORQUE, 1, 1, 0, 0, false},
    {"Nm", SNUB_Q_TORQUE, 1, 1, 0, 0, true},
    {"N mm", SNUB_Q_TORQUE, 1, 1000, 0, 0, false},
    {"lbf ft", SNUB_Q_TORQUE, POUND_FORCE *SNUB_FOOT, 1, 0, 0, false},
    {"ft lbf", SNUB_Q_TORQUE, POUND_FORCE *SNUB_FOOT, 1, 0, 0, false},
    {"lbf in", SNUB_Q_TORQUE, POUND_FORCE *SNUB_INCH, 1, 0, 0, false},
    {"in lbf", SNUB_Q_TORQUE, POUND_FORCE *SNUB_INCH, 1, 0, 0, false},
    {"N m/deg", SNUB_Q_TORQUE_RATE, 180, SNUB_PI, 0, 0, true},
    {"Nm/deg", SNUB_Q_TORQUE_RATE, 180, SNUB_PI, 0, 0, true},
    {"N m/rad", SNUB_Q_TORQUE_RATE, 1, 1, 0, 0, false},
    {"lbf ft/deg", SNUB_Q_TORQUE_RATE, POUND_FORCE *SNUB_FOOT * 180, SNUB_PI, 0, 0, true},
    {"lbf in/deg", SNUB_Q_TORQUE_RATE, POUND_FORCE *SNUB_INCH * 180, SNUB_PI, 0, 0, true},
    {"kg", SNUB_Q_MASS, 1, 1, 0, 0, false},
    {"g", SNUB_Q_MASS, 1, 1000, 0, 0, false},
    {"lb", SNUB_Q_MASS, SNUB_POUND, 1, 0, 0, false},
    {"kg/m", SNUB_Q_MASS_PER_LENGTH, 1, 1, 0, 0, false},
    {"g/m", SNUB_Q_MASS_PER_LENGTH, 1, 1000, 0, 0, false},
    {"lb/ft", SNUB_Q_MASS_PER_LENGTH, SNUB_POUND, SNUB_FOOT, 0, 0, false},
    {"kg m2", SNUB_Q_INERTIA, 1, 1, 0, 0, false},
    {"g m2", SNUB_Q_INERTIA, 1, 1000, 0, 0, false},
    {"kg cm2", SNUB_Q_INERTIA, 1, 1e4, 0, 0, false},
    {"kg mm2", SNUB_Q_INERTIA, 1, 1e6, 0, 0, false},
    {"lb in2", SNUB_Q_INERTIA, SNUB_POUND *SNUB_INCH *SNUB_INCH, 1, 0, 0, false},
    {"lb ft2", SNUB_Q_INERTIA, SNUB_POUND *SNUB_FOOT *SNUB_FOOT, 1, 0, 0, false},
    {"W", SNUB_Q_POWER, 1, 1, 0, 0, false},
    {"kW", SNUB_Q_POWER, 1000, 1, 0, 0, false},
    {"hp", SNUB_Q_POWER, HORSEPOWER, 1, 0, 0, true},
    {"PS", SNUB_Q_POWER, METRIC_HORSEPOWER, 1, 0, 0, true},
    {"rpm", SNUB_Q_TURN_SPEED, TURN, 60, 0, 0, false},
    {"rev/min", SNUB_Q_TURN_SPEED, TURN, 60, 0, 0, true},
    {"rev/s", SNUB_Q_TURN_SPEED, TURN, 1, 0, 0, true},
    {"rad/s", SNUB_Q_TURN_SPEED, 1, 1, 0, 0, false},
    {"deg/s", SNUB_Q_TURN_SPEED, SNUB_PI, 180, 0, 0, true},
    {"rpm/s", SNUB_Q_TURN_RATE, TURN, 60, 0, 0, false},
    {"rad/s2", SNUB_Q_TURN_RATE, 1, 1, 0, 0, false},
    {"m/s", SNUB_Q_SPEED, 1, 1, 0, 0, false},
    {"km/h", SNUB_Q_SPEED, 1, 3.6, 0, 0, false},
    {"ft/s", SNUB_Q_SPEED, SNUB_FOOT, 1, 0, 0, false},
    {"ft/min", SNUB_Q_SPEED, SNUB_FOOT, 60, 0, 0, false},
    {"mph", SNUB_Q_SPEED, 5280 * SNUB_FOOT, 3600, 0, 0, true},
    {"Pa", SNUB_Q_PRESSURE, 1, 1, 0, 0, false},
    {"hPa", SNUB_Q_PRESSURE, 100, 1, 0, 0, false},
    {"kPa", SNUB_Q_PRESSURE, 1000, 1, 0, 0, false},
    {"MPa", SNUB_Q_PRESSURE, 1e6, 1, 0, 0, false},
    {"bar", SNUB_Q_PRESSURE, 1e5, 1, 0, 0, false},
    {"mbar", SNUB_Q_PRESSURE, 100, 1, 0, 0, false},
    {"psi", SNUB_Q_PRESSURE, POUND_PER_INCH2, 1, 0, 0, false},
    {"psia", SNUB_Q_PRESSURE, POUND_PER_INCH2, 1, 0, 0, true},
    {"atm", SNUB_Q_PRESSURE, SNUB_ATMOSPHERE, 1, 0, 0, false},
    {"inHg", SNUB_Q_PRESSURE, INCH_MERCURY, 1, 0, 0, true},
    {"psig", SNUB_Q_PRESSURE, POUND_PER_INCH2, 1, 0, SNUB_ATMOSPHERE, true},
    {"barg", SNUB_Q_PRESSURE, 1e5, 1, 0, SNUB_ATMOSPHERE, true},
    {"kPag", SNUB_Q_PRESSURE, 1000, 1, 0, SNUB_ATMOSPHERE, true},
    {"degC", SNUB_Q_TEMPERATURE, 1, 1, SNUB_ZERO_CELSIUS, 0, false},
    {"degF", SNUB_Q_TEMPERATURE, 5, 9, 459.67, 0, false},
    {"degR", SNUB_Q_TEMPERATURE, 5, 9, 0, 0, true},
    {"K", SNUB_Q_TEMPERATURE, 1, 1, 0, 0, false},
    {"K", SNUB_Q_TEMPERATURE_DIFFERENCE, 1, 1, 0, 0, false},
    {"degC", SNUB_Q_TEMPERATURE_DIFFERENCE, 1, 1, 0, 0, false},
    {"degF", SNUB_Q_TEMPERATURE_DIFFERENCE, 5, 9, 0, 0, false},
    {"L", SNUB_Q_VOLUME, 1, 1000, 0, 0, false},
    {"l", SNUB_Q_VOLUME, 1, 1000, 0, 0, false},
    {"mL", SNUB_Q_VOLUME, 1, 1e6, 0, 0, false},
    {"cc", SNUB_Q_VOLUME, 1, 1e6, 0, 0, false},
    {"cm3", SNUB_Q_VOLUME, 1, 1e6, 0, 0, false},
    {"m3", SNUB_Q_VOLUME, 1, 1, 0, 0, false},
    {"in3", SNUB_Q_VOLUME, SNUB_INCH *SNUB_INCH *SNUB_INCH, 1, 0, 0, false},
    {"kg/s", SNUB_Q_FLOW_MASS, 1, 1, 0, 0, false},
    {"g/s", SNUB_Q_FLOW_MASS, 1, 1000, 0, 0, false},
    {"kg/h", SNUB_Q_FLOW_MASS, 1, 3600, 0, 0, false},
    {"lb/min", SNUB_Q_FLOW_MASS, SNUB_POUND, 60, 0, 0, false},
    {"m3/s", SNUB_Q_FLOW_VOLUME, 1, 1, 0, 0, false},
    {"L/s", SNUB_Q_FLOW_VOLUME, 1, 1000, 0, 0, false},
    {"m3/h", SNUB_Q_FLOW_VOLUME, 1, 3600, 0, 0, false},
    {"ft3/min", SNUB_Q_FLOW_VOLUME, SNUB_FOOT *SNUB_FOOT *SNUB_FOOT, 60, 0, 0, false},
    {"cfm", SNUB_Q_FLOW_VOLUME, SNUB_FOOT *SNUB_FOOT *SNUB_FOOT, 60, 0, 0, true},
    {"MPa", SNUB_Q_STRESS, 1e6, 1, 0, 0, false},
    {"GPa", SNUB_Q_STRESS, 1e9, 1, 0, 0, false},
    {"N/mm2", SNUB_Q_STRESS, 1e6, 1, 0, 0, false},
    {"psi", SNUB_Q_STRESS, POUND_PER_INCH2, 1, 0, 0, false},
    {"ksi", SNUB_Q_STRESS, 1000 * POUND_PER_INCH2, 1, 0, 0, false},
    {"Hz", SNUB_Q_FREQUENCY, 1, 1, 0, 0, false},
    {"kHz", SNUB_Q_FREQUENCY, 1000, 1, 0, 0, false},
    {"s", SNUB_Q_TIME, 1, 1, 0, 0, false},
    {"ms", SNUB_Q_TIME, 1, 1000, 0, 0, false},
    {"min", SNUB_Q_TIME, 60, 1, 0, 0, false},
    {"h", SNUB_Q_TIME, 3600, 1, 0, 0, false},
    {"N/mm", SNUB_Q_STIFFNESS, 1000, 1, 0, 0, false},
    {"N/m", SNUB_Q_STIFFNESS, 1, 1, 0, 0, false},
    {"kN/mm", SNUB_Q_STIFFNESS, 1e6, 1, 0, 0, false},
    {"lbf/in", SNUB_Q_STIFFNESS, POUND_FORCE, SNUB_INCH, 0, 0, false},
    {"mm2", SNUB_Q_AREA, 1, 1e6, 0, 0, false},
    {"cm2", SNUB_Q_AREA, 1, 1e4, 0, 0, false},
    {"m2", SNUB_Q_AREA, 1, 1, 0, 0, false},
    {"in2", SNUB_Q_AREA, SNUB_INCH *SNUB_INCH, 1, 0, 0, false},
    {"kg/m3", SNUB_Q_DENSITY, 1, 1, 0, 0, false},
    {"g/L", SNUB_Q_DENSITY, 1, 1, 0, 0, false},
    {"lb/ft3", SNUB_Q_DENSITY, SNUB_POUND, SNUB_FOOT *SNUB_FOOT *SNUB_FOOT, 0, 0, false},
    {"mm2/s", SNUB_Q_VISCOSITY, 1, 1e6, 0, 0, false},
    {"cSt", SNUB_Q_VISCOSITY, 1, 1e6, 0, 0, false},
    {"N m2", SNUB_Q_BENDING, 1, 1, 0, 0, false},
    {"N mm2", SNUB_Q_BENDING, 1, 1e6, 0, 0, false},
    {"lbf in2", SNUB_Q_BENDING, POUND_FORCE *SNUB_INCH *SNUB_INCH, 1, 0, 0, false},
};

const snub_quantity_info *snub_quantity_describe(snub_quantity quantity)
{
    return &quantities[quantity];
}

const snub_unit_row *snub_unit_rows(int *count)
{
    *count = (int)(sizeof rows / sizeof rows[0]);
    return rows;
}

const snub_unit_row *snub_unit_find(snub_quantity quantity, const char *name)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].quantity == quantity && strcmp(rows[i].name, name) == 0)
            return &rows[i];
    }
    return NULL;
}

const snub_unit_row *snub_unit_find_any(const char *name)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].name, name) == 0)
            return &rows[i];
    }
    return NULL;
}

double snub_unit_to_si(const snub_unit_row *row, double value)
{
    return (value + row->before) * row->by / row->over + row->after;
}

const char *snub_quantity_unit(snub_quantity quantity)
{
    return quantities[quantity].bare;
}

double snub_quantity_from_bare(snub_quantity quantity, double bare)
{
    const snub_unit_row *row = snub_unit_find(quantity, quantities[quantity].bare);
    return row ? snub_unit_to_si(row, bare) : bare;
}

double snub_quantity_to_bare(snub_quantity quantity, double si)
{
    const snub_unit_row *row = snub_unit_find(quantity, quantities[quantity].bare);
    return row ? (si - row->after) * row->over / row->by - row->before : si;
}

bool snub_same_dimension(const snub_dimension *a, const snub_dimension *b)
{
    return memcmp(a, b, sizeof *a) == 0;
}
