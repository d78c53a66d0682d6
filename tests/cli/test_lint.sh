# The rules about the tree itself: each is broken on purpose, and has to say so.
. tests/cli/lib.sh

it 'the tree keeps the rules'
tests/lint/floors src >"$work/.out" || fail "$(cat "$work/.out")"
tests/lint/circles src "$build" tests/lint/known-circles >"$work/.out" || fail "$(cat "$work/.out")"

tree() { # FOLDER... : an empty tree with these folders
    rm -rf "$work/tree" && mkdir "$work/tree" && for folder; do mkdir -p "$work/tree/src/$folder"; done
    cd "$work/tree" || exit 1
}

floors_say() { # LINE
    "$top/tests/lint/floors" src >"$work/.out" && fail 'floors finds nothing'
    expect_out_has "$1"
    cd "$top" || exit 1
}

it 'an include of a higher floor is found'
tree base app
echo '#include "app/options.h"' >src/base/arena.c
floors_say 'base/arena.c:1: base may not include "app/options.h"'

it 'an include from one stage in another is found'
tree read layout
echo '#include "layout/layout.h"' >src/read/read.c
floors_say 'read/read.c:1: read may not include "layout/layout.h"'

it 'a library used outside its folder is found'
tree layout
echo '#include <cairo.h>' >src/layout/pen.c
floors_say 'only draw may include <cairo.h>'

it 'two files with one name are found'
tree base model
echo '#include "base/cells.h"' | tee src/base/cells.c >src/model/cells.c
floors_say 'there is a base/cells'

circle() { # compiles the tree, looks for circles
    mkdir -p objects/src/model
    for source in src/model/*.c; do
        ${CC:-cc} -Isrc -c -o "objects/${source%.c}.o" "$source" || fail 'does not compile'
    done
    "$top/tests/lint/circles" src objects "$work/known" >"$work/.out" && fail 'circles finds nothing'
}

it 'a circle of functions over three files is found'
: >"$work/known"
tree model
echo 'int tempo(void); ' | tee src/model/meter.h src/model/pace.h >src/model/tempo.h
echo '#include "model/meter.h"
int pace(void); int meter(void) { return pace(); }' >src/model/meter.c
echo 'int tempo(void); int pace(void) { return tempo(); }' >src/model/pace.c
echo 'int meter(void); int tempo(void) { return meter(); }' >src/model/tempo.c
echo 'int meter(void); int swing(void) { return meter(); }' >src/model/swing.c
circle
expect_out_has 'src/model: meter.c pace.c tempo.c need each other'
[ "$(wc -l <"$work/.out")" = 1 ] || fail "$(cat "$work/.out")"
cd "$top" || exit 1

it 'a known circle passes, but only as long as it exists'
echo 'model: meter.c pace.c tempo.c # a reason' >"$work/known"
cd "$work/tree" && "$top/tests/lint/circles" src objects "$work/known" >"$work/.out" || fail "$(cat "$work/.out")"
echo 'model: pace.c tempo.c' >>"$work/known"
circle
expect_out_has 'no circle any more, take the line out: model: pace.c tempo.c'
cd "$top" || exit 1

it 'a circle of headers is found'
: >"$work/known"
tree model
printf '#pragma once\n#include "model/pace.h"\n' >src/model/meter.h
printf '#pragma once\n#include "model/meter.h"\n' >src/model/pace.h
echo 'int pace(void); int meter(void) { return pace(); }' >src/model/meter.c
echo 'int pace(void) { return 1; }' >src/model/pace.c
circle
expect_out_has 'src/model: meter.h pace.h need each other'
[ "$(wc -l <"$work/.out")" = 1 ] || fail "$(cat "$work/.out")"
cd "$top" || exit 1

it 'a folder without objects is a failure'
tests/lint/circles src "$work/nothing" "$work/known" >"$work/.out" && fail 'circles finds nothing'

finish
