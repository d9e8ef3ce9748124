# Holdline: see README.md for users, DEVELOPERS.md for contributors.
#   make demo     the live session on the virtual rig (installs what is missing)
#   make check    every test
#   make help     the other targets

.DEFAULT_GOAL := all
.DELETE_ON_ERROR:
SHELL := /bin/bash

BUILD   ?= build
PREFIX  ?= /usr/local
DESTDIR ?=
VERSION := 0.1.0

# What users need, and what contributors need on top (Debian's names).
DEPS := gcc libc6-dev pkg-config libncurses-dev libserialport-dev libsqlite3-dev check libgsl-dev \
        libvterm-dev
DEPS_DEV := clang clang-format clang-tidy cppcheck libclang-rt-14-dev lcov sqlite3

LAYERS := base measure bike rig record session store screen report app
CC     ?= cc
WARN   := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
          -Wformat=2 -Wundef
OPT    ?= -O2 -g
WERROR ?=
SAN    ?=
ALL_CFLAGS = -std=c11 -D_XOPEN_SOURCE=700 -D_DEFAULT_SOURCE -DNCURSES_WIDECHAR=1 \
         -DHOLDLINE_VERSION='"$(VERSION)"' -ffp-contract=off -Iinclude $(WARN) $(WERROR) $(OPT) $(SAN) \
         $(CFLAGS) -pthread -MMD -MP

# pkg-config is asked only when a recipe runs: on a bare machine it is not there when this is read.
pc = $(shell pkg-config --libs $(1) 2>/dev/null)
LIBS_measure = $(call pc,gsl) -lm
LIBS_rig     = $(call pc,libserialport)
LIBS_store   = $(call pc,sqlite3)
LIBS_screen  = $(call pc,ncursesw)
LIBS_ALL     = $(LIBS_measure) $(LIBS_rig) $(LIBS_store) $(LIBS_screen)

# src/<layer>/<module>.c -> $(BUILD)/<layer>/<module>.o -> $(BUILD)/lib<layer>.a
define layer_rules
OBJ_$(1) := $(patsubst src/%.c,$(BUILD)/%.o,$(filter-out src/app/main.c,$(wildcard src/$(1)/*.c)))
$(BUILD)/lib$(1).a: $$(OBJ_$(1))
	@rm -f $$@; ar rcs $$@ $$^
TESTS_$(1) := $(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/$(1)/test_*.c))
TESTS += $$(TESTS_$(1))
endef
$(foreach l,$(LAYERS),$(eval $(call layer_rules,$(l))))

# A layer is linked with itself and the layers below it; store, screen and report are neighbours.
ARCH_base    := base
ARCH_measure := measure base
ARCH_bike    := bike measure base
ARCH_rig     := rig bike measure base
ARCH_record  := record rig bike measure base
ARCH_session := session record rig bike measure base
ARCH_store   := store session record rig bike measure base
ARCH_screen  := screen session record rig bike measure base
ARCH_report  := report session record rig bike measure base
ARCH_app     := app store screen report session record rig bike measure base
# Libraries a layer's tests are linked with. Up to session neither sqlite3, curses nor libserialport
# is there, which proves that the middle stands alone (the serial link is a file of its own, linked
# only by app and by its own test).
TESTLIBS_base    := -lm
TESTLIBS_measure  = $(LIBS_measure)
TESTLIBS_bike     = $(LIBS_measure)
TESTLIBS_rig      = $(LIBS_measure)
TESTLIBS_record   = $(LIBS_measure)
TESTLIBS_session  = $(LIBS_measure)
TESTLIBS_store    = $(LIBS_measure) $(LIBS_store)
TESTLIBS_screen   = $(LIBS_measure) $(LIBS_screen) -lvterm
TESTLIBS_report   = $(LIBS_measure)
TESTLIBS_app      = $(LIBS_ALL) -lvterm

SUPPORT := $(patsubst tests/%.c,$(BUILD)/tests/%.o,$(wildcard tests/support/*.c))
PROGRAM_LIBS := $(patsubst %,$(BUILD)/lib%.a,$(ARCH_app))

.PHONY: all deps deps-dev demo check bench asan tsan coverage lint format install uninstall clean help \
        programs tests
all: $(BUILD)/holdline

$(BUILD)/holdline: $(BUILD)/app/main.o $(PROGRAM_LIBS)
	@echo "  link  $@"; $(CC) $(ALL_CFLAGS) -o $@ $^ $(LIBS_ALL)

$(BUILD)/%.o: src/%.c | deps
	@mkdir -p $(@D); echo "  cc    $<"; $(CC) $(ALL_CFLAGS) -c -o $@ $<

$(BUILD)/tests/%.o: tests/%.c | deps
	@mkdir -p $(@D); echo "  cc    $<"; $(CC) $(ALL_CFLAGS) -Itests -DSOURCE_DIR='"$(CURDIR)"' -DBUILD_DIR='"$(abspath $(BUILD))"' -c -o $@ $<

define test_rules
$(BUILD)/tests/$(1)/test_%: $(BUILD)/tests/$(1)/test_%.o $(SUPPORT) $(patsubst %,$(BUILD)/lib%.a,$(ARCH_$(1)))
	@$$(CC) $$(ALL_CFLAGS) -o $$@ $$^ $$(TESTLIBS_$(1)) $$(call pc,check)
.PHONY: check-$(1)
check-$(1): $$(TESTS_$(1))
	@tests/run.sh $$^
endef
$(foreach l,$(LAYERS),$(eval $(call test_rules,$(l))))
.SECONDARY:

tests: $(TESTS)
check: $(BUILD)/holdline $(TESTS)
	@HOLDLINE=$(abspath $(BUILD))/holdline tests/run.sh $(TESTS)

deps:
	@true

clean:
	@rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
