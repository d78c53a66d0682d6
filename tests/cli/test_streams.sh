# What goes where: results on standard output where asked, messages on standard error.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml
wrong_lesson wrong.yaml
long_lesson long.yaml 12

it 'a sheet is written beside the lesson, and its name is printed unless --quiet'
run engrave good.yaml
expect_status 0
expect_no_out
expect_text "$work/.err" "ratamark: wrote 'good.pdf'"
rm good.pdf
run engrave -q good.yaml
expect_no_out
expect_no_err
expect_begins good.pdf %PDF-
expect_no_parts .

it 'the ending names the format'
run engrave good.yaml -o sheet.svg
expect_status 0
xmllint --noout sheet.svg || fail 'no XML'
run engrave good.yaml -o sheet.PNG
expect_status 0
[ "$(head -c 8 sheet.PNG | od -An -tx1 | tr -d ' ')" = 89504e470d0a1a0a ] || fail 'no PNG'

it 'an unknown file type is refused'
run engrave good.yaml -o sheet.jpeg
expect_status 2
expect_err_has '.pdf, .svg, .png, .html or .txt'
run engrave good.yaml -o sheet
expect_status 2
expect_none sheet

it '--as decides against the ending'
run engrave good.yaml -o sheet.txt --as pdf
expect_status 0
expect_begins sheet.txt %PDF-
run engrave good.yaml --as svg
expect_status 0
xmllint --noout good.svg || fail 'no XML'

it 'a folder takes the name of the lesson'
mkdir sheets
run engrave good.yaml -o sheets --as png
expect_status 0
expect_file sheets/good.png
run engrave good.yaml -o sheets/
expect_status 0
expect_begins sheets/good.pdf %PDF-

it 'several lessons at once: one with errors does not stop the others'
mkdir several several/deep
cp good.yaml several/one.yaml
cp good.yaml several/two.yaml
cp wrong.yaml several/bad.yaml
cp good.yaml several/deep/one.yaml
run engrave several/one.yaml several/bad.yaml several/two.yaml
expect_status 1
expect_err_has "wrote 'several/one.pdf'"
expect_err_has 'several/bad.yaml:4:13: error:'
expect_err_has "wrote 'several/two.pdf'"
expect_none several/bad.pdf
run engrave several/one.yaml several/two.yaml -o sheets --as svg
expect_status 0
expect_file sheets/one.svg
expect_file sheets/two.svg
rm sheets/one.svg

it 'several lessons do not go into one file'
run engrave several/one.yaml several/two.yaml -o both.pdf
expect_status 2
expect_err_has "several lessons cannot all be written to 'both.pdf'; give a folder that exists"
expect_none both.pdf
run engrave several/one.yaml several/two.yaml -o -
expect_status 2
expect_no_out
run engrave several/one.yaml several/deep/one.yaml -o sheets --as svg
expect_status 2
expect_err_has "'several/one.yaml' and 'several/deep/one.yaml' would both be written to 'sheets/one.svg'"
expect_none sheets/one.svg

it 'from standard input to standard output'
run engrave - <good.yaml
expect_status 0
expect_begins "$work/.out" %PDF-
run engrave --as svg - -o - <good.yaml
expect_status 0
xmllint --noout "$work/.out" || fail 'no XML'

it 'standard input can be named on the way to a file'
run engrave - -o piped.pdf <good.yaml
expect_status 0
expect_no_out
expect_same piped.pdf good.pdf

it 'mistakes on standard input are reported for <stdin>'
run check - <wrong.yaml
expect_status 1
expect_no_out
expect_err_has '<stdin>:4:13: error:'

it 'a lesson from a named pipe'
mkfifo pipe
cat good.yaml >pipe &
run engrave pipe -o fifo.pdf
wait
expect_status 0
expect_same fifo.pdf good.pdf

it 'several pages get numbers before the ending'
run engrave long.yaml -o page.svg
expect_status 0
expect_none page.svg
expect_file page-1.svg
expect_file page-2.svg
pages=$(ls page-*.svg | wc -l)
run engrave long.yaml -o whole.pdf
[ "$(qpdf --show-npages whole.pdf)" = "$pages" ] || fail "$pages SVG pages, other PDF pages"

it 'several pages of a one-page format do not fit standard output'
run engrave long.yaml -o - --as png
expect_status 2
expect_no_out
expect_err_has 'pages, but a PNG file holds one'

it 'several pages of a PDF do'
run engrave long.yaml -o -
expect_status 0
expect_same "$work/.out" whole.pdf

it 'one exercise alone'
run engrave long.yaml -o one.svg --exercise 3
expect_status 0
grep -q . one.svg || fail 'empty'
expect_none one-1.svg

it 'a binary sheet is not written to a terminal'
cat >terminal.py <<'END'
import os, pty, sys
pid, end = pty.fork()
if pid == 0:
    os.execv(sys.argv[1], sys.argv[1:])
seen = b""
while True:
    try:
        got = os.read(end, 4096)
    except OSError:
        break
    if not got:
        break
    seen += got
sys.stdout.buffer.write(seen)
sys.exit(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]))
END
for kind in pdf png; do
    python3 terminal.py "$RATAMARK" engrave good.yaml -o - --as $kind >"$work/.out"
    status=$?
    expect_status 2
    expect_out_has 'file to the terminal; use -o FILE'
done
python3 terminal.py "$RATAMARK" engrave good.yaml -o - --as svg >"$work/.out"
status=$?
expect_status 0
expect_out_has '<svg'

it 'it says nothing of standard output, and with --verbose what it read'
run engrave good.yaml -o -
expect_no_err
run engrave --verbose good.yaml
expect_no_out
expect_err_has "wrote 'good.pdf'"
expect_err_has 'read '

it 'colours on a terminal, unless NO_COLOR or TERM=dumb; --color beats them'
escape=$(printf '\033[')
colors() { # yes|no, then the environment and the options
    wanted=$1
    shift
    env "$@" >"$work/.out" 2>&1
    if grep -qF "$escape" "$work/.out"; then seen=yes; else seen=no; fi
    [ $seen = "$wanted" ] || fail "colours: $seen for $*"
}
colors yes TERM=xterm python3 terminal.py "$RATAMARK" check wrong.yaml
colors no TERM=dumb python3 terminal.py "$RATAMARK" check wrong.yaml
colors no TERM=xterm NO_COLOR=1 python3 terminal.py "$RATAMARK" check wrong.yaml
colors yes TERM=xterm NO_COLOR= python3 terminal.py "$RATAMARK" check wrong.yaml
colors no TERM=xterm python3 terminal.py "$RATAMARK" check --color never wrong.yaml
colors no TERM=xterm "$RATAMARK" check wrong.yaml
colors yes NO_COLOR=1 TERM=dumb "$RATAMARK" check --color always wrong.yaml

it 'quiet leaves errors only'
run check -q good.yaml
expect_status 0
expect_no_err
run check -q wrong.yaml
expect_status 1
expect_err_has 'error:'
expect_err_lacks 'note:'
expect_err_lacks 'checked'

it 'the lesson itself is never overwritten'
cp good.yaml lesson.pdf
run engrave lesson.pdf
expect_status 2
expect_err_has 'is the lesson itself'
expect_same lesson.pdf good.yaml
run engrave good.yaml -o good.yaml --as pdf
expect_status 2
head -n 1 good.yaml | grep -q '^title' || fail 'overwritten'

it 'closed standard streams do not leak into the sheet'
"$RATAMARK" engrave good.yaml -o closed.pdf <&- >&- 2>&-
status=$?
expect_status 0
expect_same closed.pdf good.pdf

it 'same lesson, same bytes'
for kind in pdf svg png; do
    run engrave good.yaml -o again.$kind
    cp again.$kind first.$kind
    sleep 1
    run engrave good.yaml -o again.$kind
    expect_same again.$kind first.$kind
done

it 'a date comes from SOURCE_DATE_EPOCH alone'
qpdf --qdf --object-streams=disable good.pdf plain.pdf
if grep -q CreationDate plain.pdf; then fail 'a date without being asked'; fi
# 1,000,000,000 s after 1970 is 2001-09-09 01:46:40 UTC (POSIX, seconds since the Epoch).
SOURCE_DATE_EPOCH=1000000000 "$RATAMARK" engrave good.yaml -o dated.pdf
qpdf --qdf --object-streams=disable dated.pdf plain.pdf
grep -a CreationDate plain.pdf | grep -q 20010909014640 || fail "$(grep -a CreationDate plain.pdf)"
export SOURCE_DATE_EPOCH=soon
run engrave good.yaml
unset SOURCE_DATE_EPOCH
expect_status 2
expect_err_has "SOURCE_DATE_EPOCH is not a time: 'soon'"

finish
