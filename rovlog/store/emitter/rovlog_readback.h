/* What a surface box says it holds, as NMEA 0183 style sentences for rovlog.
 *
 * C99, no allocation, no floating point, no vendor header. See WIRE.txt beside this file.
 * Call rovlog_emit once a second with everything filled in; it hands the bytes to `put`, a sentence at
 * a time, and returns how many sentences it sent. It keeps nothing between calls.
 */
#ifndef ROVLOG_READBACK_H
#define ROVLOG_READBACK_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define ROVLOG_UNKNOWN (-1)  /* for power_limit, supply_mv and tenth_hours: the box does not know it */

enum rovlog_link { ROVLOG_LINK_UNKNOWN, ROVLOG_LINK_CONNECTED, ROVLOG_LINK_DISCONNECTED };
enum rovlog_outputs { ROVLOG_OUTPUTS_UNKNOWN, ROVLOG_OUTPUTS_ENABLED, ROVLOG_OUTPUTS_ISOLATED };

/* The order of the trims; positive is ahead, starboard, down, starboard side down, bow up, bow to starboard. */
enum { ROVLOG_SURGE, ROVLOG_SWAY, ROVLOG_HEAVE, ROVLOG_ROLL, ROVLOG_PITCH, ROVLOG_YAW, ROVLOG_DEMANDS };

struct rovlog_setup {
    uint32_t steering_scheme;            /* 0 to 999999 */
    uint32_t thruster_map;               /* 0 to 999999 */
    int32_t power_limit;                 /* thousandths of full, or ROVLOG_UNKNOWN */
    int32_t trim[ROVLOG_DEMANDS];        /* thousandths of full demand, -1000 to 1000 */
};

/* A further number that is set in the box: a name in lower case with its unit last, "ramp_ms". */
struct rovlog_number {
    const char *name;                    /* at most 24 characters */
    int32_t in_use;
    int32_t stored;
};

struct rovlog_state {
    const char *box;                     /* the id of its record in boxes/, at most 24 characters */
    const char *firmware;                /* as its record has it, at most 24 characters */
    uint32_t frame;                      /* one more with every frame, from 1 at each start */
    uint32_t boots;                      /* number of starts, kept through power-off */
    uint32_t uptime_s;                   /* seconds since this start */
    struct rovlog_setup in_use;          /* what steers now */
    struct rovlog_setup stored;          /* what the next start will use */
    int has_stored;                      /* 0: the box cannot say what is stored */
    enum rovlog_link link;               /* the hand controller's link */
    enum rovlog_outputs outputs;         /* the thrusters */
    int32_t supply_mv;                   /* supply voltage, or ROVLOG_UNKNOWN */
    int32_t tenth_hours;                 /* running hours times ten, or ROVLOG_UNKNOWN */
    const struct rovlog_number *numbers; /* or NULL */
    size_t number_count;                 /* at most 11: a frame has at most 32 sentences before its end */
};

/* Where the bytes go. `to` is passed through as it was given. */
typedef void (*rovlog_put)(void *to, const char *bytes, size_t count);

unsigned rovlog_emit(const struct rovlog_state *state, rovlog_put put, void *to);

/* CRC-32 as in ISO-HDLC; begin with 0. The nine characters 123456789 give CBF43926. */
uint32_t rovlog_crc32(uint32_t crc, const char *bytes, size_t count);

#ifdef __cplusplus
}
#endif

#endif
