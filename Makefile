# Settings that you may change on the command line; nothing to change below the line of dashes.
BUILD   = build
CC      = cc
CFLAGS  = -O2 -g
PREFIX  = /usr/local
DESTDIR =
SANITIZE = -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
# ---------------------------------------------------------------------------------------------

PACKAGES = cairo cairo-pdf cairo-svg cairo-ft pangocairo pangoft2 yaml-0.1 jansson freetype2 fontconfig
WARNINGS = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Werror
COMPILE  = -std=c17 -D_POSIX_C_SOURCE=200809L -Isrc -Iinclude $(WARNINGS)
LIBRARY_CFLAGS := $(shell pkg-config --cflags $(PACKAGES) 2>/dev/null | sed 's/-I/-isystem /g')
LIBRARY_LIBS   := $(shell pkg-config --libs $(PACKAGES) 2>/dev/null) -lm
CHECK_CFLAGS   := $(shell pkg-config --cflags check 2>/dev/null)
CHECK_LIBS     := $(shell pkg-config --libs check 2>/dev/null)

LIBRARY_SOURCES := $(filter-out src/app/main.c,$(wildcard src/*/*.c))
UNIT_TESTS      := $(patsubst tests/unit/%.c,%,$(wildcard tests/unit/test_*.c))
UNIT_SUPPORT    := $(filter-out $(wildcard tests/unit/test_*.c),$(wildcard tests/unit/*.c))

.PHONY: all test unit clean
.DELETE_ON_ERROR:
all: $(BUILD)/ratamark

# One set of rules for the plain and for the sanitized build: $(1) is the folder, $(2) the flags.
define variant
$(1)/%.o: %.c
	@mkdir -p $$(@D)
	$$(CC) $$(COMPILE) $$(LIBRARY_CFLAGS) $$(CHECK_CFLAGS) $$(CFLAGS) $(2) -MMD -MP -c -o $$@ $$<
$(1)/libratamark.a: $$(LIBRARY_SOURCES:%.c=$(1)/%.o)
	@rm -f $$@
	ar rcs $$@ $$^
$(1)/ratamark: $(1)/src/app/main.o $(1)/libratamark.a
	$$(CC) $$(CFLAGS) $(2) -o $$@ $$^ $$(LIBRARY_LIBS)
$(1)/unit/%: $(1)/tests/unit/%.o $$(UNIT_SUPPORT:%.c=$(1)/%.o) $(1)/libratamark.a
	@mkdir -p $$(@D)
	$$(CC) $$(CFLAGS) $(2) -o $$@ $$^ $$(CHECK_LIBS) $$(LIBRARY_LIBS)
endef
$(eval $(call variant,$(BUILD)))
$(eval $(call variant,$(BUILD)/san,$(SANITIZE)))
.SECONDARY:

# make unit TEST=test_fraction runs one of them.
TEST = $(UNIT_TESTS)
unit: $(TEST:%=$(BUILD)/san/unit/%)
	@for t in $^; do $$t || exit 1; done

test: unit

clean:
	rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
