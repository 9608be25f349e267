/** snub/house.h - the house file: what belongs to the company that prints the sheets, not to the drive. Room: drive.
 *
 *  The same YAML as a drive file, with the same errors. The rooms open no files: whoever reads hands in how.
 */
#ifndef SNUB_HOUSE_H
#define SNUB_HOUSE_H

#include "snub/pictures.h"

enum {
    SNUB_HOUSE_LINES_MOST = 5, /**< of the address, and of how to reach the company */
    SNUB_DISCLAIMERS_MOST = 8,
    SNUB_REVISIONS_MOST = 20
};

/** One line of the revision table. Texts that are left out are "". */
typedef struct snub_revision {
    const char *revision, *date, *reason, *by, *approved;
} snub_revision;

/** Lines of text. */
typedef struct snub_house_lines {
    int count;
    const char *line[SNUB_DISCLAIMERS_MOST];
} snub_house_lines;

/** What a house file says. What it leaves out is NULL, 0 or -1. Texts live as long as the arena. */
typedef struct snub_house {
    snub_document document;
    const char *company;
    snub_house_lines address, contact;
    snub_picture_file logo;
    bool coloured;
    uint32_t colour; /**< of headings, 0xRRGGBB */
    snub_house_lines disclaimers;
    const char *number; /**< pattern of the sheet number: snub_house_fill */
    const char *qr;     /**< pattern of what the QR code says */
    int revision_count; /**< by rising date; the last is in force */
    const snub_revision *revisions;
    const char *language; /**< "de" */
    int paper;            /**< 0: A4, 1: letter, -1 */
    int inches;           /**< 0: metric, 1: us, -1 */
    char digest[65];      /**< SHA-256 of the file and its logo */
} snub_house;

/** Path of the house file that a drive file names, or NULL: none, or no text (the drive's reader tells that). */
const char *snub_document_house(const snub_document *document);

/** Read a house file and its logo.
 *  @param[in] from  name of the file that names it, which `path` is relative to; NULL: `path` stands as it is
 *  @param[in] place  where it is named, for the error that it cannot be read; NULL: on the command line
 *  @param[out] house  valid only on SNUB_OK, but for `document`, whose source shows the errors' lines
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_IO, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_house_read(const char *from, const char *path, const snub_place *place, const snub_file_source *files,
                            snub_units *units, snub_arena *arena, snub_house *house, snub_errors *errors);

/** What the names of a pattern stand for; NULL is "". */
typedef struct snub_house_names {
    const char *kit, *code, *sheet, *revision;
} snub_house_names;
/** A pattern with {kit}, {code}, {sheet} and {revision} replaced.
 *  @param[in] address  what is no letter, digit, '-', '.' or '_' in a value goes as %XX
 *  @return arena memory; NULL where that is out */
const char *snub_house_fill(const char *pattern, const snub_house_names *names, bool address, snub_arena *arena);

/** The revision in force; NULL: the file has none. */
const snub_revision *snub_house_revision(const snub_house *house);

#endif
