/** snub/trace.h - data logs of a dyno or the track: reading them, and finding in them where the belt slips. Room:
 * trace.
 *
 *  docs/theory/trace.md has the symbols. A log is read once, piece by piece; memory does not grow with it.
 */
#ifndef SNUB_TRACE_H
#define SNUB_TRACE_H

#include "snub/kit.h"

/* ---- reading ------------------------------------------------------------------------------------------------------
 */

/** What a column of a log can be. */
typedef enum snub_log_channel {
    SNUB_LOG_TIME,
    SNUB_LOG_ENGINE,   /**< engine speed */
    SNUB_LOG_BLOWER,   /**< speed of the blower's pulley */
    SNUB_LOG_THROTTLE, /**< in any unit: it is compared with its own greatest */
    SNUB_LOG_BOOST,    /**< above ambient, or absolute, as its name says */
    SNUB_LOG_CHANNELS
} snub_log_channel;
/** "time", "engine", "blower", "throttle", "boost"; NULL-terminated. */
extern const char *const snub_log_words[];

enum { SNUB_LOG_NAME_MOST = 64, SNUB_LOG_UNIT_MOST = 24, SNUB_LOG_BAD_MOST = 20 };

/** What the user says of the columns. */
typedef struct snub_log_wish {
    const char *column[SNUB_LOG_CHANNELS]; /**< name in the header, or number from 1; NULL: by the usual names */
    const char *unit[SNUB_LOG_CHANNELS];   /**< NULL: as the header says */
    double rate;                           /**< rows per second of a log without time; 0: it has one */
    double ambient;                        /**< Pa, taken from an absolute boost */
} snub_log_wish;

/** A column that is read. SI = (number * scale) + zero. */
typedef struct snub_log_column {
    int number; /**< from 1; 0: the log has none */
    char name[SNUB_LOG_NAME_MOST], unit[SNUB_LOG_UNIT_MOST];
    bool assumed; /**< neither the log nor the user says the unit */
    bool clock;   /**< time as hours:minutes:seconds */
    double scale, zero;
} snub_log_column;

/** Why a row is not used. */
typedef enum snub_log_fault {
    SNUB_LOG_FIELDS, /**< more or fewer fields than the header */
    SNUB_LOG_NO_NUMBER,
    SNUB_LOG_RANGE,   /**< a number that this quantity cannot have */
    SNUB_LOG_NO_TIME, /**< its time is empty */
    SNUB_LOG_FAULTS
} snub_log_fault;
/** "wrong number of fields", ... for messages. */
const char *snub_log_fault_text(snub_log_fault fault);

typedef struct snub_log_bad {
    long line;
    snub_log_fault fault;
    snub_log_channel channel; /**< SNUB_LOG_CHANNELS: the row as such */
    char text[24];            /**< what stands there, cut */
} snub_log_bad;

/** What was read. */
typedef struct snub_log_rows {
    snub_log_column column[SNUB_LOG_CHANNELS];
    char separator; /**< ' ': blanks */
    bool zipped;
    long lines;  /**< of the file */
    long header; /**< its line; 0: none */
    long read;   /**< rows of data */
    long used;   /**< handed over */
    long still;  /**< of them, with the time of the row before */
    long bad, bad_of[SNUB_LOG_FAULTS];
    snub_log_bad first_bad[SNUB_LOG_BAD_MOST]; /**< the first of them */
    long parts;                                /**< 1 and once more for each reset of the time */
    double seconds;                            /**< of all parts, without what lies between them */
} snub_log_rows;

/** A row. NAN: nothing stands there. */
typedef struct snub_log_row {
    long line, part;
    double value[SNUB_LOG_CHANNELS]; /**< SI */
} snub_log_row;

/** Takes a row. Anything but SNUB_OK ends the reading with that status. */
typedef snub_status snub_log_take(void *context, const snub_log_row *row);

typedef struct snub_log_reader snub_log_reader;

/** A reader that is fed piece by piece, gzip or plain.
 *  @param[in] name  for messages; must outlive the reader, as `units` and what `wish` points at
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_log_open(const char *name, const snub_log_wish *wish, snub_units *units, snub_log_take *take,
                          void *context, snub_log_reader **reader, snub_error *error);
/** Feed bytes. Refused with line and reason: no text, a line or a file past its limit, no header with an engine speed
 *  in the first lines, a unit of another quantity, gzip that is damaged. A row that is wrong is counted and left out.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE; SNUB_NO_MEMORY; what `take` gave */
snub_status snub_log_feed(snub_log_reader *reader, const char *data, size_t length, snub_error *error);
/** The end of the file. @return as snub_log_feed; SNUB_BAD_INPUT where no row could be used */
snub_status snub_log_finish(snub_log_reader *reader, snub_error *error);
/** What was read so far. Lives as long as the reader. */
const snub_log_rows *snub_log_read(const snub_log_reader *reader);
void snub_log_close(snub_log_reader *reader);

#endif
