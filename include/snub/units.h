/** snub/units.h - every unit constant, once, in one direction: what one unit is in SI. Room: base.
 *
 *  Multiply by a constant to read a value (`45 * SNUB_DEG` is in rad), divide by it to show one (`x / SNUB_MM` is in
 *  mm). Exact by definition where the unit is (inch, pound, degree); standard gravity and pound-force: NIST SP 811.
 */
#ifndef SNUB_UNITS_H
#define SNUB_UNITS_H

#include <stdbool.h>

#define SNUB_PI 3.14159265358979323846

#define SNUB_MM 1e-3                   /**< m */
#define SNUB_INCH 0.0254               /**< m */
#define SNUB_DEG (SNUB_PI / 180.0)     /**< rad */
#define SNUB_ARCMIN (SNUB_DEG / 60.0)  /**< rad */
#define SNUB_GRAVITY 9.80665           /**< m/s2: standard gravity (CGPM 1901) */
#define SNUB_RPM (SNUB_PI / 30.0)      /**< rad/s */
#define SNUB_MINUTE 60.0               /**< s */
#define SNUB_HOUR 3600.0               /**< s */
#define SNUB_KN 1e3                    /**< N */
#define SNUB_LBF 4.4482216152605       /**< N */
#define SNUB_LBF_FT 1.3558179483314004 /**< N m */
#define SNUB_KW 1e3                    /**< W */
#define SNUB_HP 745.69987158227022     /**< W: 550 ft lbf/s */
#define SNUB_KPA 1e3                   /**< Pa */
#define SNUB_MPA 1e6                   /**< Pa */
#define SNUB_PSI 6894.757293168361     /**< Pa */
#define SNUB_KSI (1e3 * SNUB_PSI)      /**< Pa */
#define SNUB_LITRE 1e-3                /**< m3 */
#define SNUB_POUND 0.45359237          /**< kg: avoirdupois pound */
#define SNUB_FOOT 0.3048               /**< m */
#define SNUB_BTU_LB 2326.0             /**< J/kg: Btu (IT) per pound, exact */
#define SNUB_CSTOKES 1e-6              /**< m2/s: centistokes, 1 mm2/s */
#define SNUB_PERCENT 1e-2              /**< a plain number */
#define SNUB_ATMOSPHERE 101325.0       /**< Pa: standard atmosphere, what a gauge pressure counts from (CGPM 1954) */
#define SNUB_ZERO_CELSIUS 273.15       /**< K */
#define SNUB_FAHRENHEIT (5.0 / 9.0)    /**< K: one step */
#define SNUB_ZERO_FAHRENHEIT (273.15 - 32.0 * 5.0 / 9.0) /**< K */

/** Units that results are shown in. */
typedef enum snub_unit {
    SNUB_UNIT_NONE, /**< a plain number */
    SNUB_UNIT_COUNT,
    SNUB_UNIT_PERCENT,
    SNUB_UNIT_MM,
    SNUB_UNIT_DEG,
    SNUB_UNIT_ARCMIN,
    SNUB_UNIT_RPM,
    SNUB_UNIT_RPM_S,
    SNUB_UNIT_M_S,
    SNUB_UNIT_N,
    SNUB_UNIT_KN,
    SNUB_UNIT_N_M,
    SNUB_UNIT_KW,
    SNUB_UNIT_KPA,
    SNUB_UNIT_MPA,
    SNUB_UNIT_DEGC,
    SNUB_UNIT_KG_S,
    SNUB_UNIT_H,
    SNUB_UNIT_HZ,
    SNUB_UNIT_MM_RPM, /**< speed number of a bearing: mean diameter in mm times rpm; kept as it is */
    SNUB_UNIT_N_M_DEG,
    SNUB_UNIT_KG,
    SNUB_UNIT_KG_M,
    SNUB_UNIT_KG_M2,
    SNUB_UNIT_KELVIN, /**< a difference */
    SNUB_UNIT_L,
    SNUB_UNIT_M3_S,
    SNUB_UNIT_N_MM,
    SNUB_UNIT_MM2,
    SNUB_UNIT_KG_M3,
    SNUB_UNIT_MM2_S,
    SNUB_UNITS_
} snub_unit;

/** To which side a shown value is rounded: the nearest; down for the most that will do; up for the least. */
typedef enum snub_rounding { SNUB_ROUND_NEAREST, SNUB_ROUND_DOWN, SNUB_ROUND_UP } snub_rounding;

/** How a unit is written: metric, and what stands for it where inch units are wanted. shown = (SI - zero)/size. */
typedef struct snub_unit_info {
    const char *text;   /**< "mm"; "" for a plain number */
    const char *suffix; /**< of a key in JSON: "_mm"; "" for none */
    double size, zero;
    const char *us_text;
    double us_size, us_zero;
    int us_decimals; /**< places more (or less) than the metric value has */
    bool both;       /**< shown in both where a reader may hold either tool */
} snub_unit_info;

/** Never NULL. */
const snub_unit_info *snub_unit_describe(snub_unit unit);
/** The unit that is written so in metric: "mm", "N m".
 *  @param[out] unit  untouched on false
 *  @return false: none is; an empty text and NULL are none */
bool snub_unit_of_text(const char *text, snub_unit *unit);
/** An SI value in the unit that is shown, metric. */
double snub_in_unit(snub_unit unit, double si);

#endif
