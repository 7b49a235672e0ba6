/* The sentences of a readback; see rovlog_readback.h and WIRE.txt. */
#include "rovlog_readback.h"

enum { LONGEST = 82, LONGEST_TEXT = 24, MOST_NUMBERS = 11 };

/* One sentence while it is put together. What does not fit is left out, never written past the end. */
struct line {
    char text[LONGEST];
    size_t length;
};

/* One frame while it is sent. */
struct frame {
    rovlog_put put;
    void *to;
    uint32_t crc;
    unsigned sent;
};

static const char hex_digits[] = "0123456789ABCDEF";

uint32_t rovlog_crc32(uint32_t crc, const char *bytes, size_t count)
{
    crc = ~crc;
    while (count-- > 0) {
        int bit;
        crc ^= (unsigned char)*bytes++;
        for (bit = 0; bit < 8; bit++) {
            crc = (crc >> 1) ^ ((crc & 1u) ? 0xEDB88320u : 0u);
        }
    }
    return ~crc;
}

static void add(struct line *line, char c)
{
    if (line->length < LONGEST - 5) { /* room for *hh, CR and LF */
        line->text[line->length++] = c;
    }
}

static void add_word(struct line *line, const char *word)
{
    while (*word != '\0') {
        add(line, *word++);
    }
}

/* A text that came from elsewhere: cut to length, and what cannot stand in a sentence becomes '_'. */
static void add_text(struct line *line, const char *text)
{
    static const char reserved[] = "$*,!\\^~";
    size_t count;
    add(line, ',');
    for (count = 0; text != NULL && text[count] != '\0' && count < LONGEST_TEXT; count++) {
        const char *r = reserved;
        char c = text[count];
        while (*r != '\0' && *r != c) {
            r++;
        }
        add(line, (*r != '\0' || c < ' ' || c > '}') ? '_' : c);
    }
}

static void add_unsigned(struct line *line, uint32_t value)
{
    char digits[10];
    int count = 0;
    do {
        digits[count++] = (char)('0' + value % 10u);
        value /= 10u;
    } while (value != 0u);
    while (count > 0) {
        add(line, digits[--count]);
    }
}

static void add_number(struct line *line, uint32_t value)
{
    add(line, ',');
    add_unsigned(line, value);
}

static void add_signed(struct line *line, int32_t value)
{
    add(line, ',');
    if (value < 0) {
        add(line, '-');
    }
    /* the magnitude of the least int32_t does not fit an int32_t, so it is taken as unsigned */
    add_unsigned(line, value < 0 ? 0u - (uint32_t)value : (uint32_t)value);
}

static void add_known(struct line *line, int32_t value)
{
    add(line, ',');
    if (value >= 0) {
        add_unsigned(line, (uint32_t)value);
    }
}

static void begin(struct line *line, const char *address, uint32_t frame)
{
    line->length = 0;
    add(line, '$');
    add_word(line, address);
    add_number(line, frame);
}

static void finish(struct line *line)
{
    unsigned char sum = 0;
    size_t i;
    for (i = 1; i < line->length; i++) {
        sum = (unsigned char)(sum ^ (unsigned char)line->text[i]);
    }
    line->text[line->length++] = '*';
    line->text[line->length++] = hex_digits[sum >> 4];
    line->text[line->length++] = hex_digits[sum & 15u];
    line->text[line->length++] = '\r';
    line->text[line->length++] = '\n';
}

static void send(struct frame *frame, struct line *line)
{
    finish(line);
    frame->crc = rovlog_crc32(frame->crc, line->text, line->length);
    frame->sent++;
    frame->put(frame->to, line->text, line->length);
}

static void send_setup(struct frame *frame, const struct rovlog_state *state,
                       const struct rovlog_setup *setup, int is_stored)
{
    struct line line;
    size_t i;
    begin(&line, is_stored ? "PRVLSTO" : "PRVLUSE", state->frame);
    add_number(&line, setup->steering_scheme);
    add_number(&line, setup->thruster_map);
    add_known(&line, setup->power_limit);
    send(frame, &line);
    begin(&line, is_stored ? "PRVLSTR" : "PRVLUTR", state->frame);
    for (i = 0; i < ROVLOG_DEMANDS; i++) {
        add_signed(&line, setup->trim[i]);
    }
    send(frame, &line);
    for (i = 0; state->numbers != NULL && i < state->number_count && i < MOST_NUMBERS; i++) {
        begin(&line, "PRVLVAL", state->frame);
        add_word(&line, is_stored ? ",STO" : ",USE");
        add_text(&line, state->numbers[i].name);
        add_signed(&line, is_stored ? state->numbers[i].stored : state->numbers[i].in_use);
        send(frame, &line);
    }
}

static const char *link_word(enum rovlog_link link)
{
    if (link == ROVLOG_LINK_CONNECTED) {
        return ",connected";
    }
    return link == ROVLOG_LINK_DISCONNECTED ? ",disconnected" : ",unknown";
}

static const char *outputs_word(enum rovlog_outputs outputs)
{
    if (outputs == ROVLOG_OUTPUTS_ENABLED) {
        return ",enabled";
    }
    return outputs == ROVLOG_OUTPUTS_ISOLATED ? ",isolated" : ",unknown";
}

static void send_end(struct frame *frame, uint32_t number)
{
    struct line line;
    int shift;
    begin(&line, "PRVLEND", number);
    add_number(&line, frame->sent);
    add(&line, ',');
    for (shift = 28; shift >= 0; shift -= 4) {
        add(&line, hex_digits[(frame->crc >> shift) & 15u]);
    }
    finish(&line);
    frame->put(frame->to, line.text, line.length);
}

unsigned rovlog_emit(const struct rovlog_state *state, rovlog_put put, void *to)
{
    struct frame frame;
    struct line line;
    frame.put = put;
    frame.to = to;
    frame.crc = 0;
    frame.sent = 0;
    begin(&line, "PRVLBOX", state->frame);
    add_number(&line, 1u); /* the version of this form */
    add_text(&line, state->box);
    add_text(&line, state->firmware);
    send(&frame, &line);
    begin(&line, "PRVLRUN", state->frame);
    add_number(&line, state->boots);
    add_number(&line, state->uptime_s);
    send(&frame, &line);
    send_setup(&frame, state, &state->in_use, 0);
    if (state->has_stored) {
        send_setup(&frame, state, &state->stored, 1);
    }
    begin(&line, "PRVLLNK", state->frame);
    add_word(&line, link_word(state->link));
    add_word(&line, outputs_word(state->outputs));
    send(&frame, &line);
    begin(&line, "PRVLSUP", state->frame);
    add_known(&line, state->supply_mv);
    add_known(&line, state->tenth_hours);
    send(&frame, &line);
    send_end(&frame, state->frame);
    return frame.sent + 1u;
}
