/* The units that results are shown in. */
#include "snub/base.h"

static const snub_unit_info units[SNUB_UNITS_] = {
    [SNUB_UNIT_NONE] = {"", "", 1, 0, "", 1, 0, 0, false},
    [SNUB_UNIT_COUNT] = {"", "", 1, 0, "", 1, 0, 0, false},
    [SNUB_UNIT_PERCENT] = {"%", "_pct", SNUB_PERCENT, 0, "%", SNUB_PERCENT, 0, 0, false},
    [SNUB_UNIT_MM] = {"mm", "_mm", SNUB_MM, 0, "in", SNUB_INCH, 0, 2, true},
    [SNUB_UNIT_DEG] = {"deg", "_deg", SNUB_DEG, 0, "deg", SNUB_DEG, 0, 0, false},
    [SNUB_UNIT_ARCMIN] = {"arcmin", "_arcmin", SNUB_ARCMIN, 0, "arcmin", SNUB_ARCMIN, 0, 0, false},
    [SNUB_UNIT_RPM] = {"rpm", "_rpm", SNUB_RPM, 0, "rpm", SNUB_RPM, 0, 0, false},
    [SNUB_UNIT_RPM_S] = {"rpm/s", "_rpm_s", SNUB_RPM, 0, "rpm/s", SNUB_RPM, 0, 0, false},
    [SNUB_UNIT_M_S] = {"m/s", "_m_s", 1, 0, "ft/s", 12 * SNUB_INCH, 0, 0, false},
    [SNUB_UNIT_N] = {"N", "_N", 1, 0, "lbf", SNUB_LBF, 0, 0, false},
    [SNUB_UNIT_KN] = {"kN", "_kN", SNUB_KN, 0, "lbf", SNUB_LBF, 0, -2, false},
    [SNUB_UNIT_N_M] = {"N m", "_N_m", 1, 0, "lbf ft", SNUB_LBF_FT, 0, 0, true},
    [SNUB_UNIT_KW] = {"kW", "_kW", SNUB_KW, 0, "hp", SNUB_HP, 0, 0, false},
    [SNUB_UNIT_KPA] = {"kPa", "_kPa", SNUB_KPA, 0, "psi", SNUB_PSI, 0, 1, true},
    [SNUB_UNIT_MPA] = {"MPa", "_MPa", SNUB_MPA, 0, "ksi", 1e3 * SNUB_PSI, 0, 1, false},
    [SNUB_UNIT_DEGC] = {"degC", "_degC", 1, SNUB_ZERO_CELSIUS, "degF", SNUB_FAHRENHEIT, SNUB_ZERO_FAHRENHEIT, 0, false},
    [SNUB_UNIT_KG_S] = {"kg/s", "_kg_s", 1, 0, "lb/min", 0.45359237 / SNUB_MINUTE, 0, -2, false},
    [SNUB_UNIT_H] = {"h", "_h", SNUB_HOUR, 0, "h", SNUB_HOUR, 0, 0, false},
    [SNUB_UNIT_HZ] = {"Hz", "_Hz", 1, 0, "Hz", 1, 0, 0, false},
    [SNUB_UNIT_MM_RPM] = {"mm rpm", "_mm_rpm", 1, 0, "mm rpm", 1, 0, 0, false},
};

const snub_unit_info *snub_unit_describe(snub_unit unit)
{
    return &units[unit];
}

double snub_in_unit(snub_unit unit, double si)
{
    return (si - units[unit].zero) / units[unit].size;
}
