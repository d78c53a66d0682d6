# Setting up a machine: what is missing is installed on Debian, named elsewhere. Scripts stand in for
# the package tools, and write down how they were called.
. tests/cli/lib.sh
cp -R .setup "$work/setup"
cd "$work" || exit 1
mkdir bin fake
for tool in sh cat cut tr awk grep dirname mktemp rm id env uname; do
    ln -s "$(command -v $tool)" bin/$tool
done

cat >setup/packages <<'END'
build|command:present|p-deb|p-fedora|p-arch|p-alpine|p-suse|p-brew|p-bsd
build|command:absent|a-deb a-deb-dev|a-fedora|a-arch|a-alpine|a-suse|a-brew|a-bsd
test|command:other|o-deb|o-fedora|o-arch|o-alpine|o-suse|-|o-bsd
END
printf '#!/bin/sh\n' >bin/present
chmod +x bin/present

# setup GROUP...: with nothing but our tools on the path.
setup() {
    PATH=$work/bin:$work/fake /bin/sh "$work/setup/install" "$@" >"$work/.out" 2>"$work/.err"
    status=$?
}

it 'names what is missing, with the packages of the common systems'
setup build
expect_status 1
expect_err_has 'Missing on this system: command:absent'
for line in 'apt-get install a-deb a-deb-dev' 'dnf install a-fedora' 'pacman -S a-arch' \
    'apk add a-alpine' 'zypper install a-suse' 'brew install a-brew' 'pkg install a-bsd'; do
    expect_err_has "$line"
done
expect_err_lacks p-deb
expect_err_lacks o-deb

it 'says nothing if everything is installed'
printf '#!/bin/sh\n' >bin/absent
chmod +x bin/absent
setup build
expect_status 0
expect_no_out
expect_no_err

it 'checks several groups at once'
rm bin/absent
setup build test
expect_status 1
expect_err_has 'brew install a-brew'
expect_err_has 'dnf install a-fedora o-fedora'

it 'plain make names what is missing before it compiles anything'
mkdir nothing none
cp -R "$top/Makefile" "$top/.setup" "$top/src" "$top/include" "$top/fonts" "$top/tests" nothing
printf '#!/bin/sh\nexit 1\n' >none/pkg-config
chmod +x none/pkg-config
env -u MAKEFLAGS -u MAKELEVEL PATH="$work/none:$PATH" make -C nothing -j2 >.out 2>.err
status=$?
expect_status 2
expect_err_has 'Missing on this system: module:cairo-pdf module:pangocairo'
expect_err_has 'apt-get install libcairo2-dev'
! grep -q compile .out || fail "$(cat .out)"

# On Debian only the missing packages are asked for; the list is fetched only after a failure.
grep -qi debian /etc/os-release 2>/dev/null && debian=yes || debian=no
if [ $debian = yes ] && [ "$(id -u)" = 0 ]; then
    cat >fake/apt-get <<END
#!/bin/sh
echo "\$DEBIAN_FRONTEND \$*" >>$work/calls
case \$* in
update) [ ! -e $work/locked ] || { echo 'E: Could not get lock /var/lib/apt/lists/lock.' >&2; exit 100; }
        : >$work/fetched ;;
*install*) [ -e $work/fetched ] || exit 100
         printf '#!/bin/sh\n' >$work/bin/absent; chmod +x $work/bin/absent ;;
esac
END
    printf '#!/bin/sh\necho "sleep" >>%s/calls; rm -f %s/locked\n' "$work" "$work" >fake/sleep
    chmod +x fake/apt-get fake/sleep
    ln -s "$(command -v chmod)" bin/chmod
    asked='noninteractive -o DPkg::Lock::Timeout=600 install -y --no-install-recommends a-deb a-deb-dev'
    it 'Debian: installs only what is missing, and fetches the list only when it must'
    setup build
    expect_status 0
    expect_text calls "$asked
noninteractive update
$asked"
    rm calls bin/absent
    setup build
    expect_status 0
    expect_text calls "$asked"

    it 'Debian: waits while another apt holds a lock'
    rm calls bin/absent fetched
    : >locked
    setup build
    expect_status 0
    expect_text calls "$asked
noninteractive update
sleep
noninteractive update
$asked"

    it 'Debian: only names what is missing when asked to'
    rm calls bin/absent
    setup --name build
    expect_status 1
    expect_err_has 'Missing on this system: command:absent'
    expect_none calls
    : >bin/absent && chmod +x bin/absent && : >calls

    it 'Debian: does not ask for anything when nothing is missing'
    rm calls
    setup build
    expect_status 0
    expect_none calls
else
    leave_out 'what apt-get is asked for' 'this is not Debian, or the user is not root'
fi

it 'the list of packages names each need on every system'
awk -F'|' '!/^#/ && NF != 9 { print FILENAME ": " $0; bad = 1 } END { exit bad }' "$top/.setup/packages" >&2 ||
    fail 'columns'

finish
