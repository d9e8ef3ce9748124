/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "board.h"

#include "heard.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>
#include <util/delay.h>

/* An ATmega328P at 16 MHz. Port D: 0 and 1 serial, 2 and 3 echo of head and chest (or what
 * their modules send), 4 and 5 their triggers. Port C: 4 SDA, 5 SCL, let go or pulled low, never
 * driven high. */

enum { ECHO_0 = 2, ECHO_1 = 3, TRIGGER_0 = 4, TRIGGER_1 = 5, SDA = 4, SCL = 5, ROOM = 256 };

/* Timer 1 counts half microseconds; its overflows, 32.768 ms apart, are counted: in 32 bits, since
 * the microseconds are to come round at 32 and 16 of them would end them at 31. */
static volatile uint32_t overflows;

static struct heard_pin pins[BOARD_ECHO_CHANNELS];

static volatile char waiting[ROOM];
static volatile uint8_t head, tail; /* come round at ROOM by themselves */

ISR(TIMER1_OVF_vect)
{
    overflows++;
}

EMPTY_INTERRUPT(TIMER0_COMPA_vect) /* wakes the loop each millisecond */

/* An overflow that is not counted yet belongs to a small count. No shift but by bytes and by one:
 * others take longer here than an echo may be off. */
static uint32_t as_us(uint32_t high, bool uncounted, uint16_t count)
{
    if (uncounted && count < 0x8000) {
        high++;
    }
    uint32_t us = (high << 16 | count) >> 1;
    return high & 0x10000UL ? us | 0x80000000UL : us;
}

uint32_t board_micros(void)
{
    uint8_t before = SREG;
    cli(); /* no longer than need be: an edge waits */
    uint16_t count = TCNT1;
    bool uncounted = TIFR1 & _BV(TOV1);
    uint32_t high = overflows;
    SREG = before;
    return as_us(high, uncounted, count);
}

/* With interrupts off. */
static void edge(uint8_t channel, bool high, uint16_t count)
{
    heard_pin_edge(&pins[channel], high, as_us(overflows, TIFR1 & _BV(TOV1), count));
}

ISR(INT0_vect)
{
    uint16_t count = TCNT1;
    edge(0, PIND & _BV(ECHO_0), count);
}

ISR(INT1_vect)
{
    uint16_t count = TCNT1;
    edge(1, PIND & _BV(ECHO_1), count);
}

void board_trigger(uint8_t channel, bool high)
{
    uint8_t trigger = _BV(channel == 0 ? TRIGGER_0 : TRIGGER_1);
    if (high) {
        PORTD |= trigger;
    } else {
        PORTD &= (uint8_t)~trigger;
    }
}

void board_echo_begin(uint8_t channel)
{
    heard_pin_wait(&pins[channel]);
    board_trigger(channel, true);
    _delay_us(12);
    board_trigger(channel, false);
}

bool board_echo_ended(uint8_t channel, uint32_t *width_us, uint32_t *ended_us)
{
    return heard_pulse(&pins[channel], width_us, ended_us);
}

bool board_listen(uint8_t channel)
{
    bool listened = heard_pin_listen(&pins[channel]);
    if (!listened) {
        board_trigger(channel, true);
    }
    return listened;
}

bool board_heard(uint8_t channel, uint8_t *byte, uint32_t *began_us)
{
    uint8_t before = SREG;
    cli(); /* no edge between the time and what it is the time of */
    bool has = heard_byte(&pins[channel].bytes, board_micros(), byte, began_us);
    SREG = before;
    return has;
}

void board_bus_pull(enum board_line line, bool low)
{
    uint8_t bit = _BV(line == BOARD_SCL ? SCL : SDA);
    if (low) {
        DDRC |= bit; /* its output stays 0 */
    } else {
        DDRC &= (uint8_t)~bit;
    }
}

bool board_bus_is_high(enum board_line line)
{
    return PINC & _BV(line == BOARD_SCL ? SCL : SDA);
}

void board_bus_pause(void)
{
    _delay_us(5);
}

size_t board_serial_room(void)
{
    return ROOM - 1 - (uint8_t)(head - tail);
}

bool board_serial_idle(void)
{
    return head == tail && (UCSR0A & _BV(UDRE0));
}

ISR(USART_UDRE_vect)
{
    if (head == tail) {
        UCSR0B &= (uint8_t)~_BV(UDRIE0);
    } else {
        UDR0 = (uint8_t)waiting[tail++];
    }
}

void board_serial_write(const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        waiting[head] = bytes[i];
        head++;
    }
    UCSR0B |= _BV(UDRIE0);
}

void board_idle(void)
{
    sleep_mode();
}

void board_start(void)
{
    DDRD = _BV(1) | _BV(TRIGGER_0) | _BV(TRIGGER_1);
    PORTC = 0;
    UCSR0A = _BV(U2X0);
    UBRR0 = 16; /* 117647 baud: 2.1 % fast, as all boards with this crystal */
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UCSR0B = _BV(TXEN0);
    TCCR1B = _BV(CS11); /* 2 MHz */
    TIMSK1 = _BV(TOIE1);
    TCCR0A = _BV(WGM01);
    TCCR0B = _BV(CS01) | _BV(CS00); /* 250 kHz, 250 of them */
    OCR0A = 249;
    TIMSK0 = _BV(OCIE0A);
    EICRA = _BV(ISC00) | _BV(ISC10); /* both edges */
    EIMSK = _BV(INT0) | _BV(INT1);
    set_sleep_mode(SLEEP_MODE_IDLE);
    sei();
}
