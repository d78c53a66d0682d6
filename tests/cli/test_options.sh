# What the command line understands, and what it says of the rest.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml

it 'shows how it is used when nothing is given'
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

it 'commands that do not exist are unknown'
for command in trace; do
    run $command good.yaml
    expect_status 2
    expect_no_out
    expect_err_has "unknown command '$command'"
done

it 'unknown options get the nearest name'
run check --fromat json good.yaml
expect_status 2
expect_err_has "unknown option '--fromat'; did you mean '--format'?"

it 'the beginning of an option is enough if only one option begins so'
run check --form json good.yaml
expect_status 0
expect_out_has '"format": 1'
run check --for=json good.yaml
expect_out_has '"format": 1'
run check --ver good.yaml
expect_status 2
expect_err_has "option '--ver' could be --verbose or --version"
run engrave good.yaml --out beginning.svg
expect_status 0
expect_file beginning.svg
run check --dp 300 good.yaml
expect_status 2
expect_err_has "unknown option '--dp'"

it 'a complete option name is not taken for an abbreviation'
run sound --step 5 --ladder good.yaml -o step.mid
expect_status 0

it 'help is a command, too'
run help
expect_status 0
cp "$work/.out" help.program
run --help
expect_same "$work/.out" help.program
for command in check engrave course grid sound stick rudiments; do
    run help $command
    expect_status 0
    cp "$work/.out" help.command
    run $command --help
    expect_same "$work/.out" help.command
done
run help engarve
expect_status 2
expect_err_has "unknown command 'engarve'; did you mean 'engrave'?"
run help check engrave
expect_status 2

it '-V is --version'
run --version
cp "$work/.out" version
run -V
expect_status 0
expect_same "$work/.out" version

it 'an editor can name the file whose text it sends'
mkdir -p pier/week
printf 'kit: {voices: {bell: {like: cowbell}}}\n' >pier/course.yaml
printf 'exercises:\n  - {subdivision: quarters, sticking: R, voices: bell}\n' >unsaved
run check - <unsaved
expect_status 1
expect_err_has '<stdin>:2:50: error:'
run check - --name pier/week/new.yaml <unsaved
expect_status 0
expect_err_has '2 files checked: 0 errors'
sed 's/R,/Q,/' unsaved >unsaved.wrong
run check - --name pier/week/new.yaml <unsaved.wrong
expect_status 1
expect_err_has 'pier/week/new.yaml:2:39: error:'
expect_err_has "sticking: Q"
echo 'tempoo: 60' >unsaved.course
run check - --name pier/course.yaml <unsaved.course
expect_status 1
expect_err_has 'pier/course.yaml:1:1: error:'
run check good.yaml --name pier/week/new.yaml
expect_status 2
expect_err_has "--name is the name of standard input; give '-' as a file, too"

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

it 'a message cannot control the terminal'
run check "$(printf 'no\033[2Jsuch.yaml')"
expect_status 3
if grep -q "$(printf '\033')" "$work/.err"; then fail 'an escape came through'; fi

finish
