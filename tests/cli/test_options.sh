# What the command line understands, and what it says of the rest.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml

it 'tells what it wants when nothing is given'
run
expect_status 2
expect_no_out
expect_err_has 'no command given'
expect_err_has "Try 'ratamark --help'."

it 'help goes to standard output'
run --help
expect_status 0
expect_no_err
for command in check engrave grid rudiments; do expect_out_has "  $command "; done

for command in check engrave grid rudiments; do
    it "help of $command goes to standard output"
    run $command --help
    expect_status 0
    expect_no_err
    expect_out_has "usage: ratamark $command"
    run -h $command
    expect_status 0
    expect_out_has "usage: ratamark $command"
done

it 'version is a name and a number on the first line'
run --version
expect_status 0
expect_no_err
head -n 1 "$work/.out" | grep -qx 'ratamark [0-9]*\.[0-9]*\.[0-9]*' || fail "$(head -n 1 "$work/.out")"
for library in libyaml cairo pango fontconfig freetype jansson; do expect_out_has "$library "; done
# The libraries themselves, as pkg-config knows them.
for pair in cairo:cairo pango:pango jansson:jansson libyaml:yaml-0.1; do
    expect_out_has "${pair%%:*} $(pkg-config --modversion "${pair#*:}")"
done

it 'unknown commands get the nearest name'
run engarve good.yaml
expect_status 2
expect_no_out
expect_err_has "unknown command 'engarve'; did you mean 'engrave'?"

it 'commands that do not exist yet are unknown'
for command in vary init schema completion; do
    run $command good.yaml
    expect_status 2
    expect_no_out
    expect_err_has "unknown command '$command'"
done

it 'unknown options get the nearest name'
run check --forma json good.yaml
expect_status 2
expect_err_has "unknown option '--forma'; did you mean '--format'?"

it 'options of another command are refused'
run check --dpi 300 good.yaml
expect_status 2
expect_err_has "'check' has no option --dpi"

it 'values are checked'
for wrong_value in '--dpi 0' '--dpi x' '--dpi 1e3' '--exercise 0' '--exercise 1,' '--as jpeg' '--color blue'; do
    # shellcheck disable=SC2086 # two words
    run engrave good.yaml $wrong_value
    expect_status 2
    expect_err_has "${wrong_value%% *} takes"
done
expect_none good.pdf

it 'two dashes end the options'
good_lesson ./--help
run check -- --help
expect_status 0
expect_err_has '1 file checked: 0 errors'

it 'a message cannot steer the terminal'
run check "$(printf 'no\033[2Jsuch.yaml')"
expect_status 3
if grep -q "$(printf '\033')" "$work/.err"; then fail 'an escape came through'; fi

finish
