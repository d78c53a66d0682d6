#!/bin/sh
# The example course, engraved as in the README. The only message names the staff on which a lesson
# fits one page, and poppler and qpdf read what was written.
. tests/cli/lib.sh

lessons=0
for lesson in examples/[0-9]*.yaml; do
    lessons=$((lessons + 1))
    it "$(basename "$lesson" .yaml)"
    run engrave "$lesson" -o "$work/sheet.pdf"
    expect_status 0
    told=$(grep -E '(error|warning|note): ' "$work/.err" | grep -vF '[page-fit]')
    [ -z "$told" ] || fail "standard error: $told"
    qpdf --check "$work/sheet.pdf" >"$work/qpdf" 2>&1 || fail "qpdf: $(cat "$work/qpdf")"
    title=$(sed -n 's/^title: //p' "$lesson" | head -n 1)
    pdfinfo "$work/sheet.pdf" >"$work/info"
    grep -q "^Title: *$title\$" "$work/info" || fail "title: $(grep Title "$work/info")"
    grep -q '^Author: *Wharf Lane Drum School' "$work/info" || fail "author: $(grep Author "$work/info")"
    pages=$(sed -n 's/^Pages: *//p' "$work/info")
    [ "$pages" -le 2 ] || fail "$pages pages: a lesson is one sheet of paper"
    pdftotext -raw "$work/sheet.pdf" "$work/text"
    # as it is written: "Two {lefts|rights}" is "Two lefts"
    sed -n 's/^  - title: //p' "$lesson" | sed 's/{\([^|}]*\)|[^}]*}/\1/g' | while read -r heading; do
        grep -qF "$heading" "$work/text" || echo "$heading"
    done >"$work/lost"
    [ ! -s "$work/lost" ] || fail "headings lost: $(cat "$work/lost")"
done

it 'lists the course in its order'
[ "$lessons" -ge 14 ] || fail "$lessons lessons"
ls examples/[0-9]*.yaml | sed 's|examples/||' >"$work/files"
sed -n 's/^  - \([0-9].*\.yaml\)$/\1/p' examples/course.yaml | cmp -s - "$work/files" || fail 'order'

finish
