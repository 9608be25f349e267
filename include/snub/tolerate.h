/** snub/tolerate.h - how many kits of a settled build fail, and by which rules. Room: study.
 *
 *  A kit is the build as it is sold, belt and settings kept, with values drawn within the tolerances of the drive file
 *  (snub_drive.tolerances) laid over it, as by --set. It has one belt, whose length is drawn too, so that the belt's
 * own tolerance counts no more. Its verdict is the ordinary one, by snub_build_make. docs/theory/tolerate.md.
 */
#ifndef SNUB_TOLERATE_H
#define SNUB_TOLERATE_H

#include "snub/kit.h"
#include "snub/shares.h"
#include "snub/tighten.h"

/** The kit whose values are all as the file has them, among the numbers of kits. */
enum { SNUB_NOMINAL_KIT = -1 };

/** Kits of a study where nothing else is asked for, and the most of them; the most that a seed may be. For whoever
 * takes them from a user. */
enum {
    SNUB_TOLERATE_KITS = 1000,
    SNUB_TOLERATE_KITS_MOST = 100000,
    SNUB_STUDY_SEED = 1,
    SNUB_STUDY_SEED_MOST = 1000000000
};

/** Numbers of a kit that are followed. */
typedef enum snub_followed {
    SNUB_FOLLOWED_GRIP,         /**< worst of all cases, share of design friction */
    SNUB_FOLLOWED_BLOWER_GRIP,  /**< of the first blower */
    SNUB_FOLLOWED_WRAP,         /**< of the first blower with the engine stopped, rad */
    SNUB_FOLLOWED_WIND_STOPPED, /**< of the arm with the engine stopped, rad */
    SNUB_FOLLOWED_WIND_REDLINE, /**< rad */
    SNUB_FOLLOWED_GAP,          /**< tightest, m */
    SNUB_FOLLOWED_BOOST,        /**< at redline, Pa */
    SNUB_FOLLOWED_
} snub_followed;

/** What is kept of a kit. */
typedef struct snub_kit {
    unsigned char level;                /**< snub_level of its verdict */
    unsigned char by_rule[SNUB_RULES_]; /**< the worst snub_level of each rule; SNUB_PASS: it says nothing */
    double of[SNUB_FOLLOWED_];          /**< NAN: it has none */
} snub_kit;

/** How many kits a rule fails. */
typedef struct snub_rule_count {
    int fail, marginal;
    snub_interval failing; /**< of the share that fails, 95 % */
    int example;           /**< the first kit that fails; -1: none */
} snub_rule_count;

/** How a number scatters over the kits that have it. */
typedef struct snub_spread_of {
    int count;
    double nominal, mean, sd, least, most; /**< of those with a finite one; NAN: no kit has one; sd NAN for one kit */
} snub_spread_of;

typedef struct snub_tolerate_request {
    int kits;         /**< at most, >= 1 */
    double precision; /**< enough once the interval of the failing share is no wider than +- this; 0: work on all */
    uint64_t seed;
    int threads;           /**< 0: as OpenMP decides; the answer does not depend on it */
    const snub_kit *known; /**< kits of the same build, values and seed that were judged before, from the first on */
    int known_count;
    /** After some kits: those of the answer so far are in it. @return false: stop and keep what is done. May be NULL */
    bool (*go_on)(int done, int all, void *context);
    void *context;
} snub_tolerate_request;

typedef struct snub_tolerated {
    const snub_build *build;
    uint64_t seed;
    int scatter_count;              /**< values that scatter */
    const snub_tolerance **scatter; /**< a range is not among them: what is not known does not scatter */
    const int *group_of;            /**< of each: place of its group in the order in which they are met; -1: none */
    int group_count;
    int range_count;
    int kit_count;
    const snub_kit *kits; /**< by number, from 0 */
    snub_kit nominal;     /**< what the nominal kit comes to */
    bool precise;         /**< as precise as was asked */
    bool stopped;         /**< by `go_on` */
    int by_level[SNUB_FAIL + 1];
    snub_interval failing; /**< of the share of kits that fail, 95 % */
    snub_rule_count rules[SNUB_RULES_];
    snub_spread_of spread[SNUB_FOLLOWED_];
} snub_tolerated;

/** A value of a kit as --set takes it: "blower.diameter", "79.93". */
typedef struct snub_kit_value {
    const char *path, *text;
    double value; /**< SI */
    bool point;   /**< a length of a point, as text in the bare unit */
} snub_kit_value;

/** Judge kits of a build.
 *  @param[in] reading  as the build was made with; its arena keeps the answer
 *  @param[in] build    settled and judged; it is kept by the answer
 *  @return SNUB_OK, also where it was stopped; SNUB_BAD_INPUT (errors filled): nothing scatters, the build has no belt,
 * or values within their tolerances do not go together; SNUB_NO_MEMORY */
snub_status snub_tolerate_build(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                const snub_tolerate_request *request, snub_tolerated *result, snub_errors *errors);
/** What the kits are followed by beside their numbers: whether they fail. */
enum { SNUB_CONTRIBUTES_FAILING = SNUB_FOLLOWED_, SNUB_CONTRIBUTES_ };

/** What a cause contributes to the scatter of a number of the kit: Sobol's indices, with their standard errors. */
typedef struct snub_contribution {
    double first, first_error; /**< share of the variance that goes when this cause scatters no more */
    double total, total_error; /**< share that stays when it alone scatters */
} snub_contribution;

/** A value that scatters by itself, or all values of one group. */
typedef struct snub_scatter_cause {
    const char *name; /**< path of the value, or the group */
    bool is_group;
    snub_contribution to[SNUB_CONTRIBUTES_];
} snub_scatter_cause;

typedef struct snub_contributions {
    int count;
    snub_scatter_cause *cause;   /**< [count], in the order of the file's tolerances */
    bool has[SNUB_CONTRIBUTES_]; /**< every kit has the number, and it scatters; else nothing contributes to it */
    int pairs, runs;             /**< pairs of kits taken, in so many scramblings */
    int kits;                    /**< judged for it */
    bool stopped;
} snub_contributions;

typedef struct snub_contribution_request {
    int pairs; /**< of kits, >= 64; (causes + 2) kits are judged for each */
    int threads;
    bool (*go_on)(int done, int all, void *context); /**< as in snub_tolerate_request, in pairs */
    void *context;
} snub_contribution_request;

/** What contributes, by kits of the same build with one cause after the other exchanged between them
 *  (snub/sensitivity.h). docs/theory/tolerate.md.
 *  @param[in] of  of snub_tolerate_build with the same document and reading
 *  @return as snub_tolerate_build */
snub_status snub_tolerate_contributions(const snub_document *document, const snub_reading *reading,
                                        const snub_tolerated *of, const snub_contribution_request *request,
                                        snub_contributions *result, snub_errors *errors);

/** All values of a kit, then its belt and settings, so that they make it from the build's row.
 *  @param[out] values  in the arena
 *  @param[in] kit  by its number, or SNUB_NOMINAL_KIT
 *  @return how many; -1: memory is out */
int snub_tolerated_values(const snub_tolerated *result, int kit, snub_arena *arena, snub_kit_value **values);
/** The same of a kit with other values. @param[in] value  of each of `scatter`, SI */
int snub_kit_values(const snub_tolerated *result, const double *value, snub_arena *arena, snub_kit_value **values);
/** What another width of each tolerance would do to the share of kits that fail; no kit is judged anew. Values of a
 * group and measured ones are not predicted.
 *  @param[in] result  with one kit or more
 *  @param[out] width  one for each of `scatter`, in the arena
 *  @return false: memory is out */
bool snub_tolerated_widths(const snub_tolerated *result, snub_arena *arena, snub_width **width, snub_width_plan *plan);

#endif
