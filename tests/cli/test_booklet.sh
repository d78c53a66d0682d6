#!/bin/sh
# `course --booklet`: one PDF of all lessons. poppler and qpdf say what is in it: what stands on its
# pages, where links and outline lead, what its pages are called.
. tests/cli/lib.sh

course=$work/course out=$work/out book=$work/out/booklet.pdf

lesson() { # FILE TITLE EXERCISES
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\nexercises:\n' "$2" >"$1"
    i=0
    while [ $i -lt "$3" ]; do
        i=$((i + 1))
        printf '  - {title: "Wave %d", subdivision: sixteenths, sticking: RLRR LRLL, bars: 8}\n' $i >>"$1"
    done
}
page_text() { pdftotext -enc UTF-8 -layout -f "$1" -l "$1" "$book" -; }
pages() { pdfinfo "$book" | sed -n 's/^Pages: *//p'; }

# "TITLE|PAGE" of each line of the contents.
contents() {
    page_text 2 | sed -n 's/^\(.*[^ ]\)  *\([0-9][0-9]*\)$/\1|\2/p' |
        sed 's/  *\(beginner\|advanced\)|/|/; s/^ *//' | grep -v ' of|'
}

lesson "$course/one.yaml" 'Low <Water> & (tide) \ "é"' 1
lesson "$course/two.yaml" 'High Water' 9
lesson "$course/deep/three.yaml" 'Still Water' 1
lesson "$course/deep/four.yaml" 'Deep Water' 2
printf 'title: Deep End\nlevel: advanced\n' >"$course/deep/course.yaml"
cat >"$course/course.yaml" <<'END'
title: The Harbour Course
subtitle: Up and down with the tide
author: Wharf Lane Drum School
copyright: © Wharf Lane
date: 2026-09-01
language: sv
level: beginner
order: [one.yaml, two.yaml, deep]
produce: [pdf, booklet]
END

it 'is made where the course file asks for it'
run course "$course" -o "$out"
expect_status 0
expect_file "$book"
qpdf --check "$book" >"$work/check" 2>&1 || fail "$(cat "$work/check")"

it 'begins with a cover'
page_text 1 >"$work/cover"
for text in 'The Harbour Course' 'Up and down with the tide' 'Wharf Lane Drum School' '4' lessons '2026-09-01'; do
    grep -qF "$text" "$work/cover" || fail "no '$text' on the cover"
done
pdfinfo "$book" | grep -q '^Title: *The Harbour Course$' || fail 'title'
pdfinfo "$book" | grep -q '^Author: *Wharf Lane Drum School$' || fail 'author'
pdfinfo "$book" | grep -q '^Subject: *Up and down with the tide$' || fail 'subject'

it 'lists every lesson under its course, with its page'
contents >"$work/contents"
printf '%s\n' 'Low <Water> & (tide) \ "é"' 'High Water' 'Deep End' 'Deep Water' 'Still Water' >"$work/titles"
cut -d'|' -f1 "$work/contents" | diff "$work/titles" - >&2 || fail 'contents'
while IFS='|' read -r title page; do
    [ "$title" = 'Deep End' ] && title='Deep Water' # the first lesson of that course
    page_text "$page" | head -n 3 | grep -qF "$title" || fail "no '$title' on page $page"
done <"$work/contents"

it 'numbers its pages throughout, in print and by name'
n=1 all=$(pages)
[ "$all" -ge 8 ] || fail "$all pages"
while [ $n -lt "$all" ]; do
    n=$((n + 1))
    page_text $n | grep -q "$n of $all\$" || fail "page $n is not so numbered"
done
qpdf --json --json-key=pagelabels "$book" | python3 -c '
import json, sys
labels = json.load(sys.stdin)["pagelabels"]
assert labels[0]["index"] == 0 and labels[0]["label"]["/P"].endswith("Cover"), labels
assert labels[1]["index"] == 1 and labels[1]["label"]["/St"] == 2, labels
assert len(labels) == 2, labels' || fail 'page labels'

it 'links each line of the contents to its page'
# poppler resolves the names that links lead to.
pdfinfo -dests "$book" | sed -n 's/^ *\([0-9]*\) .*"\(page-[0-9]*\)"$/\2 \1/p' >"$work/names"
qpdf --qdf --object-streams=disable "$book" - | grep -a -o '/Dest (page-[0-9]*)' | tr -d '()' |
    cut -d' ' -f2 >"$work/links"
[ "$(wc -l <"$work/links")" = 5 ] || fail "$(wc -l <"$work/links") links"
while read -r link; do sed -n "s/^$link //p" "$work/names"; done <"$work/links" >"$work/led"
cut -d'|' -f2 "$work/contents" | diff - "$work/led" >&2 || fail 'links lead elsewhere'

it 'has an outline of courses, lessons and exercises'
qpdf --json --json-key=outlines "$book" | python3 -c '
import json, sys
def show(entries, level):
    for entry in entries:
        print("  " * level + entry["title"], entry["destpageposfrom1"])
        show(entry["kids"], level + 1)
show(json.load(sys.stdin)["outlines"], 0)' >"$work/outline"
[ "$(sed -n 1p "$work/outline")" = 'The Harbour Course 1' ] || fail "$(cat "$work/outline")"
[ "$(sed -n 2p "$work/outline")" = '  Contents 2' ] || fail "$(cat "$work/outline")"
# Courses and lessons are the lines of the contents, those of the inner course one level deeper.
sed 's/|/ /; s/^/  /; s/^  \(Deep Water\|Still Water\)/    \1/' "$work/contents" >"$work/wanted"
grep -v Wave "$work/outline" | sed 1,2d | diff "$work/wanted" - >&2 || fail 'lessons'
[ "$(grep -c Wave "$work/outline")" = 13 ] || fail "exercises: $(cat "$work/outline")"
sed -n 's/^ *\(Wave [0-9]*\) \([0-9]*\)$/\2 \1/p' "$work/outline" >"$work/waves"
while read -r page title; do
    page_text "$page" | grep -q "$title\\>" || fail "no '$title' on page $page"
done <"$work/waves"

it 'puts a running head on pages that go on, and none over a title'
second=$(sed -n 's/^High Water|//p' "$work/contents")
page_text $((second + 1)) | head -n 1 | grep -q '^ *The Harbour Course  *High Water$' ||
    fail "$(page_text $((second + 1)) | head -n 2)"
! page_text "$second" | grep -q 'The Harbour Course  *High Water' || fail 'a head over the title'

it 'tells a screen reader what it holds'
pdfinfo "$book" | grep -q '^Tagged: *yes' || fail 'not tagged'
qpdf --qdf --object-streams=disable "$book" - | grep -a -q '/Lang (sv)' || fail 'no language'
pdfinfo -struct-text "$book" | tr -d '"' | sed 's/^ *//' >"$work/told"
grep -qx Figure "$work/told" || grep -q '^Figure' "$work/told" || fail 'no figures'
# headings of both lessons that have a first exercise of one name, and no running head
[ "$(grep -c 'Wave 1$' "$work/told")" -ge 3 ] || fail "$(grep Wave "$work/told")"
! grep -q 'The Harbour Course High Water' "$work/told" || fail 'a running head is in the structure'

it 'is left alone while nothing in it changed'
stamp() { stat -c '%i %Y %Z' "$book"; }
before=$(stamp)
run course "$course" -o "$out"
expect_status 0
[ "$(stamp)" = "$before" ] || fail 'written again'

it 'has the same bytes, however the lessons were made'
run course "$course" -o "$work/again" --jobs 1
expect_same "$book" "$work/again/booklet.pdf"

it 'follows a lesson, and the order'
lesson "$course/deep/three.yaml" 'Stiller Water' 1
run course "$course" -o "$out"
contents | grep -q 'Stiller Water' || fail "$(contents)"
sed -i 's/^order:.*/order: [deep, two.yaml]/' "$course/course.yaml"
run course "$course" -o "$out"
expect_status 0
[ "$(contents | cut -d'|' -f1 | head -n 1)" = 'Deep End' ] || fail "$(contents)"
[ "$(contents | cut -d'|' -f1 | tail -n 1)" = 'Low <Water> & (tide) \ "é"' ] || fail "$(contents)"

it 'stays as it was while a lesson has errors'
cp "$book" "$work/before.pdf"
cp "$course/two.yaml" "$work/two.yaml"
echo '  - {voices: snair}' >>"$course/two.yaml"
run course "$course" -o "$out"
expect_status 1
expect_err_has 'the booklet was not updated: 1 lesson could not be made'
expect_err_lacks 'is stale'
run course "$course" -o "$out" --prune
expect_status 1
expect_same "$book" "$work/before.pdf"
run course "$course" -o "$work/new"
expect_err_has 'the booklet was not made: 1 lesson could not be made'
expect_none "$work/new/booklet.pdf"
cp "$work/two.yaml" "$course/two.yaml"
run course "$course" -o "$out"
expect_status 0
expect_same "$book" "$work/before.pdf"

it 'stays while the course file cannot be understood'
cp "$course/course.yaml" "$work/course.yaml"
for wrong in 'produce: [pdf, booklt]' 'title: [' ''; do
    echo "$wrong" >"$course/course.yaml"
    run course "$course" -o "$out" --prune
    expect_status 1
    expect_err_lacks 'is stale'
    expect_same "$book" "$work/before.pdf"
done
cp "$work/course.yaml" "$course/course.yaml"
run course "$course" -o "$out"
expect_status 0
expect_same "$book" "$work/before.pdf"

it 'is made again if it was lost or changed'
rm "$book"
run course "$course" -o "$out"
expect_same "$book" "$work/before.pdf"
echo more >>"$book"
run course "$course" -o "$out" --dry-run
expect_out_has "would make 'booklet.pdf'"
run course "$course" -o "$out"
expect_same "$book" "$work/before.pdf"

it 'stays as it was if the new one cannot be written'
# Files may be larger than any lesson's, but not as large as the booklet.
largest=$(find "$out" -name '*.pdf' ! -name booklet.pdf -exec wc -c {} + | grep -v total | awk '{ print $1 }' | sort -n | tail -n 1)
size=$(wc -c <"$book")
[ $((largest * 11)) -lt $((size * 10)) ] || fail "a lesson of $largest bytes, a booklet of $size"
(ulimit -f $(((largest + size) / 2 / 512)) && "$RATAMARK" course "$course" -o "$out" --force >"$work/.out" 2>"$work/.err")
status=$?
expect_status 3
expect_err_has "booklet.pdf': File too large"
expect_same "$book" "$work/before.pdf"
expect_no_parts "$out"
run course "$course" -o "$out"
expect_status 0
expect_same "$book" "$work/before.pdf"

it 'has the look of the course'
sed -i 's/^level:.*/page: {size: letter, margin: 25}/' "$course/course.yaml"
run course "$course" -o "$out"
expect_status 0
for page in 1 2 "$(pages)"; do
    pdfinfo -f "$page" -l "$page" "$book" | grep -q '^Page .* size: .*(letter)' || fail "page $page"
done

it 'does not write over a lesson that has its name'
lesson "$course/booklet.yaml" 'A lesson' 1
run course "$course" -o "$out"
expect_status 1
expect_err_has 'rename the lesson'
rm "$course/booklet.yaml"

it 'is stale when it is no longer asked for'
sed -i 's/^produce:.*/produce: [pdf]/' "$course/course.yaml"
run course "$course" -o "$out" --booklet
expect_status 0
run course "$course" -o "$out"
expect_err_has "booklet.pdf' is stale: it is no longer asked for"
run course "$course" -o "$out" --prune
expect_none "$book"
run course "$course" -o "$out" --booklet
expect_file "$book"

it 'is not made of a part of the course'
rm "$book"
run course "$course" -o "$out" --booklet --only one.yaml
expect_status 0
expect_none "$book"

it 'is made when the shares of a course are joined'
for share in 1/2 2/2; do
    run course "$course" -o "$work/shares" --booklet --shard $share
    expect_status 0
    expect_none "$work/shares/booklet.pdf"
done
run course "$course" -o "$work/shares" --booklet --merge
expect_status 0
run course "$course" -o "$out" --booklet
expect_same "$work/shares/booklet.pdf" "$book"
expect_no_parts "$out"

finish
