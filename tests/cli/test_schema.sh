# The JSON Schema of lessons and courses, tried with ajv of npm on YAML that npm's yaml has read: it
# accepts what check accepts, and refuses what a schema can refuse. tests/schema/beyond lists the wrong
# lessons that it accepts, with REGEN=1 again: what adds up, fits, or names something that exists is
# beyond a schema. That is less than half of them.
. tests/cli/lib.sh
. tests/cli/displays.sh
build=${BUILD:-build}

it 'is written for lessons and for courses'
run schema lesson
expect_status 0
cp "$work/.out" "$work/lesson.json"
run schema course
expect_status 0
cp "$work/.out" "$work/course.json"
run schema page
expect_status 2
expect_err_has "there is no schema for 'page'; there is one for lesson and course"

# validate SCHEMA FILE...: into $work/result
validate() {
    schema=$1
    shift
    node tests/schema/validate.mjs "$build/npm" "$work/$schema.json" "$@" >"$work/result" 2>"$work/.err" ||
        fail "$(head -n 3 "$work/.err")"
}

it 'accepts every correct lesson and course'
# shellcheck disable=SC2046
validate lesson $(ls examples/[0-9]*.yaml tests/stress/*.yaml tests/golden/*/*.yaml tests/effects/*.yaml | grep -v course.yaml)
[ "$(wc -l <"$work/result")" -gt 60 ] || fail 'few lessons'
! grep -v '^good ' "$work/result" >"$work/refused" || fail "$(head -n 5 "$work/refused")"
validate course examples/course.yaml tests/effects/course.yaml
[ "$(grep -c '^good ' "$work/result")" = 2 ] || fail "$(cat "$work/result")"

it 'accepts the lessons of the manuals'
for page in lesson.5 phrases.7; do
    displays "man/ratamark-$page" utf8 "$work/shown-$page"
    for display in "$work/shown-$page"/*; do
        "$RATAMARK" check -q "$display" >"$work/.out" 2>&1 && cp "$display" "$display.yaml"
    done
done
validate lesson "$work"/shown-*/*.yaml
[ "$(wc -l <"$work/result")" -ge 60 ] || fail 'few lessons'
! grep -v '^good ' "$work/result" >"$work/refused" || fail "$(head -n 5 "$work/refused")"

it 'accepts what init writes'
run init "$work/first"
validate lesson "$work"/first/0*.yaml
[ "$(grep -c '^good ' "$work/result")" = 2 ] || fail "$(cat "$work/result")"
validate course "$work/first/course.yaml"
[ "$(grep -c '^good ' "$work/result")" = 1 ] || fail "$(cat "$work/result")"

it 'refuses the wrong lessons that a schema can refuse'
validate lesson tests/wrong/*/*.yaml
sed -n 's|^good tests/wrong/||p' "$work/result" | sort >"$work/beyond"
[ -z "${REGEN:-}" ] || cp "$work/beyond" tests/schema/beyond
diff tests/schema/beyond "$work/beyond" >"$work/difference" || fail "$(head -n 5 "$work/difference")"
refused=$(grep -c '^wrong ' "$work/result")
accepted=$(grep -c '^good ' "$work/result")
[ $((refused * 100)) -ge $(((refused + accepted) * 57)) ] ||
    fail "refuses only $refused of $((refused + accepted))"

it 'explains keys and lists their words'
node -e '
const { properties, $defs } = JSON.parse(require("fs").readFileSync(process.argv[1]));
const bare = Object.entries({ ...properties, ...$defs.exercise.properties, ...$defs.bar.properties })
    .filter(([, shape]) => !shape.description).map(([key]) => key);
if (bare.length) throw new Error(`no help for ${bare}`);
if (!$defs.exercise.properties.lead.enum.includes("both")) throw new Error("lead");
if (!$defs.rudiment.enum.includes("single paradiddle")) throw new Error("rudiment");
if (!$defs.exercise.properties["hi-hat"]) throw new Error("hi-hat");
if ($defs.bar.properties.title) throw new Error("a bar has no title");
if (!$defs.bar.properties.level.deprecated) throw new Error("level in a bar");
' "$work/lesson.json" 2>"$work/.err" || fail "$(grep Error "$work/.err")"

finish
