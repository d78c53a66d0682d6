#!/bin/sh
# The extremes of tests/stress make sheets, without a crash or a finding of a sanitizer; in what
# another program (poppler) shows of them, no ink comes near the paper's edge.
. tests/cli/lib.sh
cd "$work" || exit 1

# Whether the outermost millimetres of all pages are white.
edges_are_white() { # FILE.pdf MILLIMETRES
    pdftoppm -gray -r 72 "$1" edge || return 1
    python3 - "$2" edge*.pgm <<'END'
import sys
width = int(float(sys.argv[1]) / 25.4 * 72)
for name in sys.argv[2:]:
    magic, size, most, ink = open(name, 'rb').read().split(b'\n', 3)
    across, down = map(int, size.split())
    rows = [ink[y * across:(y + 1) * across] for y in range(down)]
    outside = rows[:width] + rows[-width:] + [row[:width] + row[-width:] for row in rows]
    if any(min(row) < 250 for row in outside):
        sys.exit(name)
END
    white=$?
    rm -f edge*.pgm
    return $white
}

for lesson in "$top"/tests/stress/*.yaml; do
    name=$(basename "$lesson" .yaml)
    it "$name"
    run engrave "$lesson" -o "$name.pdf"
    expect_status 0
    pages=$(pdfinfo "$name.pdf" | sed -n 's/^Pages: *//p')
    [ "$pages" -ge 1 ] || fail 'no page'
    edges_are_white "$name.pdf" 4.5 || fail 'ink at the edge'
    run engrave "$lesson" -o "$name.svg"
    expect_status 0
    [ "$(find . -name "$name*.svg" | wc -l)" = "$pages" ] || fail 'another number of pictures'
    find . -name "$name*.svg" | xargs python3 -c \
        'import sys, xml.dom.minidom; [xml.dom.minidom.parse(name) for name in sys.argv[1:]]' ||
        fail 'not XML'
done

it 'says where a bar is wider than a line, and what was done'
run engrave "$top/tests/stress/wide-bars.yaml" -o wide.pdf
expect_err_has 'wide-bars.yaml:4:5: warning: bar 1 is wider than a line: the exercise is set on a staff of '
run engrave "$top/tests/stress/too-wide.yaml" -o wide.pdf
expect_err_has 'too-wide.yaml:4:5: warning: bar 1 is wider than a line, even on a staff of 3.0 mm'

finish
