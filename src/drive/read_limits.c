/** limits: the defaults, where they come from, and what the file puts in their place. */
#include "sections.h"
#include "snub/locale.h"

static const snub_limit_info limits[SNUB_LIMITS_] = {
#define SNUB_LIMIT(name, key, quantity, unit, preset, least, most, source, means)                                      \
    [SNUB_LIMIT_##name] = {key, SNUB_Q_##quantity, SNUB_UNIT_##unit, preset, least, most, source},
#include "snub/limit_list.inc"
};

const snub_key snub_limit_keys[] = {
#define SNUB_LIMIT(name, key, quantity, unit, preset, least, most, source, means) {key, NULL, SNUB_MEANS(means)},
#include "snub/limit_list.inc"
    {NULL, NULL, NULL},
};

const snub_limit_info *snub_limit_describe(snub_limit limit)
{
    return &limits[limit];
}

/* The list's are those of section PK. */
snub_limit_info snub_limit_preset(const snub_drive *drive, snub_limit limit)
{
    const double least = snub_smallest_pulley(&drive->belt) / SNUB_MM;
    snub_limit_info info = limits[limit];
    if (isnan(least))
        return info;
    if (limit == SNUB_LIMIT_RIB_DIAMETER) {
        info.value = least;
        info.source = SNUB_MESSAGE("ISO 9982, not compared with its text");
    } else if (limit == SNUB_LIMIT_RIB_DIAMETER_LIFE || limit == SNUB_LIMIT_BACK_DIAMETER ||
               limit == SNUB_LIMIT_BACK_DIAMETER_LIFE) {
        info.value *= least / limits[SNUB_LIMIT_RIB_DIAMETER].value;
        info.source = SNUB_MESSAGE("in proportion to section PK: rule of thumb, no published source");
    } else if (limit == SNUB_LIMIT_RIB_TENSION) {
        info.source = SNUB_MESSAGE("of section PK: rule of thumb, no published source");
    }
    return info;
}

int snub_limit_given_at(const snub_drive *drive, snub_limit limit)
{
    const snub_place *place = &drive->limits_place[limit];
    return place->line > 0 ? place->line : place->file != NULL ? SNUB_LAID_OVER : 0;
}

/* A default is what the file would read were it written there, to the bit. */
static double preset_of(const snub_limit_info *info)
{
    return info->quantity == SNUB_Q_TIME ? info->value * SNUB_HOUR
                                         : snub_quantity_from_bare(info->quantity, info->value);
}

/** Bare numbers are in the printed unit, which for a life is hours where times are bare seconds elsewhere. */
static bool read_limit(snub_reader *reader, const snub_node *map, const snub_limit_info *info, double *value)
{
    double hours = 0;
    snub_read_says(reader, map, info->key,
                   &(snub_key_bounds){snub_unit_describe(info->unit)->text, info->least, info->most}, &info->value,
                   info->source);
    if (info->quantity != SNUB_Q_TIME)
        return snub_read_number(reader, map, info->key, info->quantity, info->least, info->most, value);
    const snub_node *node = snub_read_find(map, info->key);
    if (node == NULL)
        return false;
    if (node->kind == SNUB_SCALAR && !node->quoted && snub_parse_number(node->text, NULL, &hours) == SNUB_OK) {
        snub_enter(reader, info->key);
        const bool octal = snub_read_octal(reader, node);
        snub_leave(reader);
        if (octal)
            return false;
        if (hours < info->least || hours > info->most) {
            snub_read_wrong_key(reader, map, info->key,
                                snub_format(reader->arena, "%.10g to %.10g h", info->least, info->most), "is too %s",
                                hours < info->least ? "small" : "large");
            return false;
        }
        *value = hours * SNUB_HOUR;
        return true;
    }
    return snub_read_number(reader, map, info->key, info->quantity, info->least * SNUB_HOUR, info->most * SNUB_HOUR,
                            value);
}

void snub_read_limits(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    snub_limit_info preset[SNUB_LIMITS_];
    for (int i = 0; i < SNUB_LIMITS_; i++) {
        preset[i] = snub_limit_preset(drive, (snub_limit)i);
        drive->limits[i] = preset_of(&preset[i]);
    }
    const snub_node *map = snub_read_map(reader, root, "limits", snub_limit_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "limits");
    for (int i = 0; i < SNUB_LIMITS_; i++) {
        if (read_limit(reader, map, &preset[i], &drive->limits[i]))
            drive->limits_place[i] = snub_node_get(map, limits[i].key)->place;
    }
    snub_leave(reader);
}
