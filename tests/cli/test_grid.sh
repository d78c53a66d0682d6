# The grid of every example: no line wider than asked, the lines between beats in one column.
. tests/cli/lib.sh

cat >"$work/grid.py" <<'END'
import re, sys
width, text = int(sys.argv[1]), open(sys.argv[2], encoding="utf-8").read()
lines = text.split("\n")
grid = [line for line in lines if re.search("[│║┊]", line)]
assert grid, "no grid"
beats = lambda line: len(re.findall("[│║┊]", line)) - 1
for line in grid:
    # A single beat is never broken.
    assert len(line) <= width or beats(line) == 1, f"{len(line)} cells: {line}"
for above, below in zip(lines, lines[1:]):
    if above in grid and below in grid:
        ends = [line.rstrip("×0123456789") for line in (above, below)]
        assert [m.start() for m in re.finditer("[│║┊]", ends[0])] == \
               [m.start() for m in re.finditer("[│║┊]", ends[1])], f"{above}\n{below}"
END

for lesson in examples/*.yaml; do
    [ "$(basename "$lesson")" = course.yaml ] && continue
    it "grid of $(basename "$lesson")"
    for width in 40 80 132; do
        COLUMNS=$width "$RATAMARK" grid -q "$lesson" >"$work/.out" 2>"$work/.err"
        status=$?
        expect_status 0
        python3 "$work/grid.py" "$width" "$work/.out" || fail "$width columns"
    done
done

it 'the width is 80 by default, and odd values of COLUMNS are ignored'
for columns in '' 0 -5 99999999999 wide; do
    COLUMNS=$columns "$RATAMARK" grid -q examples/11-six-in-the-hold.yaml >"$work/$columns.grid"
done
COLUMNS=80 "$RATAMARK" grid -q examples/11-six-in-the-hold.yaml >"$work/80"
for columns in '' 0 -5 99999999999 wide; do expect_same "$work/80" "$work/$columns.grid"; done

it 'one exercise alone'
run grid -q examples/11-six-in-the-hold.yaml --exercise 4
expect_status 0
expect_out_has '4  Change of gear'
[ "$(grep -c '^[0-9]' "$work/.out")" = 1 ] || fail 'others, too'

it 'jumps play the bars in the order worked out by hand from the chart'
run grid -q examples/27-the-night-ferry.yaml
expect_status 0
# A 1-4, B with the segno 5-12, C 13-17 and its D.S. al Coda; 5-12 to the coda, which is 18-20.
expect_out_has '  played: bars 1-17, 5-12, 18-20'
# The fine is after bar 2, the D.S. after bar 6, the segno in bar 1.
expect_out_has '  played: bars 1-6, 1-2'

finish
