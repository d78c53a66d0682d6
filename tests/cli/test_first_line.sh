#!/bin/sh
# `engrave --first-line`: the first line of music alone, as large as it is on its page.
. tests/cli/lib.sh
cd "$work" || exit 1

long_lesson long.yaml 12

size() { # FILE.svg: width and height in points, whole
    sed -n 's/.*<svg[^>]* width="\([0-9]*\)[.0-9]*pt" height="\([0-9]*\)[.0-9]*pt".*/\1 \2/p' "$1" | head -n 1
}

it 'is one picture of its own size, however many pages the lesson has'
run engrave long.yaml --first-line -o line.svg
expect_status 0
expect_none line-1.svg
# A4 without its margins of 18 mm is 174 mm wide (493.2 points); a staff space (1.75 mm) of white at
# each side makes it 503.
set -- $(size line.svg)
[ "$1" -ge 500 ] && [ "$1" -le 506 ] || fail "$1 points wide"
[ "$2" -ge 40 ] && [ "$2" -le 120 ] || fail "$2 points high"
xmllint --noout line.svg || fail 'no XML'

it 'shows what the page shows'
# Every stroke of ink in the line stands on the page, too: the first page's letters begin with it.
run engrave long.yaml --first-line -o line.pdf
expect_status 0
[ "$(pdfinfo line.pdf | sed -n 's/^Pages: *//p')" = 1 ] || fail 'one page'
run engrave long.yaml -o long.pdf
pdftotext -layout line.pdf line.txt
pdftotext -layout -l 1 long.pdf page.txt
letters=$(grep -o '[RL ]*[RL]' line.txt | tr -d ' ' | tr -d '\n')
echo "$letters" | grep -q '^RLRRLRLLRLRRLRLL' || fail "letters: $letters"
! grep -q 'Wave' line.txt || fail 'a heading is in it'
tr -d ' \n' <page.txt | grep -qF "$(grep '[RL]  *[RL]' line.txt | head -n 1 | tr -d ' \n')" || fail 'another line than on the page'

it 'is a PNG, too'
run engrave long.yaml --first-line -o line.png --dpi 72
expect_status 0
# the width is in bytes 17 to 20 (PNG, W3C 2003, 11.2.2)
width=$(od -An -j16 -N4 -tu1 line.png | awk '{ print (($1 * 256 + $2) * 256 + $3) * 256 + $4 }')
[ "$width" -ge 500 ] && [ "$width" -le 506 ] || fail "$width pixels"

it 'is that of the chosen exercise'
cat >two.yaml <<'END'
title: Two
exercises:
  - {title: One, subdivision: eighths, sticking: RL}
  - {title: Other, subdivision: eighths, sticking: LLR}
END
run engrave two.yaml --first-line --exercise 2 -o two.pdf
expect_status 0
pdftotext -layout two.pdf two.txt
grep -o '[RL]' two.txt | tr -d '\n' | grep -q '^LLRLLRLL' || fail "$(cat two.txt)"

it 'is the first page if no music is printed'
cat >form.yaml <<'END'
title: A long form
exercises:
  - {id: a, title: One, subdivision: eighths, sticking: RL}
  - {title: Form, sequence: a*40}
END
run engrave form.yaml --first-line --exercise 2 -o form.svg
expect_status 0
[ "$(size form.svg)" = '595 841' ] || fail "$(size form.svg)"

finish
