# SPDX-FileCopyrightText: 2026 The Holdline authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Holdline: see README.md for users, DEVELOPERS.md for contributors.
#
#   make             the program, left at build/holdline; installs nothing: what is missing is named
#   make demo        the live session on the virtual rig; without a terminal the scripted one, no screen
#   make check       every test;  make check TEST=hold  those of one name;  make check-LAYER  one layer's
#                    (base, measure, ... app)
#   make bench       what it costs: ratios on this machine
#   make study       how well the methods do on known truth (long)
#   make outcomes    what has moved since BASE=HEAD~1, of all that comes of made-up input, line by line
#   make recordings  the streams of sessions/, written anew by the virtual rig
#   make documents   the lists of keys and rules in docs/ and the pictures of the screens, written anew
#   make fuzz        random bytes at everything that reads from outside, FUZZ_SECONDS=60 each; with clang's
#                    libFuzzer one target for each dialect and the clock (FUZZ_TARGETS='bench clock');
#                    FUZZ_SANITIZED=no without the sanitizers, several times as fast
#   make fault       fault-calls, then fault-together (hours)
#   make fault-calls   each call of memory and disk fails once, command by command: what must hold, holds.
#                    PART=3/50 a share of each, MINUTES=10 as far as that goes, COUNT=20 SEED=7 some of each;
#                    KIND, HOW, CASE, AT leave only those
#   make fault-together   SEQUENCES=1000 live sessions in which clock, disk, memory, link and terminal fail together
#   make firmware    the rig of docs/rig/ for both boards, run on emulated ones (FIRMWARE_LINES=100000)
#   make soak        a live session of 24 h, a hundred times as fast: memory, files and threads stay as they are
#                    (SOAK_HOURS=1 SOAK_SPEED=1: an hour as it is)
#   make asan        every test with the address, leak and undefined-behaviour sanitizers
#   make tsan        every test with the thread sanitizer
#   make valgrind    a sample of the tests under valgrind (VALGRIND_TESTS= for others)
#   make coverage    which lines the tests ran: build-coverage/html/index.html
#   make mutate      small changes to rules, tables and code, one at a time: which does no test see?
#                    ROOM='measure bike' FILE='src/...' KIND='rules tables sample' SEED=1 COUNT=60 (long)
#   make lint        white space, warnings as errors with gcc and clang, clang-tidy, cppcheck, scripts, man page
#   make lint-32     warnings as errors as a machine of 32 bits sees the source (gcc-multilib)
#   make format      clang-format on every source file
#   make compile_commands.json   how each file is compiled, for editors
#   make dist        the source as one archive: the same files give the same bytes
#   make deb         a Debian package, looked at by lintian; both are left in build/
#   make install     into PREFIX=/usr/local (and DESTDIR=); make uninstall takes it away again
#   make deps        installs what building, testing and running need (demo and check do so, too, and say so);
#                    deps-dev  what lint and the rest need
#   make clean       takes away build and build-*
#
# Variables: CC=clang, BUILD=folder, OPT='-O2 -g', WERROR=-Werror, CPPFLAGS, CFLAGS, LDFLAGS, DEPS_CHECK=no (ask
# and install nothing).

.DEFAULT_GOAL := all
.DELETE_ON_ERROR:
MAKEFLAGS += --no-builtin-rules

BUILD   ?= build
PREFIX  ?= /usr/local
DESTDIR ?=
VERSION := 0.1.0
# The day of the version: the time of the files in make dist and in packages.
RELEASED := 2026-11-29

# Debian's names: to build, test and run; and what contributors need on top.
DEPS := gcc libc6-dev pkg-config libncurses-dev libserialport-dev libsqlite3-dev libminizip-dev check libgsl-dev \
        libvterm-dev libjsmn-dev libexpat1-dev libpango1.0-dev librsvg2-dev fonts-dejavu-core fonts-freefont-ttf \
        fonts-wqy-microhei poppler-utils gettext
DEPS_DEV := clang clang-format clang-tidy cppcheck libclang-rt-dev lcov shellcheck mandoc locales \
            python3-jsonschema sqlite3 valgrind appstream desktop-file-utils
# For make deb. What makes PDFs and loads when one is wanted is no part of the program: packages recommend it.
# For make firmware.
DEPS_FIRMWARE := gcc-avr avr-libc libsimavr-dev libelf-dev gcc-arm-none-eabi libnewlib-arm-none-eabi libunicorn-dev
DEPS_PACKAGE := build-essential debhelper dpkg-dev lintian
LOADED := libpangocairo-1.0-0 librsvg2-2 fonts-dejavu-core
DEPS_CHECK ?= yes

LAYERS := base measure bike rig record analysis say session store screen report app
CC     ?= cc
WARN   := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wstrict-prototypes -Wmissing-prototypes \
          -Wformat=2 -Wundef
OPT    ?= -O2 -g
WERROR ?=
SAN    ?=
LIBRARY ?= a
# Against what a crafted file or wire might find to misuse; a builder's own flags come behind these and win. Checks
# of the library's calls need an optimised build, and are the sanitizers' work where those are.
MACHINE := $(shell uname -m)
HARDEN_MACHINE := $(if $(filter x86_64 i%86,$(MACHINE)),-fcf-protection)$(if \
    $(filter aarch64,$(MACHINE)),-mbranch-protection=standard)
HARDEN_CALLS = $(if $(SAN)$(filter -O0,$(OPT) $(CFLAGS))$(findstring _FORTIFY_SOURCE,$(CPPFLAGS) $(CFLAGS)),,\
    -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2)
HARDEN_CFLAGS = -fPIE -fstack-protector-strong -fstack-clash-protection $(HARDEN_MACHINE) $(HARDEN_CALLS)
# Programs of shared objects, in which symbols may be missing (make mutate), are bound late.
HARDEN_LDFLAGS = $(if $(filter so,$(LIBRARY)),,-pie -Wl,-z,relro,-z,now)
ALL_CFLAGS = -std=c11 -D_XOPEN_SOURCE=700 -D_DEFAULT_SOURCE -D_FILE_OFFSET_BITS=64 -D_TIME_BITS=64 -DNCURSES_WIDECHAR=1 \
         -DHOLDLINE_VERSION='"$(VERSION)"' -DHOLDLINE_DOCUMENTS='"$(PREFIX)/share/doc/holdline"' -ffp-contract=off -Iinclude $(WARN) $(WERROR) $(HARDEN_CFLAGS) $(OPT) $(SAN) \
         $(CPPFLAGS) $(CFLAGS) -pthread -MMD -MP
TEST_CFLAGS = -Itests $(TEST_OPT)
# Only for the few tests that name them: the other objects are the same wherever the tree stands.
TEST_FOLDERS = -DSOURCE_DIR='"$(CURDIR)"' -DBUILD_DIR='"$(abspath $(BUILD))"'

# pkg-config is asked only when a recipe runs: on a bare machine it is not there when this is read.
pc = $(shell pkg-config --libs $(1) 2>/dev/null)
LIBS_measure = $(call pc,gsl) -lm
LIBS_rig     = $(call pc,libserialport) $(LIBS_ride)
# Of the readers of rides alone (src/rig/ride/).
LIBS_ride    = $(call pc,expat)
LIBS_store   = $(call pc,sqlite3)
LIBS_screen  = $(call pc,ncursesw)
# Headers that only src/report/pages/ sees (as system headers, so that they raise no warnings); the libraries
# are loaded when a PDF is made: linked, they would slow every start.
CFLAGS_pages = $(patsubst -I%,-isystem %,$(shell pkg-config --cflags pangocairo librsvg-2.0 2>/dev/null))
LIBS_app     = $(call pc,minizip)
LIBS_ALL     = $(LIBS_measure) $(LIBS_rig) $(LIBS_store) $(LIBS_screen) $(LIBS_app)
LIBS_vterm   = $(call pc,vterm)

# A layer is linked with itself and the layers below it; store, screen and report are neighbours.
ARCH_base    := base
ARCH_measure := measure base
ARCH_bike    := bike measure base
ARCH_rig     := rig bike measure base
ARCH_record  := record rig bike measure base
ARCH_analysis := analysis record rig bike measure base
ARCH_say     := say analysis record rig bike measure base
ARCH_session := session say analysis record rig bike measure base
ARCH_store   := store session say analysis record rig bike measure base
ARCH_screen  := screen session say analysis record rig bike measure base
ARCH_report  := report session say analysis record rig bike measure base
ARCH_app     := app store screen report session say analysis record rig bike measure base
# Libraries a layer's tests are linked with. Up to session neither sqlite3, curses nor libserialport
# is there, which proves that the middle stands alone (the serial link is a file of its own, linked
# only by app and by its own test).
TESTLIBS_base    := -lm
TESTLIBS_measure  = $(LIBS_measure)
TESTLIBS_bike     = $(LIBS_measure)
TESTLIBS_rig      = $(LIBS_measure) $(if $(findstring serial,$(@F)),$(LIBS_rig)) $(LIBS_ride)
TESTLIBS_record   = $(LIBS_measure)
TESTLIBS_analysis = $(LIBS_measure)
TESTLIBS_say      = $(LIBS_measure)
TESTLIBS_session  = $(LIBS_measure)
TESTLIBS_store    = $(LIBS_measure) $(LIBS_store)
TESTLIBS_screen   = $(LIBS_measure) $(LIBS_screen) $(LIBS_vterm)
TESTLIBS_report   = $(LIBS_measure)
TESTLIBS_app      = $(LIBS_ALL) $(LIBS_vterm)

.PHONY: all deps deps-dev demo check bench study outcomes outcome-programs fault fault-calls fault-together soak recordings documents fuzz mutate asan tsan valgrind coverage lint lint-gcc lint-clang \
        lint-format lint-32 lint-tidy lint-cppcheck lint-scripts lint-man lint-package format dist deb install uninstall \
        clean help \
        programs tests
all: $(BUILD)/holdline
PROGRAM_LIBS := $(ARCH_app:%=$(BUILD)/lib%.a)

# What is missing is looked for once (build/deps), and again when this file changes. Only demo and check install
# it; everything else names it and stops.
DEPS_MODE := $(if $(filter demo check check-%,$(MAKECMDGOALS)),,--ask)
$(BUILD)/deps: Makefile
	@[ "$(DEPS_CHECK)" = no ] || CC='$(CC)' .ci/deps.sh $(DEPS_MODE) $(DEPS)
	@mkdir -p $(@D); touch $@

# Objects are made again when the compiler or its options are others than last time.
FLAGS_NOW = $(strip $(CC) $(ALL_CFLAGS))
ifneq ($(strip $(file <$(BUILD)/flags)),$(FLAGS_NOW))
.PHONY: $(BUILD)/flags
endif
$(BUILD)/flags:
	@mkdir -p $(@D); printf '%s\n' '$(subst ','\'',$(FLAGS_NOW))' >$@

# src/<layer>/<module>.c or src/<layer>/<room>/<module>.c -> the same below $(BUILD), .o -> $(BUILD)/lib<layer>.a, where
# modules are told apart by their names alone; the list beside the archive sees that a file that was taken away
# leaves it.
define archive_rules
ifneq ($$(strip $$(file <$(BUILD)/lib$(1).list)),$$(strip $$(OBJ_$(1))))
.PHONY: $(BUILD)/lib$(1).list
endif
$(BUILD)/lib$(1).list:
	@mkdir -p $$(@D); echo '$$(OBJ_$(1))' >$$@
$(BUILD)/lib$(1).a: $(BUILD)/lib$(1).list $$(OBJ_$(1))
	@rm -f $$@; $$(AR) rcs $$@ $$(OBJ_$(1))
# The same as a shared object, for programs in which another one is to take a module's place (make mutate).
$(BUILD)/lib$(1).so: $(BUILD)/lib$(1).list $$(OBJ_$(1))
	@$$(CC) $$(ALL_CFLAGS) -shared -Wl,-soname,$$(@F) -o $$@ $$(OBJ_$(1))
OBJECTS += $$(OBJ_$(1))
endef
define layer_rules
OBJ_$(1) := $$(patsubst src/%.c,$(BUILD)/%.o,\
    $$(filter-out src/app/main.c,$$(wildcard src/$(1)/*.c src/$(1)/*/*.c)))
$(call archive_rules,$(1))
TESTS_$(1) := $$(patsubst tests/%.c,$(BUILD)/tests/%,$$(wildcard tests/$(1)/test_*.c))
TESTS += $$(TESTS_$(1))
OBJECTS += $$(TESTS_$(1):%=%.o)
$(BUILD)/tests/$(1)/test_%: $(BUILD)/tests/$(1)/test_%.o $(BUILD)/libsupport.a $(ARCH_$(1):%=$(BUILD)/lib%.$(LIBRARY))
	@echo "  link  $$@"; $$(CC) $$(ALL_CFLAGS) $$(HARDEN_LDFLAGS) $$(LDFLAGS) -o $$@ $$^ $$(TESTLIBS_$(1)) $$(call pc,check)
.PHONY: check-$(1) tests-$(1)
tests-$(1): $$(TESTS_$(1))
check-$(1): $$(TESTS_$(1)) $(if $(filter app,$(1)),$(BUILD)/holdline $(BUILD)/preload/faults.so)
	@HOLDLINE=$$(abspath $$(BUILD))/holdline sh tests/run.sh $$(TESTS_$(1))
endef
OBJECTS := $(BUILD)/app/main.o
TESTS :=
# What stands before the C library's own memory is linked only with the tests that ask for it.
SCARCE := $(BUILD)/tests/support/scarce_memory.o
OBJECTS += $(SCARCE)
$(patsubst tests/%.c,$(BUILD)/tests/%,$(wildcard tests/*/test_scarce_memory.c)): $(SCARCE)
OBJ_support := $(filter-out $(SCARCE),$(patsubst tests/%.c,$(BUILD)/tests/%.o,$(wildcard tests/support/*.c)))
OBJ_mutate := $(patsubst tests/%.c,$(BUILD)/tests/%.o,$(filter-out %/mutate.c,$(wildcard tests/mutate/*.c)))
$(eval $(call archive_rules,support))
$(eval $(call archive_rules,mutate))
$(foreach l,$(LAYERS),$(eval $(call layer_rules,$(l))))

# Its own calls for memory are watched (src/app/memory_noted.c).
comma := ,
NOTED_LDFLAGS := $(foreach f,malloc calloc realloc strdup realpath,-Wl$(comma)--wrap=$(f))
$(BUILD)/holdline: $(BUILD)/app/main.o $(PROGRAM_LIBS)
	@echo "  link  $@"; $(CC) $(ALL_CFLAGS) $(HARDEN_LDFLAGS) $(NOTED_LDFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS_ALL)

$(BUILD)/%.o: src/%.c $(BUILD)/flags | $(BUILD)/deps
	@mkdir -p $(@D); echo "  cc    $<"; \
	$(CC) $(ALL_CFLAGS) $(if $(findstring /pages/,$<),$(CFLAGS_pages)) $(if $(findstring /languages/,$<),$(CFLAGS_languages)) -c -o $@ $<

# What riders read, in other languages: catalogues, checked and compiled, that stand in the program as bytes.
CATALOGUES := $(patsubst src/report/languages/%.po,$(BUILD)/languages/%.mo.h,$(wildcard src/report/languages/*.po))
CFLAGS_languages = -I$(BUILD)/languages
$(BUILD)/languages/%.mo.h: src/report/languages/%.po | $(BUILD)/deps
	@mkdir -p $(@D); echo "  mo    $<"; msgfmt --check -o $(@:.h=) $< && \
	od -An -v -tx1 $(@:.h=) | sed 's/ \(..\)/0x\1,/g' >$@
$(BUILD)/report/languages/languages.o: $(CATALOGUES)

# A package has the schema of its JSON in it. ccache does not see what the assembler takes in: not through it.
$(BUILD)/app/sessions/package_schema.o: docs/export.schema.json
$(BUILD)/app/sessions/package_schema.o: override CC := $(filter-out ccache,$(CC))

$(BUILD)/tests/%.o: tests/%.c $(BUILD)/flags | $(BUILD)/deps
	@mkdir -p $(@D); echo "  cc    $<"; $(CC) $(ALL_CFLAGS) $(TEST_CFLAGS) \
	$(if $(shell grep -l 'SOURCE_DIR\|BUILD_DIR' $<),$(TEST_FOLDERS)) -c -o $@ $<

# Changes to the program, one at a time (tests/mutate/mutate.c): the changed module is preloaded into test programs
# that are linked to shared objects.
MUTATE := $(BUILD)/tests/mutate/mutate
OBJECTS += $(MUTATE).o
$(BUILD)/tests/base/test_mutate: $(BUILD)/libmutate.a
$(MUTATE): $(MUTATE).o $(BUILD)/libmutate.a
	@echo "  link  $@"; $(CC) $(ALL_CFLAGS) $(HARDEN_LDFLAGS) $(LDFLAGS) -o $@ $^

# Programs beside the tests, one a file, linked with everything: costs, studies, random input.
define extra_rules
EXTRA_$(1) := $$(patsubst tests/%.c,$(BUILD)/tests/%,$$(wildcard tests/$(1)/*.c))
OBJECTS += $$(EXTRA_$(1):%=%.o)
$(BUILD)/tests/$(1)/%: $(BUILD)/tests/$(1)/%.o $(BUILD)/libsupport.a $(PROGRAM_LIBS)
	@echo "  link  $$@"; $$(CC) $$(ALL_CFLAGS) $$(HARDEN_LDFLAGS) $$(LDFLAGS) -o $$@ $$^ $$(LIBS_ALL) $$(LIBS_vterm) $$(call pc,check)
endef
$(foreach f,bench study fuzz show recordings fault soak outcomes,$(eval $(call extra_rules,$(f))))

# What is preloaded into the program by tests.
PRELOADED := $(BUILD)/preload/faults.so
$(BUILD)/preload/%.so: tests/preload/%.c $(BUILD)/flags | $(BUILD)/deps
	@mkdir -p $(@D); echo "  cc    $<"; $(CC) $(filter-out $(SAN) -fPIE,$(ALL_CFLAGS)) $(TEST_CFLAGS) -fPIC -shared -o $@ $< -ldl
.SECONDARY:

tests: $(TESTS) $(PRELOADED)
programs: $(BUILD)/holdline $(TESTS) $(MUTATE) $(EXTRA_bench) $(EXTRA_study) $(EXTRA_fuzz) $(EXTRA_show) $(EXTRA_recordings) $(EXTRA_fault) $(EXTRA_soak) $(EXTRA_outcomes)

# The long ones are higher up: begun first, they don't leave one core idle at the end.
LONG_FIRST := $(foreach l,app session report store screen analysis say rig measure bike record base,$(TESTS_$(l)))
TESTS_WANTED := $(if $(TEST),$(filter %/$(TEST:test_%=%) %/test_$(TEST:test_%=%),$(LONG_FIRST)),\
    $(if $(TESTS_ONLY),$(filter $(TESTS_ONLY:%=$(BUILD)/tests/%),$(LONG_FIRST)),$(LONG_FIRST)))
ifneq ($(TEST),)
ifeq ($(TESTS_WANTED),)
$(error there is no test_$(TEST:test_%=%).c in tests/)
endif
endif
# TESTS_WITHOUT=layer/test_name ... leaves some out.
TESTS_RUN = $(filter-out $(TESTS_WITHOUT:%=$(BUILD)/tests/%),$(TESTS_WANTED))
check: $(BUILD)/holdline $(TESTS_RUN) $(PRELOADED)
	@HOLDLINE=$(abspath $(BUILD))/holdline sh tests/run.sh $(TESTS_RUN)

demo: $(BUILD)/holdline
	@if [ -t 0 ] && [ -t 1 ]; then exec $(BUILD)/holdline demo; \
	else exec $(BUILD)/holdline demo --headless; fi

# Each is run, also when one before it could not measure or missed a goal.
bench: $(BUILD)/holdline $(EXTRA_bench)
	@not=; for program in $(EXTRA_bench); do \
	    HOLDLINE=$(abspath $(BUILD))/holdline $$program || not="$$not $${program##*/}"; done; \
	uptime; [ -z "$$not" ] || { echo "not as wanted:$$not"; exit 1; }

# Every call of memory and disk fails once, command by command; COUNT=20 SEED=7 some of each,
# KIND=disk HOW=once CASE='store check' AT=12 those alone. PART=1/50 to PART=50/50 together are all.
FAULT_SETTINGS := KIND HOW CASE AT SEED COUNT PART MINUTES SEQUENCES JOBS
FAULT_RUN = $(foreach s,$(FAULT_SETTINGS),$(if $($(s)),$(s)='$($(s))')) $(BUILD)/tests/fault/$(1) $(BUILD)/holdline \
    $(BUILD)/preload/faults.so sessions
fault: fault-calls
	@$(MAKE) --no-print-directory fault-together
fault-calls: $(BUILD)/holdline $(EXTRA_fault) $(PRELOADED)
	@$(call FAULT_RUN,fault)

# Clock, disk, memory, link and terminal fail together in live sessions: SEQUENCES=1000 of them from SEED=1 on.
fault-together: $(BUILD)/holdline $(EXTRA_fault) $(PRELOADED)
	@$(call FAULT_RUN,together)

# A day of a live session in a quarter of an hour; SOAK_HOURS=1 SOAK_SPEED=1 an hour as it is.
soak: $(BUILD)/holdline $(EXTRA_soak)
	@HOLDLINE=$(abspath $(BUILD))/holdline $(BUILD)/tests/soak/soak

# BASE=HEAD~3 is the other revision.
outcome-programs: $(EXTRA_outcomes)
outcomes: $(EXTRA_outcomes)
	+@sh tests/outcomes/compare.sh $(or $(BASE),HEAD) $(BUILD)/outcomes $(EXTRA_outcomes)

# STUDY=targets runs one of them; STUDY=holds ROW='a step' the rows of it with these words.
STUDIES = $(if $(STUDY),$(filter %/$(STUDY),$(EXTRA_study)),$(EXTRA_study))
study: $(STUDIES)
	@for program in $(STUDIES); do $$program || exit 1; done

# The streams of sessions/, written anew by the virtual rig.
recordings: $(EXTRA_recordings)
	@$(BUILD)/tests/recordings/make_recordings sessions

# The parts of docs/ that the program makes (tests/support/made_parts.h).
documents: $(BUILD)/tests/show/made_parts
	@$<

FUZZ_SECONDS ?= 60
fuzz:
	@$(MAKE) --no-print-directory BUILD=build-asan OPT='-O1 -g' SAN='$(SAN_ADDRESS)' fuzz-run
.PHONY: fuzz-run
fuzz-run: $(EXTRA_fuzz)
	@for program in $(EXTRA_fuzz); do FUZZ_SECONDS=$(FUZZ_SECONDS) $$program || exit 1; done
	@tests/fuzz/libfuzzer.sh there || exit 0; \
	if [ '$(FUZZ_SANITIZED)' = no ]; then \
	    $(MAKE) --no-print-directory BUILD=build-fuzz-plain CC=clang OPT='-O2 -g' SAN=-fsanitize=fuzzer-no-link libfuzzer-run; \
	else \
	    $(MAKE) --no-print-directory BUILD=build-fuzz CC=clang OPT='-O1 -g' \
	        SAN='-fsanitize=fuzzer-no-link $(SAN_ADDRESS)' libfuzzer-run; \
	fi

# libFuzzer's targets are one program; what it finds is left in build-fuzz/found.
FUZZ_TARGETS ?= $(notdir $(wildcard tests/fuzz/corpus/*))
FUZZER := $(BUILD)/tests/fuzz/libfuzzer/one_target
OBJECTS += $(FUZZER).o
$(FUZZER): $(FUZZER).o $(BUILD)/libsupport.a $(PROGRAM_LIBS)
	@echo "  link  $@"; $(CC) $(ALL_CFLAGS) -fsanitize=fuzzer $(HARDEN_LDFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS_ALL) $(call pc,check)
.PHONY: libfuzzer-run
libfuzzer-run: $(FUZZER)
	@for target in $(FUZZ_TARGETS); do \
	    tests/fuzz/libfuzzer.sh run $(FUZZER) $$target $(FUZZ_SECONDS) $(BUILD)/found || exit 1; done

# The rig of docs/rig/, built for its boards and run on emulated ones.
FIRMWARE_LINES ?= 2000
FIRMWARE_TESTED := tests/firmware/emulated.c tests/support/bus_module.c tests/support/serial_module.c
firmware: $(ARCH_rig:%=$(BUILD)/lib%.a)
	@[ "$(DEPS_CHECK)" = no ] || .ci/deps.sh $(DEPS_FIRMWARE)
	@mkdir -p $(BUILD)/firmware
	@for board in avr m0; do \
	    case $$board in avr) emulator='-isystem /usr/include/simavr -lsimavr -lelf' ;; *) emulator=-lunicorn ;; esac; \
	    $(CC) $(filter-out -MMD -MP,$(ALL_CFLAGS)) $(TEST_CFLAGS) -o $(BUILD)/firmware/emulate_$$board \
	        tests/firmware/emulate_$$board.c $(FIRMWARE_TESTED) $(ARCH_rig:%=$(BUILD)/lib%.a) $$emulator $(LIBS_measure) || exit 1; \
	    for kind in echoes modules serial; do \
	        case $$kind in \
	        modules) name=rig-$$board-modules; set -- MODULES=yes ;; \
	        serial) name=rig-$$board-serial; set -- SERIAL=yes ;; \
	        *) name=rig-$$board; set -- ;; \
	        esac; \
	        $(MAKE) --no-print-directory -s -C docs/rig BUILD=$(abspath $(BUILD))/firmware $$board "$$@" >/dev/null && \
	        $(BUILD)/firmware/emulate_$$board $(BUILD)/firmware/$$name.elf $$kind $(FIRMWARE_LINES) || exit 1; \
	    done; \
	done

SAN_ADDRESS := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
# The tests' own files are not optimised here, which halves the time to compile them; the program is.
asan:
	@CK_TIMEOUT_MULTIPLIER=5 ASAN_OPTIONS=detect_leaks=1:abort_on_error=0 \
	LSAN_OPTIONS=suppressions=$(CURDIR)/tests/leaks.txt:print_suppressions=0 \
	UBSAN_OPTIONS=print_stacktrace=1 \
	$(MAKE) --no-print-directory BUILD=build-asan OPT='-O1 -g1' TEST_OPT=-O0 SAN='$(SAN_ADDRESS)' check

# The tests in which threads are started, by themselves or by the program that they run; not those of commands that
# only work out and write. TSAN_TESTS= runs all. The thread sanitizer's memory map does not fit every kernel's
# address randomisation: off where it may be.
STARTS_THREADS := pthread_create|terminal_start|"app/(live|recorder|worker|links)|store/look_over|"rig/(link|port)|"(run|resume|watch|listen)"
TSAN_TESTS = $(filter-out $(ALONE:%=app/test_%),$(shell cd tests && grep -lE '$(STARTS_THREADS)' */test_*.c | sed 's/\.c$$//'))
ALONE := interrupt export_commands across measure plan
tsan:
	@CK_TIMEOUT_MULTIPLIER=10 TSAN_OPTIONS=halt_on_error=1:second_deadlock_stack=1:suppressions=$(CURDIR)/tests/races.txt \
	$$(setarch -R true 2>/dev/null && echo setarch -R) \
	$(MAKE) --no-print-directory BUILD=build-tsan OPT='-O2 -g1' SAN=-fsanitize=thread TESTS_ONLY='$(TSAN_TESTS)' check

# A sample of the tests under valgrind: each layer's plain work, the store, a whole session, exports. Programs that a
# test starts are not looked into. VALGRIND_TESTS= for others; an hour or more for all.
VALGRIND_TESTS ?= base/test_json_read base/test_words base/test_ring measure/test_hold measure/test_compare bike/test_tie \
    rig/test_decoder rig/test_fuzz_corpus record/test_record analysis/test_hold_use say/test_say session/test_machine \
    session/test_journal store/test_store store/test_merge report/test_csv report/test_json report/test_text
VALGRIND = valgrind --quiet --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite --child-silent-after-fork=no
valgrind: $(VALGRIND_TESTS:%=$(BUILD)/tests/%)
	@for test in $^; do echo "== $$test"; \
	    CK_FORK=no CK_TIMEOUT_MULTIPLIER=50 $(VALGRIND) $$test || exit 1; done

# Where memory lacks, what writes the counts crashes at the end.
coverage: deps-dev
	@$(MAKE) --no-print-directory BUILD=build-coverage OPT='-O0 -g' SAN=--coverage programs
	@find build-coverage -name '*.gcda' -exec rm -f {} +
	@$(MAKE) --no-print-directory BUILD=build-coverage OPT='-O0 -g' SAN=--coverage check \
	    TESTS_WITHOUT='app/test_faults app/test_faults_together'
	@.ci/coverage.sh build-coverage

mutate:
	@$(MAKE) --no-print-directory BUILD=build-mutate LIBRARY=so OPT='-O1 -fPIC' \
	    LDFLAGS='-Wl,-rpath,$(abspath build-mutate) -Wl,--unresolved-symbols=ignore-in-shared-libs' mutate-run
# What the sanitizers of 'make asan' would see ends a changed program, too: an index past its array, also where that
# stands last in its struct, which the address sanitizer would find behind the variable.
MUTATE_TRAPS := -fsanitize=undefined -fsanitize-undefined-trap-on-error \
    $(if $(findstring clang,$(CC)),-fstrict-flex-arrays=3,-fsanitize=bounds-strict)
MUTATE_SETTINGS := BUILD FILE ROOM KIND SEED COUNT SECONDS LONGEST JOBS FRESH WITHOUT
MUTATE_RUN = $(MUTATE) $(foreach s,$(MUTATE_SETTINGS),$(if $($(s)),$(s)='$($(s))'))
.PHONY: mutate-run
mutate-run: $(MUTATE)
	@layers=$$($(MUTATE) layers $(wordlist 2,99,$(MUTATE_RUN))) || exit 1; \
	[ -z "$$layers" ] || $(MAKE) BUILD=$(BUILD) $$(printf ' tests-%s' $$layers) >$(BUILD)/made || { cat $(BUILD)/made; exit 1; }; \
	MUTATE_CC='$(subst ','\'',$(filter-out ccache,$(CC)) $(filter-out -MMD -MP,$(ALL_CFLAGS)) $(CFLAGS_pages) $(CFLAGS_languages)) $(MUTATE_TRAPS) -O0 -w -shared' $(MUTATE_RUN)

# Linters ------------------------------------------------------------------------------------------------
HEADERS := $(wildcard include/*/*.h src/*/*.h src/*/*/*.h tests/*/*.h docs/rig/*.h)
SOURCES := $(wildcard src/*/*.c src/*/*/*.c tests/*/*.c tests/*/*/*.c docs/rig/*.c)
# What takes a board's compiler or an emulator's headers (make firmware).
BOARDS := $(wildcard docs/rig/*.c) tests/firmware/emulate_avr.c tests/firmware/emulate_m0.c
SCRIPTS := $(wildcard .ci/run .ci/*.sh .package/*.sh tests/*.sh tests/*/*.sh docs/completions/holdline.bash)
MANPAGE := docs/holdline.1

# What clang and clang-tidy look at; .ci/run leaves out what it has looked at otherwise, or lately.
CLANG_SOURCES ?= $(SOURCES)
TIDY_SOURCES ?= $(SOURCES)

lint: lint-format lint-gcc lint-clang lint-tidy lint-cppcheck lint-scripts lint-man lint-package
lint-format: deps-dev
	@echo "clang-format"; clang-format --dry-run -Werror $(HEADERS) $(SOURCES)
lint-gcc: deps-dev
	@echo "gcc -Werror"; $(MAKE) --no-print-directory BUILD=build-gcc CC=gcc WERROR=-Werror programs
# Later versions of clang have that warning in -Wextra.
lint-clang: deps-dev $(CATALOGUES)
	@echo "clang -Werror"; printf '%s\n' $(filter-out $(BOARDS),$(CLANG_SOURCES)) | xargs -P 2 -n 8 clang -Werror \
	    -Wenum-float-conversion -fsyntax-only \
	    $(filter-out -MMD -MP,$(ALL_CFLAGS)) $(TEST_CFLAGS) $(TEST_FOLDERS) $(CFLAGS_pages) $(CFLAGS_languages)
# On an x86 machine: its headers, and a word of 32 bits.
lint-32: $(CATALOGUES)
	@[ "$(DEPS_CHECK)" = no ] || .ci/deps.sh $(DEPS) gcc-multilib
	@echo "gcc -m32 -Werror"; printf '%s\n' $(filter-out $(BOARDS),$(CLANG_SOURCES)) | xargs -P 2 -n 8 gcc -m32 -Werror -fsyntax-only \
	    $(filter-out -MMD -MP,$(ALL_CFLAGS)) $(TEST_CFLAGS) $(TEST_FOLDERS) $(CFLAGS_pages) $(CFLAGS_languages)
lint-tidy: deps-dev $(CATALOGUES)
	@echo "clang-tidy"; printf '%s\n' $(filter-out $(BOARDS),$(TIDY_SOURCES)) | xargs -r -P 2 -n 1 sh -c 'clang-tidy --quiet "$$@" -- \
	    $(subst ','\'',$(filter-out -MMD -MP,$(ALL_CFLAGS)) $(TEST_CFLAGS) $(TEST_FOLDERS) $(CFLAGS_pages) $(CFLAGS_languages)) 2>/dev/null' tidy
# Its advice on functions that are not made for threads is for programs that call them in several. It takes a
# mapping without a file for a bad descriptor, a static buffer for a dangling one, and -1 for no argument. It
# takes what _Generic asks the type of for something that is read.
CPPCHECK_OFF := missingIncludeSystem readdirCalled getgrnamCalled getgrgidCalled getpwuidCalled \
                strtokCalled invalidFunctionArg:tests/* returnDanglingLifetime:tests/* autoVariables:src/app/* \
                nullPointer:tests/base/test_member.c
lint-cppcheck: deps-dev
	@echo "cppcheck"; cppcheck --quiet --std=c11 --error-exitcode=1 --inline-suppr -j 2 \
	    --enable=warning,performance,portability $(CPPCHECK_OFF:%=--suppress=%) \
	    --library=posix -Iinclude -Itests -DHOLDLINE_VERSION='"0"' -DHOLDLINE_DOCUMENTS='""' -DSOURCE_DIR='""' -DBUILD_DIR='""' \
	    src tests
lint-scripts: deps-dev
	@echo "shellcheck"; shellcheck $(SCRIPTS)
lint-man: deps-dev
	@echo "mandoc -Tlint"; mandoc -Tlint -W warning $(MANPAGE)

# What a package says of the program, and that the same source gives the same archive.
lint-package: deps-dev
	@echo "package"; rm -rf $(BUILD)/package; $(MAKE) --no-print-directory -s install DESTDIR=$(BUILD)/package
	@cd $(BUILD)/package$(PREFIX)/share && desktop-file-validate applications/holdline.desktop && \
	    appstreamcli validate --no-net --pedantic metainfo/$(METAINFO) >said || { cat said; exit 1; }
	@for once in first second; do $(MAKE) -s dist BUILD=$(BUILD)/package/$$once >/dev/null || exit 1; done
	@cmp $(BUILD)/package/first/*.tar.gz $(BUILD)/package/second/*.tar.gz

format: deps-dev
	@clang-format -i $(HEADERS) $(SOURCES)

# Packages, putting in place, taking away ------------------------------------------------------------------
deps:
	@.ci/deps.sh $(DEPS)
deps-dev:
	@[ "$(DEPS_CHECK)" = no ] || .ci/deps.sh $(DEPS) $(DEPS_DEV)

SHARE := $(DESTDIR)$(PREFIX)/share
# What the program's words, the man page and the documents themselves point at, in the same folders as here.
DOCUMENTS := README.md NEWS LICENSE $(wildcard docs/*.md docs/*.json docs/rig/* sessions/*.* sessions/wire/*)
DOCUMENTS_FOLDER = $(SHARE)/doc/holdline
METAINFO := org.holdline.holdline.metainfo.xml
UDEV = $(DESTDIR)$(PREFIX)/lib/udev/rules.d
install: $(BUILD)/holdline
	install -d $(DESTDIR)$(PREFIX)/bin $(SHARE)/man/man1 $(SHARE)/bash-completion/completions \
	    $(SHARE)/zsh/site-functions $(SHARE)/fish/vendor_completions.d \
	    $(DOCUMENTS_FOLDER)/docs/rig $(DOCUMENTS_FOLDER)/sessions/wire $(SHARE)/applications \
	    $(SHARE)/icons/hicolor/scalable/apps $(SHARE)/metainfo $(UDEV)
	for file in $(DOCUMENTS); do install -m 644 $$file $(DOCUMENTS_FOLDER)/$$file || exit 1; done
	install -m 755 $(BUILD)/holdline $(DESTDIR)$(PREFIX)/bin/holdline
	install -m 644 docs/holdline.1 $(SHARE)/man/man1/holdline.1
	install -m 644 docs/completions/holdline.bash $(SHARE)/bash-completion/completions/holdline
	install -m 644 docs/completions/_holdline $(SHARE)/zsh/site-functions/_holdline
	install -m 644 docs/completions/holdline.fish $(SHARE)/fish/vendor_completions.d/holdline.fish

	install -m 644 .package/holdline.desktop $(SHARE)/applications/holdline.desktop
	install -m 644 .package/holdline.svg $(SHARE)/icons/hicolor/scalable/apps/holdline.svg
	sed 's/@VERSION@/$(VERSION)/; s/@RELEASED@/$(RELEASED)/' .package/$(METAINFO).in >$(SHARE)/metainfo/$(METAINFO)
	chmod 644 $(SHARE)/metainfo/$(METAINFO)
	install -m 644 .package/60-holdline.rules $(UDEV)/60-holdline.rules

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/holdline $(SHARE)/man/man1/holdline.1 \
	    $(SHARE)/bash-completion/completions/holdline $(SHARE)/zsh/site-functions/_holdline \
	    $(SHARE)/fish/vendor_completions.d/holdline.fish $(SHARE)/applications/holdline.desktop \
	    $(SHARE)/icons/hicolor/scalable/apps/holdline.svg $(SHARE)/metainfo/$(METAINFO) $(UDEV)/60-holdline.rules
	rm -rf $(DOCUMENTS_FOLDER)

ARCHIVE := $(BUILD)/holdline-$(VERSION).tar.gz
dist:
	@.package/dist.sh holdline-$(VERSION) $(RELEASED) $(ARCHIVE)
deb: dist
	@[ "$(DEPS_CHECK)" = no ] || .ci/deps.sh $(DEPS) $(DEPS_PACKAGE)
	@.package/deb.sh $(ARCHIVE) $(VERSION) $(RELEASED) '$(DEPS)' '$(LOADED)'

# How each file is compiled (a compilation database), for editors and clangd.
compile_commands.json: Makefile $(SOURCES)
	@.ci/compile_commands.sh '$(subst ','\'',$(CC) $(filter-out -MMD -MP,$(ALL_CFLAGS)) $(TEST_CFLAGS) $(TEST_FOLDERS) \
	    $(CFLAGS_pages) $(CFLAGS_languages))' $(filter-out $(BOARDS),$(SOURCES)) >$@

clean:
	@rm -rf $(BUILD) build-asan build-tsan build-coverage build-gcc build-clang build-mutate

help:
	@sed -n 's/^#   //p' Makefile

-include $(OBJECTS:.o=.d) $(OBJ_support:.o=.d) $(OBJ_mutate:.o=.d)
