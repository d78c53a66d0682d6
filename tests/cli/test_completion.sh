# Completion, tried in each shell itself: what it offers for a beginning of a command line.
. tests/cli/lib.sh
mkdir "$work/bin" "$work/lessons"
ln -s "$RATAMARK" "$work/bin/ratamark"
PATH=$work/bin:$PATH
cd "$work/lessons" || exit 1
good_lesson low.yaml
good_lesson 'high water.yaml'
: >notes.txt
mkdir week
# What --as can be, one a line, sorted: as the help lists it.
formats=$("$RATAMARK" engrave --help | sed -n 's/^ *--as \([a-z|]*\).*/\1/p' | tr '|' '\n' | sort)
[ "$(echo "$formats" | wc -l)" -ge 4 ] || exit 1
for shell in bash zsh fish; do "$RATAMARK" completion $shell >"$work/$shell" || exit 1; done

# offers WORD...: what the shell under test offers for a command line of these words, one a line,
# sorted. The last word is the one under the cursor; it may be empty.
bash_offers() {
    bash --norc -c '
        . "$1"
        shift
        complete -p ratamark | grep -q -- "-F _ratamark ratamark" || exit 1
        COMP_WORDS=("$@")
        COMP_CWORD=$(($# - 1))
        _ratamark
        printf "%s\n" "${COMPREPLY[@]}"' bash "$work/bash" "$@" | sort
}

fish_offers() {
    HOME=$work XDG_CONFIG_HOME=$work XDG_DATA_HOME=$work fish --no-config -c '
        source $argv[1]
        complete -C "$argv[2]"' "$work/fish" "$*" | cut -f1 | sort
}

# zsh completes in its line editor only, so it gets a terminal. Prints the line after a tab.
cat >"$work/zsh.py" <<'END'
import os, pty, select, sys, time
folder, script, typed = sys.argv[1:]
with open(folder + "/.zshrc", "w") as rc:
    rc.write("autoload -Uz compinit; compinit -u -D\n. " + script + "\nPS1='> '\n"
             "show() { print -r -- \"$BUFFER\" >$ZDOTDIR/line.new; mv -f $ZDOTDIR/line.new $ZDOTDIR/line }\n"
             "zle -N show; bindkey '^X' show; zstyle ':completion:*' list-prompt ''\n"
             "unsetopt list_beep; touch $ZDOTDIR/ready\n")
for name in ("line", "ready"):
    if os.path.exists(f"{folder}/{name}"):
        os.remove(f"{folder}/{name}")
pid, end = pty.fork()
if pid == 0:
    os.environ.update(ZDOTDIR=folder, TERM="xterm")
    os.execvp("zsh", ["zsh", "-i"])
until = time.time() + 60
sent = False
while time.time() < until and not os.path.exists(folder + "/line"):
    if select.select([end], [], [], 0.1)[0]:
        try:
            os.read(end, 65536)
        except OSError:
            break
    if not sent and os.path.exists(folder + "/ready"):
        sent = True
        os.write(end, typed.encode() + b"\t\x18")
os.close(end)
print(open(folder + "/line").read().rstrip())
END
zsh_line() { python3 "$work/zsh.py" "$work" "$work/zsh" "$1"; }

expect_offers() { # WORD...: all of these, among what is in $work/offered
    for word; do grep -qx -- "$word" "$work/offered" || fail "no '$word' in: $(head -n 30 "$work/offered")"; done
}
expect_lacks() { for word; do grep -qx -- "$word" "$work/offered" && fail "'$word' is offered"; done; true; }

for shell in bash fish; do
    if ! command -v $shell >/dev/null; then
        leave_out "$shell" "$shell is not installed"
        continue
    fi
    it "$shell: the commands"
    ${shell}_offers ratamark '' >"$work/offered"
    # shellcheck disable=SC2046 # words
    expect_offers $("$RATAMARK" --help | sed -n '/^Commands:/,/^$/s/^  \([a-z]*\) .*/\1/p')
    [ "$(wc -l <"$work/offered")" -ge 9 ] || fail 'nine commands'

    for command in check engrave course grid sound stick rudiments init; do
        it "$shell: all options of $command, and no others"
        ${shell}_offers ratamark $command -- >"$work/offered"
        "$RATAMARK" $command --help | grep -o '^ *\(-., \)\{0,1\}--[a-z-]*' | sed 's/.*--/--/' | sort >"$work/options"
        diff "$work/options" "$work/offered" >&2 || fail 'other options'
    done

    it "$shell: what an option can be"
    ${shell}_offers ratamark check --format '' >"$work/offered"
    expect_text "$work/offered" "$(printf 'json\nsarif\ntext')"
    ${shell}_offers ratamark engrave --as '' >"$work/offered"
    expect_text "$work/offered" "$formats"
    ${shell}_offers ratamark check --explain bar-le >"$work/offered"
    expect_text "$work/offered" bar-length

    it "$shell: lessons and folders"
    ${shell}_offers ratamark check '' >"$work/offered"
    sed -i 's/\\//g' "$work/offered"
    grep -q '^week/\{0,1\}$' "$work/offered" || fail "no folder: $(cat "$work/offered")"
    expect_offers low.yaml 'high water.yaml'
    [ $shell = fish ] || expect_lacks notes.txt # fish offers other files after those
    ${shell}_offers ratamark course '' >"$work/offered"
    grep -q '^week/\{0,1\}$' "$work/offered" || fail "no folder: $(cat "$work/offered")"
    expect_lacks low.yaml

    it "$shell: commands after help, shells after completion"
    ${shell}_offers ratamark help eng >"$work/offered"
    expect_text "$work/offered" engrave
    ${shell}_offers ratamark completion '' >"$work/offered"
    expect_text "$work/offered" "$(printf 'bash\nfish\nzsh')"
done

it 'bash completes a value after an equals sign, and options before the command'
if command -v bash >/dev/null; then
    bash_offers ratamark check --format = js >"$work/offered"
    expect_text "$work/offered" json
    bash_offers ratamark --color never gr >"$work/offered"
    expect_text "$work/offered" grid
fi

if command -v zsh >/dev/null; then
    while IFS='|' read -r typed wanted; do
        it "zsh: '$typed' becomes '$wanted'"
        line=$(zsh_line "$typed")
        [ "$line" = "$wanted" ] || fail "'$line'"
    done <<'END'
ratamark engr|ratamark engrave
ratamark check --expl|ratamark check --explain=
ratamark check --format sar|ratamark check --format sarif
ratamark engrave --as sv|ratamark engrave --as svg
ratamark engrave lo|ratamark engrave low.yaml
ratamark sound --click-o|ratamark sound --click-only
ratamark course we|ratamark course week/
ratamark help eng|ratamark help engrave
ratamark completion f|ratamark completion fish
END
else
    leave_out zsh 'zsh is not installed'
fi

it 'a shell without completion gets the names of those that have it'
run completion tcsh
expect_status 2
expect_no_out
expect_err_has "there is one for bash, zsh and fish"
finish
