#!/bin/sh
# `course`: which lessons a folder holds, in which order, under which course file, and where their
# sheets go.
. tests/cli/lib.sh

lesson() { # FILE TITLE [LINE]
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\n%s\nexercises:\n  - {subdivision: eighths, sticking: RL}\n' "$2" "${3:-}" >"$1"
}
title_of() { pdfinfo "$1" | sed -n 's/^Title: *//p'; }

course=$work/course out=$work/out
lesson "$course/b.yaml" Buoys
lesson "$course/a.yaml" Anchors
lesson "$course/week 2/fill.yaml" Fill
lesson "$course/week 2/drafts/later.yaml" Later
cat >"$course/course.yaml" <<'END'
title: Harbour
author: Wharf Lane
order: [b.yaml, week 2]
leave-out: week 2/drafts
END

it 'mirrors the folders of the course'
run course "$course" -o "$out"
expect_status 0
[ "$(cd "$out" && find . -name '*.pdf' | sort | tr '\n' ' ')" = './a.pdf ./b.pdf ./week 2/fill.pdf ' ] ||
    fail "$(find "$out")"
expect_err_has '3 lessons: 3 built, 0 up to date, 0 failed'
[ "$(title_of "$out/week 2/fill.pdf")" = Fill ] || fail "title: $(title_of "$out/week 2/fill.pdf")"
pdfinfo "$out/a.pdf" | grep -q '^Author: *Wharf Lane$' || fail 'the course file was not inherited from'

it 'makes the same bytes as engrave'
for name in a b 'week 2/fill'; do
    run engrave "$course/$name.yaml" -o "$work/one.pdf"
    expect_same "$work/one.pdf" "$out/$name.pdf"
done

it 'without an order, lessons are sorted by the bytes of their paths'
for name in a a-b a0 a/x a/y/z a/y-z 'a b' B; do lesson "$work/plain/$name.yaml" Plain; done
run course "$work/plain" -o "$work/plain-out" --dry-run
expect_status 0
sed -n "s/^would make '\\(.*\\)'/\\1/p" "$work/.out" >"$work/told"
[ "$(wc -l <"$work/told")" = 8 ] || fail "$(cat "$work/.out")"
LC_ALL=C sort -c "$work/told" 2>"$work/unsorted" || fail "$(cat "$work/told")"

it 'reports findings in the order of the course'
lesson "$course/b.yaml" Buoys 'tempo: fast'
lesson "$course/a.yaml" Anchors 'tempo: slow'
lesson "$course/week 2/fill.yaml" Fill 'tempo: so'
cp "$out/a.pdf" "$work/before.pdf"
run course "$course" -o "$out"
expect_status 1
[ "$(grep -o "cannot be '[a-z]*'" "$work/.err" | tr '\n' ' ')" = "cannot be 'fast' cannot be 'so' cannot be 'slow' " ] ||
    fail "$(cat "$work/.err")"
expect_err_has '0 built, 0 up to date, 3 failed'
expect_same "$out/a.pdf" "$work/before.pdf"

it 'a lesson with errors does not stop the others'
lesson "$course/a.yaml" Anchors
lesson "$course/week 2/fill.yaml" Fill
rm "$out/a.pdf"
run course "$course" -o "$out"
expect_status 1
expect_file "$out/a.pdf"
expect_err_has '1 failed'

it 'a course within a course keeps its lessons together'
lesson "$course/b.yaml" Buoys 'tempo: fast'
lesson "$course/middle/z.yaml" Zed 'tempo: z'
lesson "$course/middle/y.yaml" Why 'tempo: y'
lesson "$course/c.yaml" Capstan 'tempo: c'
lesson "$course/x.yaml" Capstan 'tempo: x'
printf 'order: z.yaml\nproduce: svg\n' >"$course/middle/course.yaml"
run course "$course" -o "$out"
[ "$(grep -o "cannot be '[a-z]*'" "$work/.err" | tr -d '\n')" = \
    "cannot be 'fast'cannot be 'c'cannot be 'z'cannot be 'y'cannot be 'x'" ] || fail "$(cat "$work/.err")"
rm -r "$course/middle" "$course/c.yaml" "$course/x.yaml"
lesson "$course/b.yaml" Buoys

it 'a course within a course inherits what it does not set'
mkdir -p "$work/nest/in/deep"
cat >"$work/nest/course.yaml" <<'END'
title: Around
author: Wharf Lane
copyright: © Wharf Lane
level: deckhand
levels: {deckhand: beginner, mate: intermediate}
tempo: 61
page: {size: letter, margin: 30}
kit: {voices: {crate: {like: floor-tom, line: 2}}, short: {box: crate}}
patterns: {six: RLLRRL}
order: [in]
produce: [pdf, svg]
END
cat >"$work/nest/in/course.yaml" <<'END'
title: Inside
page: {margin: 20}
levels: {bosun: mate}
patterns: {five: RLRLL}
END
printf 'author: Bosun\nlevel: bosun\nkit: {short: {can: box}}\n' >"$work/nest/in/deep/course.yaml"
cat >"$work/nest/in/deep/lesson.yaml" <<'END'
exercises:
  - {subdivision: sixteenths, sticking: six, play: {R: can, L: box}}
  - {subdivision: sixteenths, sticking: five, play: {R: crate, L: crate}}
END
lesson "$work/nest/in/plain.yaml" Plain
run course "$work/nest" -o "$work/nested"
expect_status 0
expect_err_has '2 lessons: 2 built'
for sheet in in/plain in/deep/lesson; do
    pdfinfo "$work/nested/$sheet.pdf" | grep -q '^Page size: .*letter' || fail "$sheet: the page"
    pdftotext "$work/nested/$sheet.pdf" - >"$work/text"
    grep -q 61 "$work/text" || fail "$sheet: the tempo"
    grep -q '© Wharf Lane' "$work/text" || fail "$sheet: the copyright"
    grep -q Inside "$work/text" || fail "$sheet: the title"
    expect_file "$work/nested/$sheet.svg"
done
pdftotext "$work/nested/in/plain.pdf" - | grep -q deckhand || fail 'the level of the outermost'
pdfinfo "$work/nested/in/plain.pdf" | grep -q '^Author: *Wharf Lane' || fail 'the author'
grep -q bosun "$work/text" || fail 'the level of the innermost'
pdfinfo "$work/nested/in/deep/lesson.pdf" | grep -q '^Author: *Bosun' || fail 'its own author'
run engrave "$work/nest/in/deep/lesson.yaml" -o "$work/lesson.pdf"
expect_status 0
expect_same "$work/lesson.pdf" "$work/nested/in/deep/lesson.pdf"
run course "$work/nest/in" -o "$work/inside"
expect_same "$work/inside/deep/lesson.pdf" "$work/nested/in/deep/lesson.pdf"
sed -i 's/^tempo: 61/tempo: 62/' "$work/nest/course.yaml"
run course "$work/nest" -o "$work/nested"
expect_err_has '2 built, 0 up to date'
run course "$work/nest/in" -o "$work/inside"
expect_err_has '2 built, 0 up to date'
echo 'nonsense: 1' >>"$work/nest/course.yaml"
for folder in nest nest/in nest/in/deep; do
    run course "$work/$folder" -o "$work/never"
    expect_status 1
    expect_err_has 'course.yaml:12:1: error:'
    [ "$(grep -c 'has no key' "$work/.err")" = 1 ] || fail "$folder: told more than once"
    expect_err_has '0 built, 0 up to date'
    expect_none "$work/never/lesson.pdf"
done

it 'a name in the order that does not exist, or appears twice, is reported at its place'
printf 'order:\n  - b.yaml\n  - a.yaml\n  - b.yaml\n  - c.yaml\n  - a\nleave-out: week 2\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has "course.yaml:4:5: error: 'b.yaml' is listed twice [duplicate-key]"
expect_err_has "course.yaml:5:5: error: the course has no lesson 'c.yaml' [unreadable]"
expect_err_has "course.yaml:6:5: error: 'a' is listed twice [duplicate-key]"

it 'a course with a slip in its order or its drafts is not made, so no draft is published by accident'
expect_err_has '2 lessons: 0 built, 0 up to date, 2 failed'
printf 'produce: [pdf, booklet, index]\nleave-out: [dratf.yaml]\n' >"$course/course.yaml"
lesson "$course/draft.yaml" Draft
run course "$course" -o "$work/slip"
expect_status 1
expect_err_has "there is no lesson or folder 'dratf.yaml' to leave out"
expect_err_has "did you mean 'draft.yaml'?"
[ -z "$(find "$work/slip" -name '*.pdf' -o -name '*.html')" ] || fail "made: $(find "$work/slip")"
rm "$course/draft.yaml"

it 'names in the order and in the list of drafts may leave out the ending'
printf 'order: [week 2/fill, b]\nleave-out: [a, week 2/drafts]\n' >"$course/course.yaml"
run course "$course" -o "$work/short" --dry-run
expect_status 0
[ "$(cat "$work/.out")" = "would make 'week 2/fill.yaml'
would make 'b.yaml'" ] || fail "$(cat "$work/.out")"

it 'a name that is both in the order and left out is reported'
printf 'order: [b, a]\nleave-out: [a, week 2]\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has "course.yaml:1:12: error: 'a' is in the order and left out [duplicate-key]"

it 'a course and a part of it can each set an order'
printf 'order: [week 2, b]\nleave-out: week 2/drafts\n' >"$course/course.yaml"
printf 'order: fill\n' >"$course/week 2/course.yaml"
run course "$course" -o "$work/parts" --dry-run
expect_status 0
[ "$(cat "$work/.out")" = "would make 'week 2/fill.yaml'
would make 'b.yaml'
would make 'a.yaml'" ] || fail "$(cat "$work/.out")"
rm "$course/week 2/course.yaml"

it 'a name to leave out that does not exist is reported at its place; an empty folder may be left out'
mkdir "$course/empty"
printf 'leave-out:\n  - week 2\n  - week 3\n  - c\n  - empty\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has "course.yaml:3:5: error: there is no lesson or folder 'week 3' to leave out [unreadable]"
expect_err_has "course.yaml:4:5: error: there is no lesson or folder 'c' to leave out [unreadable]"
[ "$(grep -c error: "$work/.err")" = 2 ] || fail 'not two errors'

it 'check finds the same in the course files of a folder'
run check "$course"
expect_status 1
expect_err_has "course.yaml:3:5: error: there is no lesson or folder 'week 3' to leave out [unreadable]"
[ "$(grep -c error: "$work/.err")" = 2 ] || fail "not two errors: $(cat "$work/.err")"
rm "$course/course.yaml"

it 'a slip in the course file of one part stops only that part'
printf 'leave-out: [drafs, fill.yaml]\norder: first.yaml\n' >"$course/week 2/course.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has "week 2/course.yaml:1:13: error: there is no lesson or folder 'drafs' to leave out"
expect_err_has "week 2/course.yaml:2:8: error: the course has no lesson 'first.yaml'"
expect_err_has '1 failed'
run course "$course/week 2/drafts" -o "$work/drafts" --dry-run # whose course this is, but not that folder
expect_status 0
rm "$course/week 2/course.yaml"
rmdir "$course/empty"

it 'the order stays inside the course'
printf 'order: [../a.yaml]\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has '[bad-value]'
expect_err_has '0 built, 0 up to date, 4 failed'

it 'a course without a course file makes PDFs'
rm "$course/course.yaml"
run course "$course/" -o "$work/plain"
expect_status 0
expect_file "$work/plain/week 2/drafts/later.pdf"

it 'without -o the sheets go beside their lessons'
run course "$course"
expect_status 0
expect_file "$course/week 2/fill.pdf"

it 'an output folder inside the course is not part of it'
lesson "$course/built/old.yaml" Old
run course "$course" -o "$course/built"
expect_status 0
expect_err_has '4 lessons'
rm -r "$course/built"

it 'produces what the course file asks for, numbered by pages'
printf 'produce: [svg, png, pdf]\n' >"$course/course.yaml"
long_lesson "$course/long.yaml" 12
run course "$course" -o "$work/many" --dpi 20
expect_status 0
for file in a.svg a.png a.pdf long-1.svg long-2.png long.pdf; do expect_file "$work/many/$file"; done
expect_none "$work/many/long.svg"
run engrave "$course/long.yaml" -o "$work/long.svg"
expect_same "$work/long-2.svg" "$work/many/long-2.svg"

it 'a folder without lessons is a usage error, a missing folder a system error'
mkdir "$work/empty"
run course "$work/empty" -o "$out"
expect_status 2
expect_err_has 'no lesson'
run course "$work/nowhere" -o "$out"
expect_status 3
run course
expect_status 2
expect_err_has "'course' needs FOLDER"

it 'a course file means the same wherever the command is run'
for name in a b z; do lesson "$work/above/sub/$name.yaml" "$name"; done
echo 'order: [sub/z.yaml, .]' >"$work/above/course.yaml"
run course "$work/above/sub" -o "$work/above-out" --dry-run
expect_status 0
cp "$work/.out" "$work/told"
cd "$work/above" || exit 1
run course sub -o "$work/above-out" --dry-run
cd "$top" || exit 1
expect_same "$work/.out" "$work/told"

finish
