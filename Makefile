# Settings that you may change on the command line (V=1 shows each command); nothing to change below the line of dashes.
BUILD    = build
OUT      = out
CC       = cc
CFLAGS   = -O2 -g
LDFLAGS  =
AR       = ar
PREFIX   = /usr/local
DESTDIR  =
SOUND    = $(shell pkg-config --exists fluidsynth sndfile libebur128 2>/dev/null && echo 1 || echo 0)
SANITIZE = -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
FUZZ_SECONDS = 60
AUDIT_LESSONS = 10000
V =
# ---------------------------------------------------------------------------------------------

VERSION  := $(shell sed -n 's/^\#define RATAMARK_VERSION "\(.*\)"/\1/p' include/ratamark.h 2>/dev/null)
PACKAGES  = cairo cairo-pdf cairo-svg cairo-ft pangocairo pangoft2 harfbuzz yaml-0.1 jansson freetype2 fontconfig
WARNINGS  = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Werror
COMPILE   = -std=c17 -D_XOPEN_SOURCE=700 -Isrc -Iinclude $(WARNINGS)
LIBRARY_CFLAGS := $(shell pkg-config --cflags $(PACKAGES) 2>/dev/null | sed 's/-I/-isystem /g')
# A symbol is looked for in one library after the other: with those first that all others call, a
# process starts sooner.
LIBRARY_LIBS   := -lc -lglib-2.0 -lgobject-2.0 $(shell pkg-config --libs $(PACKAGES) 2>/dev/null) -lm
SOUND_CFLAGS   := $(shell pkg-config --cflags-only-I fluidsynth sndfile libebur128 2>/dev/null | sed 's/-I/-isystem /g')
SOUND_LIBS     := $(shell pkg-config --libs fluidsynth sndfile libebur128 2>/dev/null)
CHECK_CFLAGS   := $(shell pkg-config --cflags check gmp 2>/dev/null | sed 's/-I/-isystem /g')
CHECK_LIBS     := $(shell pkg-config --libs check gmp 2>/dev/null)
PYTHON         := $(shell for p in /usr/bin/python3 python3; do $$p -c 'import fontTools' 2>/dev/null && echo $$p && break; done)

# What stands above src/lib is the command; src/audio is a module of its own; all else is the library.
COMMAND_SOURCES := $(wildcard src/app/*.c src/course/*.c src/console/*.c src/chart/*.c)
LIBRARY_SOURCES := $(filter-out $(COMMAND_SOURCES) $(wildcard src/audio/*.c),$(wildcard src/*/*.c))
# Audio is a module of its own, loaded only where it is asked for; it brings along what it shares with the rest.
MODULE          := $(if $(filter 1,$(SOUND)),ratamark-sound.so)
MODULE_SOURCES  := $(wildcard src/audio/*.c) src/base/arena.c src/base/fraction.c src/model/performance.c
MAIN_SOURCE     := src/app/main.c
UNIT_TESTS      := $(patsubst tests/unit/%.c,%,$(wildcard tests/unit/test_*.c))
UNIT_SUPPORT    := $(filter-out $(wildcard tests/unit/test_*.c),$(wildcard tests/unit/*.c)) $(wildcard tests/generate/*.c)
FUZZ_TARGETS    := $(patsubst tests/fuzz/%.c,%,$(wildcard tests/fuzz/fuzz_*.c))
FUZZ_SUPPORT    := $(filter-out $(wildcard tests/fuzz/fuzz_*.c),$(wildcard tests/fuzz/*.c))
BENCHES         := $(patsubst tests/bench/%.c,%,$(wildcard tests/bench/bench_*.c))
BENCH_SUPPORT   := $(filter-out $(wildcard tests/bench/bench_*.c),$(wildcard tests/bench/*.c))
EMBEDDED_SOURCES := embedded_face.c embedded_metrics.c
C_FILES         := $(wildcard fonts/*.c src/*/*.c src/*/*.h include/*.h tests/*/*.c tests/*/*.h)

.PHONY: all sound audit demo demo-here test test-here test-browser test-browser-here unit cli style lint format bench \
        font proof font-test fuzz-smoke kill-test warnings picture pictures regen install uninstall clean help FORCE
.DELETE_ON_ERROR:
.SECONDARY:

all: $(BUILD)/ratamark $(MODULE:%=$(BUILD)/%)

help:
	@echo 'make                build $(BUILD)/ratamark'
	@echo 'make sound          install what audio needs, build with it'
	@echo 'make demo           install what is missing, build, make the course examples/ into $(OUT)/'
	@echo 'make test           install what is missing for the tests, run them all'
	@echo 'make test-browser   the checks that need headless Chromium'
	@echo 'make unit           unit tests, sanitized   (TEST=test_fraction: one of them)'
	@echo 'make cli            tests of the command line (TEST=streams: one of them)'
	@echo 'make fuzz-smoke     random lessons for $(FUZZ_SECONDS) s under sanitizers'
	@echo 'make kill-test      kill a course $(KILLS) times while it is built'
	@echo 'make audit          the audit of pages over $(AUDIT_LESSONS) generated lessons'
	@echo 'make bench          figures as ratios, with their limits'
	@echo 'make font           build fonts/Ratamark.otf from fonts/glyphs'
	@echo 'make proof          a page with every glyph of the face, $(OUT)/proof.pdf'
	@echo 'make lint format    check or apply the house style'
	@echo 'make regen          write the expected results of tests anew and show what changed'
	@echo 'make pictures       draw the kept pictures of pages anew (tests/pictures); look at them'
	@echo 'make install uninstall   PREFIX=$(PREFIX) DESTDIR=$(DESTDIR)'
	@echo 'make clean'

# ---- building ---------------------------------------------------------------------------------

# Rewritten only when compiler or flags change; what depends on it is then built again.
FLAGS = $(CC) $(COMPILE) $(CFLAGS) $(LDFLAGS) $(LIBRARY_CFLAGS) $(LIBRARY_LIBS) $(SANITIZE) $(SOUND_CFLAGS) $(SOUND_LIBS)
$(BUILD)/flags: FORCE
	@mkdir -p $(@D)
	@echo '$(FLAGS)' | cmp -s - $@ || echo '$(FLAGS)' >$@

say = $(if $(filter 1,$(V)),,@echo '$(1) $@'; )

# One set of rules for each build: $(1) is the folder, $(2) the flags, $(3) the compiler.
define variant
$(1)/%.o: %.c Makefile $(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(LIBRARY_CFLAGS) $$(CHECK_CFLAGS) $$(CFLAGS) $(2) -MMD -MP -c -o $$@ $$<
$(1)/embedded/%.o: $(BUILD)/embedded/%.c
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(CFLAGS) $(2) -c -o $$@ $$<
$(1)/libratamark.a: $$(LIBRARY_SOURCES:%.c=$(1)/%.o) $$(EMBEDDED_SOURCES:%.c=$(1)/embedded/%.o)
	@mkdir -p $$(@D)
	@rm -f $$@
	$$(call say,archive)$$(AR) rcs $$@ $$^
$(1)/libcommand.a: $$(patsubst %.c,$(1)/%.o,$$(filter-out $$(MAIN_SOURCE),$$(COMMAND_SOURCES)))
	@mkdir -p $$(@D)
	@rm -f $$@
	$$(call say,archive)$$(AR) rcs $$@ $$^
$(1)/module/%.o: %.c Makefile $(BUILD)/flags
	@mkdir -p $$(@D)
	$$(call say,compile)$(3) $$(COMPILE) $$(SOUND_CFLAGS) -fPIC -fvisibility=hidden $$(CFLAGS) -O3 $(2) -MMD -MP -c -o $$@ $$<
$(1)/ratamark-sound.so: $$(MODULE_SOURCES:%.c=$(1)/module/%.o)
	$$(call say,link   )$(3) -shared $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(SOUND_LIBS) -lm
$(1)/ratamark: $(1)/src/app/main.o $(1)/libcommand.a $(1)/libratamark.a
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/unit/%: $(1)/tests/unit/%.o $$(UNIT_SUPPORT:%.c=$(1)/%.o) $(1)/libcommand.a $(1)/libratamark.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(CHECK_LIBS) $$(LIBRARY_LIBS)
$(1)/midi/%: $(1)/tests/midi/%.o $(1)/tests/generate/generate.o $(1)/libratamark.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/bench/%: $(1)/tests/bench/%.o $$(BENCH_SUPPORT:%.c=$(1)/%.o) $(1)/libratamark.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/pictures/%: $(1)/tests/pictures/%.o
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/browser/%: $(1)/tests/browser/%.o
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/fuzz/%: $(1)/tests/fuzz/%.o $$(FUZZ_SUPPORT:%.c=$(1)/%.o) $(1)/libratamark.a
	@mkdir -p $$(@D)
	$$(call say,link   )$(3) $$(CFLAGS) $(2) -fsanitize=fuzzer $$(LDFLAGS) -o $$@ $$^ $$(LIBRARY_LIBS)
endef
$(eval $(call variant,$(BUILD),,$$(CC)))
$(eval $(call variant,$(BUILD)/san,$(SANITIZE),$$(CC)))
$(eval $(call variant,$(BUILD)/clang,,clang))
$(eval $(call variant,$(BUILD)/cover,$(SANITIZE) -fsanitize=fuzzer-no-link,clang))

# The music face is carried inside the binary, turned into source by programs that run first.
$(BUILD)/embed: fonts/embed.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(call say,compile)$(CC) $(COMPILE) $(CFLAGS) $(LDFLAGS) -o $@ $<
$(BUILD)/face_table: $(addprefix $(BUILD)/,fonts/face_table.o src/draw/music_metadata.o src/draw/music_outline.o src/model/glyph.o)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBRARY_LIBS)
$(BUILD)/embedded/embedded_face.c: fonts/Ratamark.otf $(BUILD)/embed
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/embed embedded_face $< >$@
$(BUILD)/embedded/embedded_metrics.c: fonts/Ratamark.json fonts/Ratamark.otf $(BUILD)/face_table
	@mkdir -p $(@D)
	$(call say,embed  )$(BUILD)/face_table fonts/Ratamark.json fonts/Ratamark.otf >$@

font:
	$(PYTHON) fonts/build.py

# One page with every glyph of the face, to be printed.
$(BUILD)/proof: $(BUILD)/fonts/proof.o
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBRARY_LIBS)
proof: $(BUILD)/proof
	@mkdir -p $(OUT)
	@$(BUILD)/proof fonts/Ratamark.otf $(OUT)/proof.pdf
	@echo 'The proof sheet of the music face is $(OUT)/proof.pdf'

# For those who say no -j: one job a processor. The makefile is read anew, as pkg-config knows more
# once packages are installed.
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

# Every suite leaves its results, one `ok` or `not ok` line a test, under $(BUILD)/results;
# tests/tally counts them all. A suite that fails does not stop the others.
# Sanitized programs take from here what libraries lose by themselves.
export LSAN_OPTIONS = suppressions=$(CURDIR)/tests/leaks:print_suppressions=0

SUITE = RESULTS=$(BUILD)/results tests/suite

# A MIDI file reader that is not ours, from npm; python3-mido comes from the system. Where npm has
# none to give, the test of MIDI fails, and no other.
$(BUILD)/npm/node_modules/midi-file/package.json:
	@mkdir -p $(BUILD)/npm
	$(call say,npm    )npm install --silent --no-audit --no-fund --prefix $(BUILD)/npm midi-file@1.2.4 || \
	    echo 'npm could not install midi-file 1.2.4: the test of MIDI will fail' >&2

# What the tests of the command line need besides the command.
CLI_NEEDS = $(BUILD)/san/ratamark $(MODULE:%=$(BUILD)/san/%) $(MODULE:%=$(BUILD)/%) $(BUILD)/san/midi/tell $(BUILD)/npm/node_modules/midi-file/package.json

test:
	@.setup/install build sound test
	@$(MAKE) $(PARALLEL) --no-print-directory test-here

test-here:
	@rm -rf $(BUILD)/results
	@$(SUITE) build $(MAKE) --no-print-directory all $(UNIT_TESTS:%=$(BUILD)/san/unit/%) $(CLI_NEEDS) \
	    $(BUILD)/pictures/picture $(BUILD)/proof
	@$(SUITE) warnings-clang $(MAKE) --no-print-directory warnings
	@for test in $(UNIT_TESTS); do $(SUITE) "unit/$$test" $(BUILD)/san/unit/$$test; done
	@for test in tests/cli/test_*.sh; do \
	    RATAMARK=$(BUILD)/san/ratamark BUILD=$(BUILD) CC="$(CC)" $(SUITE) "cli/$$(basename $$test .sh)" sh $$test; done
	@for test in tests/font/test_*.py; do [ ! -e $$test ] || $(SUITE) "font/$$(basename $$test .py)" $(PYTHON) $$test; done
	@RATAMARK=$(BUILD)/san/ratamark PICTURE=$(BUILD)/pictures/picture BUILD=$(BUILD) \
	    $(SUITE) pictures tests/pictures/run
	@$(SUITE) style $(MAKE) --no-print-directory style
	@$(SUITE) fuzz-smoke $(MAKE) --no-print-directory fuzz-smoke
	@tests/tally $(BUILD)/results

test-browser:
	@.setup/install build sound test browser
	@$(MAKE) $(PARALLEL) --no-print-directory test-browser-here

test-browser-here: all $(BUILD)/browser/compare
	@rm -rf $(BUILD)/results-browser
	@for test in tests/browser/test_*; do [ ! -e $$test ] || \
	    RATAMARK=$(BUILD)/ratamark COMPARE=$(BUILD)/browser/compare RESULTS=$(BUILD)/results-browser tests/suite "browser/$$(basename $$test)" $$test; done
	@tests/tally $(BUILD)/results-browser

TEST = $(UNIT_TESTS)
unit: $(TEST:%=$(BUILD)/san/unit/%)
	@for t in $^; do $$t || exit 1; done

cli: $(CLI_NEEDS) $(BUILD)/proof
	@for test in $(if $(filter command line,$(origin TEST)),$(TEST:%=tests/cli/test_%.sh),tests/cli/test_*.sh); do \
	    RATAMARK=$(BUILD)/san/ratamark BUILD=$(BUILD) CC="$(CC)" sh $$test || exit 1; done

# A course that is killed while it is built, more often than `make test` has the time for.
KILLS = 200
kill-test: all
	@rm -rf $(BUILD)/killed && mkdir -p $(BUILD)/killed
	@tests/course/killed $(BUILD)/ratamark $(BUILD)/killed $(KILLS)
# The audit that `make test` runs over some hundreds of lessons, over thousands: each set in plain
# metrics and in the real faces.
audit: $(BUILD)/unit/test_audit_pages
	@AUDIT_LESSONS=$(AUDIT_LESSONS) $<

# Everything that we wrote compiles without a warning under clang, too.
warnings: $(BUILD)/clang/ratamark $(MODULE:%=$(BUILD)/clang/%) $(UNIT_TESTS:%=$(BUILD)/clang/unit/%)

fuzz-smoke: $(FUZZ_TARGETS:%=$(BUILD)/cover/fuzz/%)
	@tests/fuzz/smoke $(BUILD)/fuzz-corpus $(FUZZ_SECONDS) $^

# The process that ours is measured against takes no library that it has no use for.
$(BUILD)/bench/bench_minimal: $(BUILD)/tests/bench/bench_minimal.o
	@mkdir -p $(@D)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(shell pkg-config --libs pangocairo cairo-pdf 2>/dev/null)

$(BUILD)/bench/bench_walk: $(BUILD)/tests/bench/bench_walk.o
	@mkdir -p $(@D)
	$(call say,link   )$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^

bench: all $(BENCHES:%=$(BUILD)/bench/%)
	@tests/bench/run $(BUILD)

# ---- the house style --------------------------------------------------------------------------

# What a test run checks; the slow look with clang-tidy comes on top in `make lint`.
style:
	@tests/lint/floors src
	@tests/lint/headers $(CC) '$(COMPILE) $(LIBRARY_CFLAGS) $(CHECK_CFLAGS)' $(filter %.h,$(C_FILES))
	@clang-format --dry-run -Werror $(C_FILES)
	@mandoc -T lint -W warning man/*.[1-9]

lint: style
	@clang-tidy --quiet $(filter src/%.c,$(C_FILES)) -- $(COMPILE) $(LIBRARY_CFLAGS) $(SOUND_CFLAGS) 2>&1 | \
	    awk '/(warning|error):/ { found = 1 } !/warnings? (generated|treated)/ { print } END { exit found }'

format:
	clang-format -i $(C_FILES)

# The pages whose pictures tests/pictures keeps, drawn anew.
pictures: all $(BUILD)/pictures/picture
	@RATAMARK=$(BUILD)/ratamark PICTURE=$(BUILD)/pictures/picture BUILD=$(BUILD) tests/pictures/run keep

# The README's picture: the first page of a lesson of the example course.
picture: all
	$(BUILD)/ratamark engrave -q examples/10-whispering-planks.yaml --dpi 88 -o $(BUILD)/picture.png
	cp $(BUILD)/picture-1.png man/page.png

# Tests that keep expected results in files know REGEN.
regen: $(BUILD)/san/ratamark $(UNIT_TESTS:%=$(BUILD)/san/unit/%)
	@for test in $$(grep -l REGEN tests/unit/test_*.c); do \
	    REGEN=1 $(BUILD)/san/unit/$$(basename $$test .c) >/dev/null || true; done
	@for test in $$(grep -l REGEN tests/cli/test_*.sh); do \
	    REGEN=1 RATAMARK=$(BUILD)/san/ratamark sh $$test >/dev/null || true; done
	@git --no-pager diff --stat -- tests examples
	@echo 'Read the difference (git diff tests examples) before you commit it.'

# ---- installing -------------------------------------------------------------------------------

$(BUILD)/ratamark.pc: Makefile include/ratamark.h FORCE
	@mkdir -p $(@D)
	@printf '%s\n' 'prefix=$(PREFIX)' 'includedir=$${prefix}/include' 'libdir=$${prefix}/lib' '' \
	    'Name: ratamark' 'Description: Engraves drum lessons' 'Version: $(VERSION)' \
	    'Requires.private: $(PACKAGES)' 'Cflags: -I$${includedir}' 'Libs: -L$${libdir} -lratamark' \
	    'Libs.private: -lm' >$@

install: all $(BUILD)/libratamark.a $(BUILD)/ratamark.pc
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/include $(DESTDIR)$(PREFIX)/lib/pkgconfig \
	    $(DESTDIR)$(PREFIX)/share/man/man1 $(DESTDIR)$(PREFIX)/share/man/man5 $(DESTDIR)$(PREFIX)/share/man/man7
	install -m 755 $(BUILD)/ratamark $(DESTDIR)$(PREFIX)/bin/ratamark
	$(if $(MODULE),install -d $(DESTDIR)$(PREFIX)/lib/ratamark && install -m 755 $(BUILD)/$(MODULE) $(DESTDIR)$(PREFIX)/lib/ratamark/$(MODULE))
	install -m 644 include/ratamark.h $(DESTDIR)$(PREFIX)/include/ratamark.h
	install -m 644 $(BUILD)/libratamark.a $(DESTDIR)$(PREFIX)/lib/libratamark.a
	install -m 644 $(BUILD)/ratamark.pc $(DESTDIR)$(PREFIX)/lib/pkgconfig/ratamark.pc
	install -m 644 man/ratamark.1 $(DESTDIR)$(PREFIX)/share/man/man1/ratamark.1
	install -m 644 man/ratamark-lesson.5 $(DESTDIR)$(PREFIX)/share/man/man5/ratamark-lesson.5
	install -m 644 man/ratamark-phrases.7 $(DESTDIR)$(PREFIX)/share/man/man7/ratamark-phrases.7

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/lib/ratamark/ratamark-sound.so $(DESTDIR)$(PREFIX)/bin/ratamark $(DESTDIR)$(PREFIX)/include/ratamark.h \
	    $(DESTDIR)$(PREFIX)/lib/libratamark.a $(DESTDIR)$(PREFIX)/lib/pkgconfig/ratamark.pc \
	    $(DESTDIR)$(PREFIX)/share/man/man1/ratamark.1 $(DESTDIR)$(PREFIX)/share/man/man5/ratamark-lesson.5 \
	    $(DESTDIR)$(PREFIX)/share/man/man7/ratamark-phrases.7

clean:
	rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
