/** snub/search.h - a better drive by moving what may move (section `search` of the drive file). Room: study.
 *
 *  Every candidate is the file with other values laid over it; its builds are settled and judged by snub_build_make, as
 *  those of a chart. docs/theory/search.md.
 */
#ifndef SNUB_SEARCH_H
#define SNUB_SEARCH_H

#include "snub/kit.h"
#include "snub/shares.h"

/** Candidates that a user may ask for. */
enum { SNUB_SEARCH_TRIES_LEAST = 10, SNUB_SEARCH_TRIES_MOST = 1000000 };

enum {
    SNUB_SEARCH_NUMBERS_MOST = 2 * SNUB_MOVES_MOST, /**< that may vary: two of a point */
    SNUB_PROPOSALS_MOST = 9
};

/** What a candidate comes to over its builds. */
typedef struct snub_candidate_measures {
    bool whole;            /**< all builds were judged; else only those that are worst today, and the rest is a bound */
    double over;           /**< how far the builds are from what must hold; 0: all hold */
    double of[SNUB_AIMS_]; /**< by aim, SI: grip; belts (NAN where that is no aim); life [s]; hub load [N]; wrap [rad];
                                change [m], an angle as its arc; builds that pass. NAN: there is none */
    double nearly;         /**< 0 to 1: how far those that do not pass are from it, each in proportion to all builds */
    int counts[SNUB_FAIL + 1]; /**< builds by verdict */
} snub_candidate_measures;

/** What the last tenth of the candidates of a run gained: of the run for one aim by itself. */
typedef struct snub_last_tenth {
    int candidates;
    double before,
        after; /**< best of the aim then and at the end, as in snub_candidate_measures; NAN: none held what must hold */
    bool gained; /**< more than is worth a new bracket, or the first that holds */
} snub_last_tenth;

/** A candidate that was judged, with its values on the grid. */
typedef struct snub_tried {
    double value[SNUB_SEARCH_NUMBERS_MOST]; /**< SI, in the order of the moves; a point has two */
    snub_candidate_measures came_to;
} snub_tried;

typedef struct snub_search_request {
    snub_named_rows named;
    int tries;     /**< candidates that are asked for at most, over all runs; 0: by how many numbers may move */
    uint32_t seed; /**< of the random points */
    int threads;   /**< 0: as OpenMP decides; the answer does not depend on it */
    const snub_tried *before; /**< what an interrupted search had judged, in its order: not judged again */
    int before_count;
    /** Before each candidate that is asked for: the search has `digest`, `numbers` and, so far, `tried`, for a file.
     *  By rank 0 alone. @return false: stop and keep the best. May be NULL */
    bool (*go_on)(int done, int all, void *context);
    void *context;
} snub_search_request;

/** What kits of the file's own build come to, drawn within its tolerances (snub/tolerate.h). */
typedef struct snub_kits_came_to {
    int samples, failing;
    snub_interval share; /**< that fails, 95 % */
    snub_rule rule;      /**< that fails most; SNUB_RULES_: none fails any */
    int rule_failing;    /**< kits that it fails */
    const char *why_not; /**< why none were judged; NULL with samples 0: nobody asked */
} snub_kits_came_to;

/** A better drive: changes of the file's text. */
typedef struct snub_proposal {
    snub_candidate_measures came_to;
    const snub_build *own; /**< the file's, belt and settings chosen anew; in the arena of the reading; NULL: none */
    snub_kits_came_to kits;
    double value[SNUB_SEARCH_NUMBERS_MOST]; /**< as snub_tried */
    const snub_change *changes; /**< moves in the file's order; belt and settings of the file's own build, where the
                                     file gives them; values that give way to a part, their text "null" */
    int change_count, move_count, taken_count; /**< all; those that move something, the first; those that give way,
                                                    the last */
} snub_proposal;

typedef struct snub_search {
    const snub_search_section *section;
    int build_count, numbers;
    snub_candidate_measures today;
    const snub_build *today_own; /**< as of a proposal */
    snub_kits_came_to today_kits;
    bool found;     /**< a candidate was judged whose builds hold all that must hold */
    bool converged; /**< of each run: no neighbour on the grid is better, as far as the local search can tell */
    bool stopped;   /**< by `go_on` */
    int asked, all; /**< candidates asked for; at most */
    snub_last_tenth last_tenth[2];   /**< by aim */
    bool has_best;                   /**< one that holds was judged; also while it goes on, in `go_on` */
    snub_candidate_measures best[2]; /**< of those that hold the best so far, in each aim */
    int proposal_count;
    snub_proposal proposals[SNUB_PROPOSALS_MOST]; /**< one aim: the best; two: none is better than another in both */
    /* where nothing was found */
    snub_candidate_measures nearest;
    const snub_row *broken_row; /**< build that is farthest from what must hold at the nearest candidate; NULL */
    const snub_finding *broken; /**< its worst finding there */
    /* for an interrupted search to go on */
    int tried_count;
    const snub_tried *tried; /**< those of `before` that were not asked for again too */
    char digest[65];         /**< of the drive, what was asked and the seed: `before` must be of the same */
} snub_search;

/** Kits of each drive where nothing else is asked for: enough to see a share of one or two percent. */
enum { SNUB_SEARCH_KITS = 200 };

typedef struct snub_search_kits_request {
    int kits; /**< of each drive; 0: none */
    uint64_t seed;
    int threads;                                     /**< as in snub_search_request */
    bool (*go_on)(int done, int all, void *context); /**< as there; what is not done is left out */
    void *context;
} snub_search_kits_request;

/** The digest of a search, before it begins. @return as snub_drive_read */
snub_status snub_search_digest(const snub_document *document, const snub_reading *reading,
                               const snub_search_request *request, char text[65], snub_errors *errors);
/** @param[in] reading  its arena keeps the answer
 *  @return SNUB_OK, also where nothing was found; SNUB_BAD_INPUT (errors filled): the file has no `search`, or `before`
 *  is of another; SNUB_NO_MEMORY */
snub_status snub_search_drive(const snub_document *document, const snub_reading *reading,
                              const snub_search_request *request, snub_search *search, snub_errors *errors);

/** The file as a proposal makes it: with the values of --set, but for how it was searched, and the proposal's changes.
 *  @param[out] out  the text, appended
 *  @return as snub_document_rewrite */
snub_status snub_proposal_text(const snub_document *document, const snub_reading *reading,
                               const snub_proposal *proposal, snub_text *out, snub_error *error);
/** Judge kits of today's drive and of each proposal, as `snub tolerate` does with the file that snub_proposal_text
 *  makes.
 *  @param[in,out] search  of the same document and reading: `today_kits` and `kits` are filled
 *  @return SNUB_OK, also where a drive has no kits (`why_not`); SNUB_NO_MEMORY */
snub_status snub_search_kits(const snub_document *document, const snub_reading *reading,
                             const snub_search_kits_request *request, snub_search *search, snub_errors *errors);

#endif
