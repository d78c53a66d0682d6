# What bars add up to, against the rational numbers of Python's standard library (fractions): random
# rhythms with tuplets of every number in each other, right and wrong, by the hundred.
. tests/cli/lib.sh
cd "$work" || exit 1

cat >rhythms.py <<'END'
import random, sys
from fractions import Fraction

UNITS = {2: ("half", "halves"), 4: ("quarter", "quarters"), 8: ("eighth", "eighths")}
METERS = [(4, 4), (3, 4), (5, 4), (6, 8), (7, 8), (12, 8), (2, 2)]


def usual(actual):
    return {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 9: 8, 11: 8, 13: 8}[actual]


def note(rng, length):
    """A note or rest of a plain length."""
    return ("_" if rng.random() < 0.2 else "") + str(length.denominator)


def fill(rng, length, depth):
    """Text that fills a power of two of a whole note exactly."""
    choice = rng.random()
    if depth < 3 and choice < 0.3 and length.denominator <= 8:
        actual = rng.choice([3, 5, 6, 7, 9, 11, 13])
        unit = length / usual(actual)
        if unit.denominator <= 64:
            inside = " ".join(fill(rng, unit, depth + 1) for _ in range(actual))
            return f"{actual}:{usual(actual)}({inside})"
    if choice < 0.6 and length.denominator <= 16:
        return fill(rng, length / 2, depth) + " " + fill(rng, length / 2, depth)
    return note(rng, length)


def split(length):
    """Powers of two that add up to a length, large ones first."""
    parts, value = [], Fraction(1)
    while length:
        while value > length:
            value /= 2
        parts.append(value)
        length -= value
    return parts


def amount(length, unit):
    units = length * unit
    whole, rest = divmod(units, 1)
    words = " ".join(w for w in (str(whole) if whole or not rest else "", str(rest) if rest else "") if w)
    return words + " " + UNITS[unit][units != 1]


def main(seed, lesson, expected):
    rng = random.Random(seed)
    with open(lesson, "w") as out, open(expected, "w") as said:
        out.write("title: T\nexercises:\n  - title: E\n    bars:\n")
        line = 4
        for _ in range(160):
            beats, unit = rng.choice(METERS)
            wants = Fraction(beats, unit)
            off = rng.choice([0, 0, 1, -1, 2, -3]) * Fraction(1, rng.choice([4, 8, 16, 32, 64]))
            total = wants + off if wants + off > 0 else wants
            text = " ".join(fill(rng, part, 0) for part in split(total))
            out.write(f"      - time: {beats}/{unit}\n        rhythm: {text}\n")
            line += 2
            if total != wants:
                way = "short" if total < wants else "too long"
                said.write(f"{line} {way} {amount(total, unit)} {amount(wants, unit)}\n")


main(int(sys.argv[1]), sys.argv[2], sys.argv[3])
END

python=$(command -v /usr/bin/python3 || command -v python3) || python=
for seed in 1 2 3 4 5; do
    it "rational numbers agree on every bar of random lesson $seed"
    [ -n "$python" ] || { fail 'python3 is missing'; continue; }
    "$python" rhythms.py "$seed" random.yaml expected || fail 'no lesson was written'
    run check random.yaml
    sed -n 's/^[^:]*:\([0-9]*\):[0-9]*: error: the .* \(short\|too long\): it adds up to \(.*\), but a bar of [0-9/]* has \([0-9]* [a-z]*\).* \[bar-length\]$/\1 \2 \3 \4/p' \
        "$work/.err" >said
    [ "$(wc -l <expected)" -gt 40 ] || fail 'too few wrong bars to tell'
    diff expected said >difference || fail "$(head -n 6 difference)"
    [ "$(grep -c 'error:' "$work/.err")" -eq "$(wc -l <expected)" ] || fail 'other errors were told'
done
finish
