# A sheet appears whole or not at all; what was there before stays until then.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml
wrong_lesson wrong.yaml
long_lesson long.yaml 60

it 'a lesson with errors writes nothing'
run engrave wrong.yaml
expect_status 1
expect_none wrong.pdf
expect_no_parts .

it 'a lesson with errors leaves the older sheet'
echo older >wrong.pdf
run engrave wrong.yaml
expect_status 1
expect_text wrong.pdf older
for kind in svg png; do
    echo older >sheet.$kind
    run engrave wrong.yaml -o sheet.$kind
    expect_status 1
    expect_text sheet.$kind older
done

it 'a new sheet takes the place of the older one'
echo older >good.pdf
run engrave good.yaml
expect_status 0
expect_begins good.pdf %PDF-

# without_rights COMMAND...: as a user who may not pass over permissions.
without_rights() {
    if [ "$(id -u)" = 0 ]; then
        # What the sanitizers read, too, has to be where that user may go.
        chmod a+rx "$work"
        cp "$top/tests/leaks" "$work/leaks"
        LSAN_OPTIONS=suppressions=$work/leaks:print_suppressions=0 \
        setpriv --reuid=65534 --regid=65534 --clear-groups "$@"
    else
        "$@"
    fi
}

it 'a folder that may not be written to: 3, and it stays as it was'
mkdir shut
cp good.yaml shut/lesson.yaml
echo older >shut/lesson.pdf
chmod a-w shut shut/lesson.pdf
if [ "$(id -u)" = 0 ]; then chmod a+rx "$(dirname "$RATAMARK")" 2>/dev/null; cp "$RATAMARK" ./program; else ln -s "$RATAMARK" program; fi
without_rights ./program engrave shut/lesson.yaml >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_err_has "cannot write 'shut/lesson.pdf': Permission denied"
expect_text shut/lesson.pdf older
without_rights ./program engrave shut/lesson.yaml -o shut/new.pdf >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_none shut/new.pdf

it 'a sheet that is read-only is not replaced'
mkdir -m 777 open
cp good.yaml open/lesson.yaml
echo older >open/lesson.pdf
chmod a-w open/lesson.pdf
without_rights ./program engrave open/lesson.yaml >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_text open/lesson.pdf older
expect_no_parts open

it 'a file that may not be read: 3'
cp good.yaml secret.yaml
chmod 000 secret.yaml
without_rights ./program check secret.yaml >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_err_has 'secret.yaml: error: cannot be read: Permission denied [unreadable]'

it 'no such folder: 3'
run engrave good.yaml -o absent/sheet.pdf
expect_status 3
expect_err_has "cannot write 'absent/sheet.pdf': No such file or directory"

# A limit on the size of files fails like a full disk, for every user.
it 'a sheet that cannot be written whole leaves the older one'
echo older >limited.pdf
(
    ulimit -f 4
    exec "$RATAMARK" engrave good.yaml -o limited.pdf
) >"$work/.out" 2>"$work/.err"
status=$?
expect_status 3
expect_err_has "cannot write 'limited.pdf': File too large"
expect_text limited.pdf older
expect_no_parts .

if [ "$(id -u)" = 0 ] && mkdir disk && mount -t tmpfs -o size=8k none disk 2>/dev/null; then
    it 'a full disk: 3, and the older sheet stays'
    echo older >disk/sheet.pdf
    run engrave good.yaml -o disk/sheet.pdf
    expect_status 3
    expect_err_has 'No space left on device'
    expect_text disk/sheet.pdf older
    expect_no_parts disk
    umount disk
else
    leave_out 'a full disk' 'nothing can be mounted'
fi

it 'of several pages none appears when one fails'
mkdir pages
echo older >pages/p-1.svg
mkdir pages/p-2.svg
run engrave long.yaml -o pages/p.svg
expect_status 3
expect_text pages/p-1.svg older
expect_none pages/p-3.svg
expect_no_parts pages

# interrupt SIGNAL: sends it as soon as a half-written file is there.
interrupt() {
    rm -rf busy
    mkdir busy
    echo older >busy/p-1.png
    "$RATAMARK" engrave long.yaml -o busy/p.png --dpi 600 2>"$work/.err" &
    program=$!
    tries=0
    while [ -z "$(find busy -name '.ratamark-*')" ] && [ $tries -lt 3000 ]; do
        tries=$((tries + 1))
        sleep 0.01
    done
    kill "-$1" $program
    wait $program 2>/dev/null
    status=$?
}

for signal in TERM HUP; do
    it "interrupted by SIG$signal it leaves nothing half-written"
    interrupt $signal
    [ "$status" -gt 128 ] || fail "ended with $status before the signal"
    expect_no_parts busy
    expect_text busy/p-1.png older
    [ "$(ls busy | wc -l)" = 1 ] || fail "$(ls busy)"
done

finish
