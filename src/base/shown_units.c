/* The units that results are shown in. Inch forms are those of the trade: belt speed in ft/min, air in lb/min, oil in
 * centistokes. */
#include <string.h>

#include "snub/locale.h"

static const snub_unit_info units[SNUB_UNITS_] = {
    [SNUB_UNIT_NONE] = {"", "", 1, 0, "", 1, 0, 0, false},
    [SNUB_UNIT_COUNT] = {"", "", 1, 0, "", 1, 0, 0, false},
    [SNUB_UNIT_PERCENT] = {"%", "_pct", SNUB_PERCENT, 0, "%", SNUB_PERCENT, 0, 0, false},
    [SNUB_UNIT_MM] = {"mm", "_mm", SNUB_MM, 0, "in", SNUB_INCH, 0, 2, true},
    [SNUB_UNIT_DEG] = {SNUB_MESSAGE("deg"), "_deg", SNUB_DEG, 0, SNUB_MESSAGE("deg"), SNUB_DEG, 0, 0, false},
    [SNUB_UNIT_ARCMIN] = {SNUB_MESSAGE("arcmin"), "_arcmin", SNUB_ARCMIN, 0, SNUB_MESSAGE("arcmin"), SNUB_ARCMIN, 0, 0,
                          false},
    [SNUB_UNIT_RPM] = {SNUB_MESSAGE("rpm"), "_rpm", SNUB_RPM, 0, SNUB_MESSAGE("rpm"), SNUB_RPM, 0, 0, false},
    [SNUB_UNIT_RPM_S] = {SNUB_MESSAGE("rpm/s"), "_rpm_s", SNUB_RPM, 0, SNUB_MESSAGE("rpm/s"), SNUB_RPM, 0, 0, false},
    [SNUB_UNIT_M_S] = {"m/s", "_m_s", 1, 0, "ft/min", SNUB_FOOT / SNUB_MINUTE, 0, -2, false},
    [SNUB_UNIT_N] = {"N", "_N", 1, 0, "lbf", SNUB_LBF, 0, 0, false},
    [SNUB_UNIT_KN] = {"kN", "_kN", SNUB_KN, 0, "lbf", SNUB_LBF, 0, -2, false},
    [SNUB_UNIT_N_M] = {"N m", "_N_m", 1, 0, "lbf ft", SNUB_LBF_FT, 0, 0, true},
    [SNUB_UNIT_KW] = {"kW", "_kW", SNUB_KW, 0, "hp", SNUB_HP, 0, 0, false},
    [SNUB_UNIT_KPA] = {"kPa", "_kPa", SNUB_KPA, 0, "psi", SNUB_PSI, 0, 1, true},
    [SNUB_UNIT_MPA] = {"MPa", "_MPa", SNUB_MPA, 0, "ksi", SNUB_KSI, 0, 1, false},
    [SNUB_UNIT_DEGC] = {SNUB_MESSAGE("degC"), "_degC", 1, SNUB_ZERO_CELSIUS, SNUB_MESSAGE("degF"), SNUB_FAHRENHEIT,
                        SNUB_ZERO_FAHRENHEIT, 0, false},
    [SNUB_UNIT_KG_S] = {"kg/s", "_kg_s", 1, 0, "lb/min", SNUB_POUND / SNUB_MINUTE, 0, -2, false},
    [SNUB_UNIT_H] = {"h", "_h", SNUB_HOUR, 0, "h", SNUB_HOUR, 0, 0, false},
    [SNUB_UNIT_HZ] = {"Hz", "_Hz", 1, 0, "Hz", 1, 0, 0, false},
    [SNUB_UNIT_MM_RPM] = {SNUB_MESSAGE("mm rpm"), "_mm_rpm", 1, 0, SNUB_MESSAGE("mm rpm"), 1, 0, 0, false},
    [SNUB_UNIT_N_M_DEG] = {SNUB_MESSAGE("N m/deg"), "_N_m_deg", 1 / SNUB_DEG, 0, SNUB_MESSAGE("lbf ft/deg"),
                           SNUB_LBF_FT / SNUB_DEG, 0, 0, false},
    [SNUB_UNIT_KG] = {"kg", "_kg", 1, 0, "lb", SNUB_POUND, 0, 0, false},
    [SNUB_UNIT_KG_M] = {"kg/m", "_kg_m", 1, 0, "lb/ft", SNUB_POUND / SNUB_FOOT, 0, 1, false},
    [SNUB_UNIT_KG_M2] = {"kg m2", "_kg_m2", 1, 0, "lb in2", SNUB_POUND *SNUB_INCH *SNUB_INCH, 0, -3, false},
    [SNUB_UNIT_KELVIN] = {"K", "_K", 1, 0, SNUB_MESSAGE("degF"), SNUB_FAHRENHEIT, 0, 0, false},
    [SNUB_UNIT_L] = {"L", "_L", SNUB_LITRE, 0, "in3", SNUB_INCH *SNUB_INCH *SNUB_INCH, 0, -1, false},
    [SNUB_UNIT_M3_S] = {"m3/s", "_m3_s", 1, 0, "ft3/min", SNUB_FOOT *SNUB_FOOT *SNUB_FOOT / SNUB_MINUTE, 0, -3, false},
    [SNUB_UNIT_N_MM] = {"N/mm", "_N_mm", 1 / SNUB_MM, 0, "lbf/in", SNUB_LBF / SNUB_INCH, 0, -1, false},
    [SNUB_UNIT_MM2] = {"mm2", "_mm2", SNUB_MM *SNUB_MM, 0, "in2", SNUB_INCH *SNUB_INCH, 0, 3, false},
    [SNUB_UNIT_KG_M3] = {"kg/m3", "_kg_m3", 1, 0, "lb/ft3", SNUB_POUND / (SNUB_FOOT * SNUB_FOOT * SNUB_FOOT), 0, 1,
                         false},
    [SNUB_UNIT_MM2_S] = {"mm2/s", "_mm2_s", SNUB_MM *SNUB_MM, 0, "cSt", SNUB_CSTOKES, 0, 0, false},
};

const snub_unit_info *snub_unit_describe(snub_unit unit)
{
    return &units[unit];
}

bool snub_unit_of_text(const char *text, snub_unit *unit)
{
    for (int u = 0; text != NULL && text[0] != '\0' && u < SNUB_UNITS_; u++) {
        if (strcmp(units[u].text, text) != 0)
            continue;
        *unit = (snub_unit)u;
        return true;
    }
    return false;
}

double snub_in_unit(snub_unit unit, double si)
{
    return (si - units[unit].zero) / units[unit].size;
}
