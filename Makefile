# Settings that you may change on the command line; nothing to change below the line of dashes.
BUILD    = build
OUT      = out
CC       = cc
CFLAGS   = -O2 -g
LDFLAGS  =
AR       = ar
OBJCOPY  = objcopy
STRIP    = strip
INSTALL  = install
INSTALL_PROGRAM = $(INSTALL) -m 755
INSTALL_DATA    = $(INSTALL) -m 644
SOUND   := $(shell pkg-config --exists fluidsynth sndfile libebur128 2>/dev/null && echo 1 || echo 0)
SANITIZE = -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
FUZZ_SECONDS = 60
AUDIT_LESSONS = 10000
# STRICT=1: warnings are errors, as in `make test`. The environment may set it.
STRICT  ?=
# V=1: shows each command.
V =
# Where things are installed, by the names of the GNU Coding Standards (7.2.5).
DESTDIR  =
PREFIX   = /usr/local
prefix   = $(PREFIX)
exec_prefix = $(prefix)
bindir   = $(exec_prefix)/bin
libdir   = $(exec_prefix)/lib
includedir = $(prefix)/include
datarootdir = $(prefix)/share
mandir   = $(datarootdir)/man
man1dir  = $(mandir)/man1
man3dir  = $(mandir)/man3
man5dir  = $(mandir)/man5
man7dir  = $(mandir)/man7
pkgconfigdir = $(libdir)/pkgconfig
# ---------------------------------------------------------------------------------------------

# `make -f PATH/Makefile` from another folder puts $(BUILD) and $(OUT) into that folder.
HERE := $(dir $(lastword $(MAKEFILE_LIST)))
ifneq ($(filter-out ./ $(CURDIR)/,$(HERE)),)
.PHONY: $(or $(MAKECMDGOALS),all) from-elsewhere
$(or $(MAKECMDGOALS),all): from-elsewhere ; @:
from-elsewhere:
	@$(MAKE) --no-print-directory -C $(HERE) $(MAKECMDGOALS) BUILD='$(abspath $(BUILD))' OUT='$(abspath $(OUT))'
else

VERSION  := $(shell sed -n 's/^\#define RATAMARK_VERSION "\(.*\)"/\1/p' include/ratamark.h 2>/dev/null)
SONAME   := libratamark.so.0
PACKAGES  = cairo cairo-pdf cairo-svg cairo-ft pangocairo pangoft2 harfbuzz yaml-0.1 jansson gmp freetype2 fontconfig zlib
WARNINGS  = -Wall -Wextra -Wpedantic -Wshadow -Wconversion $(if $(filter 1,$(STRICT)),-Werror)
# Keeps paths of this machine out of the files: the same sources give the same bytes in any folder.
NO_PATHS  = -ffile-prefix-map=$(CURDIR)=. -ffile-prefix-map=$(abspath $(BUILD))=build
DIALECT   = -std=c17 -D_XOPEN_SOURCE=700 -Isrc -Iinclude -fPIC -fvisibility=hidden $(WARNINGS)
COMPILE   = $(DIALECT) $(NO_PATHS)
LIBRARY_CFLAGS := $(shell pkg-config --cflags $(PACKAGES) 2>/dev/null | sed 's/-I/-isystem /g')
MSGFMT         := $(shell command -v msgfmt 2>/dev/null)
PACKAGE_LIBS   := $(shell pkg-config --libs $(PACKAGES) 2>/dev/null)
# The loader searches one library after the other for a symbol. A process starts sooner if those that
# all others call come first.
LIBRARY_LIBS   := -lc -lglib-2.0 -lgobject-2.0 $(PACKAGE_LIBS) -lm
SOUND_CFLAGS   := $(shell pkg-config --cflags-only-I fluidsynth sndfile libebur128 2>/dev/null | sed 's/-I/-isystem /g')
SOUND_LIBS     := $(shell pkg-config --libs fluidsynth sndfile libebur128 2>/dev/null)
CHECK_CFLAGS   := $(shell pkg-config --cflags check 2>/dev/null | sed 's/-I/-isystem /g')
CHECK_LIBS     := $(shell pkg-config --libs check 2>/dev/null)
PYTHON         := $(shell for p in /usr/bin/python3 python3; do $$p -c 'import fontTools' 2>/dev/null && echo $$p && break; done)

# Hardening, for what is installed. glibc checks sizes only in optimized code, and warns in other code.
ELF         := $(filter-out Darwin,$(shell uname))
HARDEN       = -fstack-protector-strong $(if $(ELF),-fstack-clash-protection) \
               $(if $(filter -O0,$(CFLAGS)),,-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2)
HARDEN_LINK  = $(if $(ELF),-Wl$(comma)-z$(comma)relro$(comma)-z$(comma)now$(comma)-z$(comma)noexecstack)
HARDEN_PROGRAM = $(HARDEN_LINK) $(if $(ELF),-pie)
comma := ,

# Folders above src/lib are the command; src/audio is a module; the rest is the library.
sources          = $(sort $(wildcard $(1)))
COMMAND_SOURCES := $(call sources,src/app/*.c src/course/*.c src/console/*.c)
LIBRARY_SOURCES := $(filter-out $(COMMAND_SOURCES) src/audio/%,$(call sources,src/*/*.c))
# The program loads the module when somebody asks for audio. What both need is in both.
MODULE          := $(if $(filter 1,$(SOUND)),ratamark-sound.so)
MODULE_SOURCES  := $(call sources,src/audio/*.c) src/base/arena.c src/base/fraction.c src/model/performance.c
MAIN_SOURCE     := src/app/main.c
UNIT_TESTS      := $(patsubst tests/unit/%.c,%,$(call sources,tests/unit/test_*.c))
UNIT_SUPPORT    := $(filter-out tests/unit/test_%,$(call sources,tests/unit/*.c)) $(call sources,tests/generate/*.c)
CLI_TESTS       := $(patsubst tests/cli/%.sh,%,$(call sources,tests/cli/test_*.sh))
FONT_TESTS      := $(patsubst tests/font/%.py,%,$(call sources,tests/font/test_*.py))
FUZZ_TARGETS    := $(patsubst tests/fuzz/%.c,%,$(call sources,tests/fuzz/fuzz_*.c))
FUZZ_SUPPORT    := $(filter-out tests/fuzz/fuzz_%,$(call sources,tests/fuzz/*.c))
BENCHES         := $(patsubst tests/bench/%.c,%,$(call sources,tests/bench/bench_*.c))
BENCH_SUPPORT   := $(filter-out tests/bench/bench_%,$(call sources,tests/bench/*.c))
EMBEDDED_SOURCES := embedded_face.c embedded_metrics.c embedded_script.c embedded_look.c embedded_finder.c explanations.c catalogues.c
CATALOGUES      := $(call sources,src/words/*.po)
MANUALS         := $(call sources,man/*.[1-9])
C_FILES         := $(call sources,fonts/*.c src/*/*.c src/*/*.h include/*.h tests/*/*.c tests/*/*.h examples/embed/*.c)
# On systems with ELF there is a shared library, and the archive hides everything but the public interface.
SHARED          := $(if $(ELF),libratamark.so)
LIBRARIES       := libratamark.a $(SHARED)

.PHONY: all libraries sound audit demo demo-here test test-here suites-together test-browser test-browser-here \
        unit cli style lint format bench font proof fuzz-smoke kill-test slips threads warnings picture pictures regen \
        install install-strip uninstall clean help FORCE
.DELETE_ON_ERROR:
.SECONDARY:

all: $(BUILD)/ratamark $(MODULE:%=$(BUILD)/%) libraries
libraries: $(LIBRARIES:%=$(BUILD)/%) $(BUILD)/ratamark.pc

help:
	@echo 'make                build $(BUILD)/ratamark and the library (STRICT=1: warnings are errors)'
	@echo 'make sound          install what audio needs, build with it'
	@echo 'make demo           install what is missing, build, make the course examples/ into $(OUT)/'
	@echo 'make test           install what is missing for the tests, run them all'
	@echo 'make test-browser   the checks that need headless Chromium'
	@echo 'make unit           unit tests, sanitized   (TEST=fraction: one of them)'
	@echo 'make cli            tests of the command line (TEST=streams: one of them)'
	@echo 'make fuzz-smoke     random lessons for $(FUZZ_SECONDS) s under sanitizers'
	@echo 'make threads        eight lessons at the same time under ThreadSanitizer'
	@echo 'make kill-test      kill a course $(KILLS) times while it is built'
	@echo 'make audit          the audit of pages over $(AUDIT_LESSONS) generated lessons'
	@echo 'make bench          figures as ratios, with their limits'
	@echo 'make font           build fonts/Ratamark.otf from fonts/glyphs'
	@echo 'make proof          a page with every glyph of the face, $(OUT)/proof.pdf'
	@echo 'make lint format    check or apply the house style'
	@echo 'make slips          typing slips in lessons: how many messages lead back to them (SLIPS=200)'
	@echo 'make regen          rewrite the expected results of tests and show what changed'
	@echo 'make pictures       redraw the kept pictures of pages (tests/pictures); look at them'
	@echo 'make install        into prefix=$(prefix), below DESTDIR=$(DESTDIR); also install-strip, uninstall'
	@echo 'make clean'

# ---- building ---------------------------------------------------------------------------------

# Every object depends on this file, which is rewritten only if compiler or flags change. So this is
# also the place to name missing packages, before the compiler fails.
FLAGS = $(CC) $(DIALECT) $(CFLAGS) $(LDFLAGS) $(HARDEN) $(HARDEN_PROGRAM) $(LIBRARY_CFLAGS) $(LIBRARY_LIBS) \
        $(SANITIZE) $(SOUND_CFLAGS) $(SOUND_LIBS)
$(BUILD)/flags: FORCE
	@$(if $(and $(PACKAGE_LIBS),$(MSGFMT)),,.setup/install --name build; exit 1)
	@mkdir -p $(@D)
	@echo '$(FLAGS)' | cmp -s - $@ || echo '$(FLAGS)' >$@

# Where the program looks for its module, after its own folder.
$(BUILD)/module-folder: FORCE
	@mkdir -p $(@D)
	@echo '$(libdir)/ratamark' | cmp -s - $@ || echo '$(libdir)/ratamark' >$@

say = $(if $(filter 1,$(V)),,@echo '$(1) $@'; )

# One set of rules for each build: $(1) is the folder, $(2) the flags, $(3) the compiler, $(4) the
# flags for linking a program.
define variant
$(1)/%.o: %.c Makefile $(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(LIBRARY_CFLAGS) $$(CHECK_CFLAGS) $$(CFLAGS) $(2) $$(DEFINE) -MMD -MP -c -o $$@ $$<
$(1)/src/lib/sound_module.o: DEFINE = -DMODULE_FOLDER='"$$(libdir)/ratamark"'
$(1)/src/lib/sound_module.o: $(BUILD)/module-folder
$(1)/embedded/%.o: $(BUILD)/embedded/%.c
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(CFLAGS) $(2) -c -o $$@ $$<
$(1)/parts.a: $$(LIBRARY_SOURCES:%.c=$(1)/%.o) $$(EMBEDDED_SOURCES:%.c=$(1)/embedded/%.o)
	@mkdir -p $$(@D)
	@rm -f $$@
	$$(call say,archive)$$(AR) rcs $$@ $$^
$(1)/command.a: $$(patsubst %.c,$(1)/%.o,$$(filter-out $$(MAIN_SOURCE),$$(COMMAND_SOURCES)))
	@mkdir -p $$(@D)
	@rm -f $$@
	$$(call say,archive)$$(AR) rcs $$@ $$^
$(1)/module/%.o: %.c Makefile $(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(SOUND_CFLAGS) $$(CFLAGS) -O3 $(2) -MMD -MP -c -o $$@ $$<
$(1)/ratamark-sound.so: $$(MODULE_SOURCES:%.c=$(1)/module/%.o)
	$$(call say,link   )$(3) -shared $$(CFLAGS) $(2) $$(HARDEN_LINK) $$(LDFLAGS) -o $$@ $$^ $$(SOUND_LIBS) -lm
$(1)/ratamark: $(1)/src/app/main.o $(1)/command.a $(1)/parts.a
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $(4) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/unit/%: $(1)/tests/unit/%.o $$(UNIT_SUPPORT:%.c=$(1)/%.o) $(1)/command.a $(1)/parts.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(CHECK_LIBS) $$(LIBRARY_LIBS)
$(1)/midi/%: $(1)/tests/midi/%.o $(1)/tests/generate/generate.o $(1)/parts.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/browser/lessons: $(1)/tests/browser/lessons.o $(1)/tests/generate/generate.o $(1)/parts.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/bench/%: $(1)/tests/bench/%.o $$(BENCH_SUPPORT:%.c=$(1)/%.o) $(1)/parts.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/pictures/%: $(1)/tests/pictures/%.o
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/browser/%: $(1)/tests/browser/%.o
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/engrave_at_once: $(1)/tests/threads/engrave_at_once.o $(1)/parts.a
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/fuzz/%: $(1)/tests/fuzz/%.o $$(FUZZ_SUPPORT:%.c=$(1)/%.o) $(1)/parts.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) -fsanitize=fuzzer $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
endef
$(eval $(call variant,$(BUILD),$(HARDEN),$$(CC),$(HARDEN_PROGRAM)))
$(eval $(call variant,$(BUILD)/san,$(SANITIZE),$$(CC)))
$(eval $(call variant,$(BUILD)/clang,,clang))
$(eval $(call variant,$(BUILD)/threads,-fsanitize=thread,$$(CC)))
$(eval $(call variant,$(BUILD)/cover,$(SANITIZE) -fsanitize=fuzzer-no-link,clang))

# The library for other programs shows only what include/ratamark.h declares. For the archive, all
# objects are linked into one, and the other names made local.
LIBRARY_OBJECTS = $(LIBRARY_SOURCES:%.c=$(BUILD)/%.o) $(EMBEDDED_SOURCES:%.c=$(BUILD)/embedded/%.o)
$(BUILD)/libratamark.so: $(LIBRARY_OBJECTS)
	$(call say,link   )$(CC) -shared $(CFLAGS) $(HARDEN) $(HARDEN_LINK) -Wl,-z,defs -Wl,-soname,$(SONAME) $(LDFLAGS) \
	    -o $@ $^ $(LIBRARY_LIBS)
	@ln -sf libratamark.so $(BUILD)/$(SONAME)
$(BUILD)/libratamark.o: $(LIBRARY_OBJECTS)
	$(call say,link   )$(CC) $(CFLAGS) $(if $(findstring -flto,$(CFLAGS)),-flinker-output=nolto-rel) -r -nostdlib -o $@ $^
	@$(OBJCOPY) --localize-hidden $@
$(BUILD)/libratamark.a: $(if $(ELF),$(BUILD)/libratamark.o,$(LIBRARY_OBJECTS))
	@rm -f $@
	$(call say,archive)$(AR) rcs $@ $^

# The music font is part of the program, as is the script of practice pages. Two programs that run first turn it into C.
$(BUILD)/embed: fonts/embed.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(call say,compile)$(CC) $(COMPILE) $(CFLAGS) $(LDFLAGS) -o $@ $<
$(BUILD)/face_table: $(addprefix $(BUILD)/,fonts/face_table.o src/draw/music_metadata.o src/draw/music_outline.o src/draw/glyph_outline.o src/model/glyph.o)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBRARY_LIBS)
$(BUILD)/embedded/embedded_face.c: fonts/Ratamark.otf $(BUILD)/embed
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/embed embedded_face $< >$@
$(BUILD)/embedded/embedded_script.c: src/practice/practice.js $(BUILD)/embed
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/embed embedded_script $< >$@
$(BUILD)/embedded/embedded_look.c: src/practice/practice.css $(BUILD)/embed
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/embed embedded_look $< >$@
$(BUILD)/embedded/embedded_finder.c: src/course/find.js $(BUILD)/embed
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/embed embedded_finder $< >$@
$(BUILD)/embedded/explanations.c: src/diag/explanations.txt src/diag/explanations.awk $(BUILD)/flags
	@mkdir -p $(@D)
	$(call say,embed  )awk -f src/diag/explanations.awk $< >$@
# The words of pages in other languages, compiled by gettext and made part of the program.
$(BUILD)/embedded/%.mo: src/words/%.po $(BUILD)/flags
	@mkdir -p $(@D)
	$(call say,compile)$(MSGFMT) --endianness=little -o $@ $<
$(BUILD)/embedded/catalogues.c: $(CATALOGUES:src/words/%.po=$(BUILD)/embedded/%.mo) $(BUILD)/embed
	$(call say,embed  )for po in $(CATALOGUES); do language=$$(basename $$po .po); \
	    $(BUILD)/embed catalogue_$$language $(BUILD)/embedded/$$language.mo || exit 1; done >$@
$(BUILD)/embedded/embedded_metrics.c: fonts/Ratamark.json fonts/Ratamark.otf $(BUILD)/face_table
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/face_table fonts/Ratamark.json fonts/Ratamark.otf >$@

font:
	$(PYTHON) fonts/build.py

# One page with every glyph of the music font, for the printer.
$(BUILD)/proof: $(BUILD)/fonts/proof.o
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBRARY_LIBS)
proof: $(BUILD)/proof
	@mkdir -p $(OUT)
	@$(BUILD)/proof fonts/Ratamark.otf $(OUT)/proof.pdf
	@echo 'The proof sheet of the music face is $(OUT)/proof.pdf'

# Without -j: one job for each processor. A new make reads the makefile again, because pkg-config finds
# more after packages are installed.
PARALLEL = $(if $(filter -j%,$(MAKEFLAGS)),,-j$(shell getconf _NPROCESSORS_ONLN 2>/dev/null || echo 2))

sound:
	@.setup/install build sound
	@$(MAKE) $(PARALLEL) --no-print-directory all

# ---- the demonstration ------------------------------------------------------------------------

demo:
	@.setup/install build
	@$(MAKE) $(PARALLEL) --no-print-directory demo-here

demo-here: all
	@$(BUILD)/ratamark course examples -o $(OUT) --prune
	@echo "$(OUT)/ holds $$(ls examples/[0-9]*.yaml | wc -l | tr -d ' ') lessons (PDF, SVG, PNG, and MIDI to play to), booklet.pdf and index.html:"
	@ls $(OUT)/[0-9]*.pdf

# ---- the tests --------------------------------------------------------------------------------

# Every suite writes one `ok` or `not ok` line for each test to $(BUILD)/results; tests/tally counts
# them all. A suite that fails does not stop the others.
# The leak checker ignores what libraries lose by themselves.
export LSAN_OPTIONS = suppressions=$(CURDIR)/tests/leaks:print_suppressions=0

SUITE = RESULTS=$(BUILD)/results tests/suite
CLI_TEST = RATAMARK=$(BUILD)/san/ratamark BUILD=$(BUILD) CC="$(CC)" STRICT=$(STRICT)

# From npm: a reader of MIDI files that is not ours (another, python3-mido, comes from the system), and
# what validates lessons against their schema. If npm cannot install them, only these tests fail.
NPM_PACKAGES = midi-file@1.2.4 ajv@8.17.1 yaml@2.6.1
NPM_INSTALLED = $(BUILD)/npm/$(subst @,-,$(subst $(empty) ,-,$(NPM_PACKAGES)))
$(NPM_INSTALLED):
	@mkdir -p $(BUILD)/npm
	$(call say,npm    )npm install --silent --no-audit --no-fund --prefix $(BUILD)/npm $(NPM_PACKAGES) && touch $@ || \
	    echo 'npm could not install $(NPM_PACKAGES): the tests of MIDI and of the schema will fail' >&2

# An audit of accessibility that is not ours, for practice pages.
$(BUILD)/npm/node_modules/axe-core/package.json:
	@mkdir -p $(BUILD)/npm
	$(call say,npm    )npm install --silent --no-audit --no-fund --prefix $(BUILD)/npm axe-core@4.10.2 || \
	    echo 'npm could not install axe-core 4.10.2: the test of practice pages will fail' >&2

# What the tests of the command line need.
CLI_NEEDS = all $(BUILD)/san/ratamark $(MODULE:%=$(BUILD)/san/%) $(BUILD)/san/midi/tell $(NPM_INSTALLED)

test:
	@.setup/install build sound test
	@$(MAKE) $(PARALLEL) --no-print-directory STRICT=1 test-here

# These watch the clock or send signals at a certain moment, so nothing runs beside them.
ALONE    = $(filter $(addprefix cli/test_,atomic course_faults course_record course_shards streams watch),$(SUITES))
SUITES   = $(CLI_TESTS:%=cli/%) $(UNIT_TESTS:%=unit/%) $(FONT_TESTS:%=font/%) slips pictures threads style fuzz-smoke
# Keeps the output of a recipe together, if make can.
IN_TURN  = $(if $(filter output-sync,$(.FEATURES)),--output-sync)

test-here:
	@rm -rf $(BUILD)/results
	@$(SUITE) build $(MAKE) --no-print-directory all $(UNIT_TESTS:%=$(BUILD)/san/unit/%) $(CLI_NEEDS) \
	    $(BUILD)/pictures/picture $(BUILD)/proof $(BUILD)/threads/engrave_at_once $(FUZZ_TARGETS:%=$(BUILD)/cover/fuzz/%)
	@$(SUITE) warnings-clang $(MAKE) --no-print-directory warnings
	@$(MAKE) --no-print-directory $(IN_TURN) suites-together
	@for suite in $(ALONE); do $(MAKE) --no-print-directory suite/$$suite; done
	@tests/tally $(BUILD)/results

suites-together: $(filter-out $(ALONE:%=suite/%),$(SUITES:%=suite/%))
suite/unit/%: FORCE
	@$(SUITE) unit/$* $(BUILD)/san/unit/$*
suite/cli/%: FORCE
	@$(CLI_TEST) $(SUITE) cli/$* sh tests/cli/$*.sh
suite/font/%: FORCE
	@$(SUITE) font/$* $(PYTHON) tests/font/$*.py
suite/slips: FORCE
	@$(SUITE) slips $(MAKE) --no-print-directory slips
suite/pictures: FORCE
	@$(CLI_TEST) PICTURE=$(BUILD)/pictures/picture $(SUITE) pictures tests/pictures/run
suite/threads: FORCE
	@$(SUITE) threads tests/threads/run $(BUILD)/threads/engrave_at_once
suite/style suite/fuzz-smoke: suite/%: FORCE
	@$(SUITE) $* $(MAKE) --no-print-directory $*

test-browser:
	@.setup/install build sound test browser
	@$(MAKE) $(PARALLEL) --no-print-directory STRICT=1 test-browser-here

test-browser-here: all $(BUILD)/browser/compare $(BUILD)/browser/lessons $(BUILD)/npm/node_modules/axe-core/package.json
	@rm -rf $(BUILD)/results-browser
	@for test in tests/browser/test_*; do \
	    case $$(head -n 1 $$test) in *python*) run=$(PYTHON) ;; *) run=sh ;; esac; \
	    RATAMARK=$(BUILD)/ratamark COMPARE=$(BUILD)/browser/compare LESSONS=$(BUILD)/browser/lessons AXE=$(BUILD)/npm/node_modules/axe-core/axe.js RESULTS=$(BUILD)/results-browser tests/suite "browser/$$(basename $$test)" $$run $$test; done
	@tests/tally $(BUILD)/results-browser

# TEST names one or more, with `test_` or without.
TEST = $(UNIT_TESTS)
named = $(patsubst test_%,%,$(TEST))
unit: $(named:%=$(BUILD)/san/unit/test_%)
	@for t in $^; do $$t || exit 1; done

cli: $(CLI_NEEDS) $(BUILD)/proof
	@for test in $(if $(filter command line,$(origin TEST)),$(named:%=tests/cli/test_%.sh),tests/cli/test_*.sh); do \
	    $(CLI_TEST) sh $$test || exit 1; done

# Eight lessons at the same time, under ThreadSanitizer.
threads: $(BUILD)/threads/engrave_at_once
	@tests/threads/run $<

# Typing slips, and how many messages lead back to them.
SLIPS = 200
slips: $(BUILD)/ratamark
	@$(PYTHON) tests/slips/slips.py $(BUILD)/ratamark --count $(SLIPS)

# Kills a course while it is built, more often than `make test` has time for.
KILLS = 200
kill-test: all
	@rm -rf $(BUILD)/killed && mkdir -p $(BUILD)/killed
	@tests/course/killed $(BUILD)/ratamark $(BUILD)/killed $(KILLS)

# The audit over thousands of lessons; `make test` takes some hundreds. Each lesson is laid out with plain
# metrics and with the real fonts.
audit: $(BUILD)/unit/test_audit_pages
	@AUDIT_LESSONS=$(AUDIT_LESSONS) $<

# Our code compiles without a warning under clang, too.
warnings: $(BUILD)/clang/ratamark $(MODULE:%=$(BUILD)/clang/%) $(UNIT_TESTS:%=$(BUILD)/clang/unit/%)

fuzz-smoke: $(FUZZ_TARGETS:%=$(BUILD)/cover/fuzz/%)
	@tests/fuzz/smoke $(BUILD)/fuzz-corpus $(FUZZ_SECONDS) $^

# The process that ours is measured against links only the libraries that it uses.
$(BUILD)/bench/bench_minimal: $(BUILD)/tests/bench/bench_minimal.o
	@mkdir -p $(@D)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(shell pkg-config --libs pangocairo cairo-pdf 2>/dev/null)

$(BUILD)/bench/bench_walk: $(BUILD)/tests/bench/bench_walk.o
	@mkdir -p $(@D)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^

bench: all $(BENCHES:%=$(BUILD)/bench/%)
	@tests/bench/run $(BUILD)

# ---- the house style --------------------------------------------------------------------------

# `make test` checks this much; `make lint` adds clang-tidy, which is slow.
style: $(BUILD)/command.a $(BUILD)/parts.a $(MODULE:%=$(BUILD)/%)
	@tests/lint/floors src
	@tests/lint/circles src $(BUILD) tests/lint/known-circles
	@tests/lint/headers $(CC) '$(COMPILE) $(LIBRARY_CFLAGS) $(CHECK_CFLAGS)' $(filter %.h,$(C_FILES))
	@clang-format --dry-run -Werror $(C_FILES)
	@mandoc -T lint -W warning man/*.[1-9]

lint: style
	@clang-tidy --quiet $(filter src/%.c,$(C_FILES)) -- $(COMPILE) -DMODULE_FOLDER='""' $(LIBRARY_CFLAGS) $(SOUND_CFLAGS) 2>&1 | \
	    awk '/(warning|error):/ { found = 1 } !/warnings? (generated|treated)/ { print } END { exit found }'

format:
	clang-format -i $(C_FILES)

# Redraws the pictures of pages that tests/pictures keeps.
pictures: all $(BUILD)/pictures/picture
	@RATAMARK=$(BUILD)/ratamark PICTURE=$(BUILD)/pictures/picture BUILD=$(BUILD) tests/pictures/run keep

# The README's picture: the first page of a lesson of the example course.
picture: all
	$(BUILD)/ratamark engrave -q examples/10-whispering-planks.yaml --dpi 88 -o $(BUILD)/picture.png
	cp $(BUILD)/picture-1.png man/page.png

# Tests that keep expected results in files rewrite them if REGEN is set.
KEEPING = $(notdir $(basename $(shell grep -l REGEN tests/unit/test_*.c)))
regen: $(BUILD)/san/ratamark
	@$(MAKE) --no-print-directory $(KEEPING:%=$(BUILD)/san/unit/%)
	@for test in $(KEEPING); do REGEN=1 $(BUILD)/san/unit/$$test >/dev/null || true; done
	@for test in $$(grep -l REGEN tests/cli/test_*.sh); do \
	    REGEN=1 RATAMARK=$(BUILD)/san/ratamark sh $$test >/dev/null || true; done
	@git --no-pager diff --stat -- tests examples
	@echo 'Read the difference (git diff tests examples) before you commit it.'

# ---- installing -------------------------------------------------------------------------------

# The folder $(2) for pkg-config: $${NAME}/... if it lies below the folder NAME.
below = $(patsubst $($(1)),$${$(1)},$(patsubst $($(1))/%,$${$(1)}/%,$(2)))

$(BUILD)/ratamark.pc: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' 'prefix=$(prefix)' 'exec_prefix=$(call below,prefix,$(exec_prefix))' \
	    'includedir=$(call below,prefix,$(includedir))' 'libdir=$(call below,exec_prefix,$(libdir))' '' \
	    'Name: ratamark' 'Description: Engraves drum lessons' 'Version: $(VERSION)' \
	    'Cflags: -I$${includedir}' 'Libs: -L$${libdir} -lratamark' 'Libs.private: $(LIBRARY_LIBS)' >$@.new
	@cmp -s $@.new $@ && rm $@.new || mv $@.new $@

# What install and uninstall handle: kind, file, destination.
SHARED_FILE  = libratamark.so.$(VERSION)
manual_place = $(man$(patsubst .%,%,$(suffix $(1)))dir)/$(notdir $(1))
define INSTALLED
program $(BUILD)/ratamark $(bindir)/ratamark
$(if $(MODULE),program $(BUILD)/$(MODULE) $(libdir)/ratamark/$(MODULE))
$(if $(SHARED),program $(BUILD)/$(SHARED) $(libdir)/$(SHARED_FILE))
$(if $(SHARED),link $(SHARED_FILE) $(libdir)/$(SONAME))
$(if $(SHARED),link $(SONAME) $(libdir)/$(SHARED))
archive $(BUILD)/libratamark.a $(libdir)/libratamark.a
data $(BUILD)/ratamark.pc $(pkgconfigdir)/ratamark.pc
data include/ratamark.h $(includedir)/ratamark.h
$(foreach manual,$(MANUALS),data $(manual) $(call manual_place,$(manual))
)
endef
export INSTALLED

install: all
	@echo "$$INSTALLED" | while read -r kind file place; do \
	    [ -n "$$kind" ] || continue; \
	    place='$(DESTDIR)'$$place; \
	    $(INSTALL) -d "$${place%/*}" || exit 1; \
	    case $$kind in \
	    program) $(INSTALL_PROGRAM) "$$file" "$$place" ;; \
	    link) ln -sf "$$file" "$$place" ;; \
	    archive) $(INSTALL_DATA) "$$file" "$$place" && $(STRIP_ARCHIVE) "$$place" ;; \
	    data) $(INSTALL_DATA) "$$file" "$$place" ;; \
	    esac || exit 1; \
	    echo "install $$place"; \
	done

STRIP_ARCHIVE = :
install-strip:
	@$(MAKE) --no-print-directory INSTALL_PROGRAM='$(INSTALL_PROGRAM) -s --strip-program=$(STRIP)' \
	    STRIP_ARCHIVE='$(STRIP) --strip-debug' install

uninstall:
	@echo "$$INSTALLED" | while read -r kind file place; do \
	    [ -z "$$kind" ] || rm -f '$(DESTDIR)'"$$place" || exit 1; \
	done
	@[ ! -d '$(DESTDIR)$(libdir)/ratamark' ] || rmdir '$(DESTDIR)$(libdir)/ratamark'

clean:
	rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
endif
