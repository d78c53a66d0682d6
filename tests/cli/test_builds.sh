# What the makefile builds: hardened files, the same bytes in every folder, warnings that stop only a
# strict build, a build from another folder.
. tests/cli/lib.sh
unset MAKEFLAGS MAKELEVEL MFLAGS MAKEOVERRIDES STRICT

tree() { # FOLDER: a copy of the sources
    mkdir -p "$1" && cp -R Makefile src include fonts man .setup "$1"
}

if [ "$(uname)" = Linux ] && command -v readelf >/dev/null; then
    it 'the program can be loaded at any address'
    readelf -h "$build/ratamark" | grep -q 'Type: *DYN' || fail 'not position independent'

    for file in ratamark libratamark.so ratamark-sound.so; do
        it "$file is hardened"
        readelf -lW "$build/$file" >"$work/segments"
        readelf -dW "$build/$file" >"$work/dynamic"
        readelf -W --dyn-syms "$build/$file" >"$work/symbols"
        grep -q GNU_RELRO "$work/segments" || fail 'no read-only relocations'
        grep -q 'BIND_NOW\|NOW' "$work/dynamic" || fail 'symbols are bound late'
        grep -q TEXTREL "$work/dynamic" && fail 'relocations in the code'
        grep GNU_STACK "$work/segments" | grep -q 'RW ' || fail 'the stack can be executed'
        grep -q ' __stack_chk_fail' "$work/symbols" || fail 'the stack is not protected'
        grep -q ' UND __[a-z]*_chk@' "$work/symbols" || fail 'sizes are not checked'
    done

    it 'a build without hardening would be noticed'
    echo 'int main(void) { return 0; }' >"$work/soft.c"
    ${CC:-cc} -no-pie -Wl,-z,norelro,-z,lazy -o "$work/soft" "$work/soft.c" || fail 'does not link'
    readelf -h "$work/soft" | grep -q 'Type: *DYN' && fail 'position independent'
    readelf -lW "$work/soft" | grep -q GNU_RELRO && fail 'relro'
    readelf -dW "$work/soft" | grep -q NOW && fail 'bound at once'
else
    leave_out 'the files are hardened' 'no readelf, or not Linux'
fi

# Without optimization, for the time that it saves: paths would get in by the same ways.
it 'two folders give the same bytes'
for folder in "$work/a" "$work/another/folder"; do
    tree "$folder"
    make -C "$folder" -j2 CFLAGS='-O0 -g' >"$work/.out" 2>&1 || fail "$(tail -n 5 "$work/.out")"
done
for file in ratamark libratamark.a ${shared:-libratamark.so}; do
    expect_same "$work/a/build/$file" "$work/another/folder/build/$file"
done
[ ! -e "$work/a/build/ratamark-sound.so" ] ||
    expect_same "$work/a/build/ratamark-sound.so" "$work/another/folder/build/ratamark-sound.so"
grep -q "$work" "$work/a/build/ratamark" && fail 'a path of the folder is in the program'

it 'make -f PATH/Makefile builds where you stand'
mkdir "$work/elsewhere"
make -C "$work/elsewhere" -f ../a/Makefile -n CFLAGS='-O0 -g' all >"$work/.out" 2>&1 || fail "$(tail -n 5 "$work/.out")"
grep -q "$work/elsewhere/build/src/app/main.o" "$work/.out" || fail "$(tail -n 5 "$work/.out")"
make -C "$work/elsewhere" -f ../a/Makefile CFLAGS='-O0 -g' "$work/elsewhere/build/src/base/utf8.o" \
    >"$work/.out" 2>&1 || fail "$(tail -n 5 "$work/.out")"
expect_file "$work/elsewhere/build/src/base/utf8.o"

it 'a warning stops a strict build, and no other'
echo 'static int unused(void) { return 0; }' >>"$work/a/src/base/utf8.c"
make -C "$work/a" CFLAGS='-O0 -g' build/src/base/utf8.o >"$work/.out" 2>&1 || fail "$(tail -n 5 "$work/.out")"
grep -q 'warning: ' "$work/.out" || fail 'no warning'
make -C "$work/a" CFLAGS='-O0 -g' STRICT=1 build/src/base/utf8.o >"$work/.out" 2>&1 && fail 'it went on'

finish
