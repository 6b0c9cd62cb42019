# Read by cli/try.sh and tests/run.sh: says what happens, installs what is missing.

say() { printf '== %s\n' "$*"; }
fail() {
    printf '== stopped: %s\n' "$*" >&2
    exit 1
}

# Runs a command as root: as it is, or through sudo.
as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif command -v sudo >/dev/null 2>&1; then
        sudo "$@"
    else
        fail "installing packages needs root, and there is no sudo; run this script as root"
    fi
}

is_installed() {
    [ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

# install_packages NAME...: those that are missing, and nothing at all where none is.
install_packages() {
    [ -r /etc/os-release ] || fail "this system does not say what it is (no /etc/os-release); Debian 12 is needed"
    system=$(. /etc/os-release && printf '%s %s' "${ID:-unknown}" "${VERSION_ID:-}")
    [ "$system" = "debian 12" ] || fail "Debian 12 is needed, and this is '$system'; these packages are what the build stands on: $*"
    missing=
    for package; do
        is_installed "$package" || missing="$missing $package"
    done
    if [ -z "$missing" ]; then
        say "packages: all there"
        return
    fi
    say "packages: installing$missing"
    as_root apt-get -qq -o APT::Update::Error-Mode=any -o Acquire::Retries=2 update ||
        fail "the package lists could not be fetched; is there a network?"
    # shellcheck disable=SC2086  # a list of names
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -y --no-install-recommends \
        -o Dpkg::Use-Pty=0 -o Acquire::Retries=2 install $missing >/dev/null ||
        fail "apt-get could not install$missing"
}

# The compiler that Debian 12 has is the one the warnings were judged by.
check_compiler() {
    compiler=${CXX:-c++}
    command -v "$compiler" >/dev/null 2>&1 || fail "there is no compiler '$compiler'"
    "$compiler" --version | grep -q 'Free Software Foundation' ||
        fail "'$compiler' is not g++; unset CXX or set it to g++"
    version=$("$compiler" -dumpversion)
    [ "${version%%.*}" -ge 12 ] || fail "g++ 12 is needed, and '$compiler' is $version"
}

# configure PRESET FOLDER [OPTION...]: cmake's chatter is shown only where it fails.
configure() {
    preset=$1
    build=$2
    shift 2
    say "configuring in ${build#"$top/"}"
    mkdir -p "$build" || fail "the folder $build cannot be made"
    cmake -S "$top" --preset "$preset" -B "$build" "$@" >"$build/configure.log" 2>&1 || {
        cat "$build/configure.log"
        fail "cmake could not configure"
    }
}

# What the program itself is built from.
build_packages="g++ cmake ninja-build libboost-dev libtomlplusplus-dev libsqlitecpp-dev
    libsqlite3-dev libcli11-dev nlohmann-json3-dev libhwy-dev"

# What draws the pictures of `review --html`; the program does without it.
picture_packages=gnuplot-nox

# What the tests use beside: the browser and the checker that look at the page of `review --html`.
test_packages="libgtest-dev libdlib-dev chromium-headless-shell tidy"

# counted_tests FOLDER: "TESTS FAILURES SKIPPED" of what GoogleTest left there as XML.
counted_tests() {
    [ -d "$1" ] || {
        echo "0 0 0"
        return
    }
    find "$1" -name '*.xml' -exec cat {} + | awk '
        function of(name) {
            match($0, " " name "=\"[0-9]+\"")
            return substr($0, RSTART + length(name) + 3, RLENGTH - length(name) - 4)
        }
        /^<testsuites / { tests += of("tests"); failures += of("failures") }
        / result="skipped"/ { skipped++ }
        END { print tests + 0, failures + 0, skipped + 0 }'
}

# run_suite BUILD: every test of a build folder; the last line is "N passed, N failed". A test is what ctest runs,
# and where that is a share of a program's tests, each of them. A share that failed and says of no test that it did
# (it fell, or took too long) is one failure.
run_suite() {
    log=$1/ctest.log
    rm -rf "$1/results" "$1/Testing/Temporary/LastTestsFailed.log"
    {
        ctest --test-dir "$1" -j "$(nproc)" --output-on-failure --no-tests=error --timeout 900 2>&1
        echo $? >"$1/ctest.status"
    } | tee "$log"
    status=$(cat "$1/ctest.status")
    # "100% tests passed, 0 tests failed out of 12"; what did not run is no pass.
    run=$(sed -n 's/.*tests passed, .* tests failed out of \([0-9]*\).*/\1/p' "$log")
    if [ -z "$run" ]; then
        say "ctest came to no result"
        echo "0 passed, 1 failed"
        return 1
    fi
    # shellcheck disable=SC2046  # three numbers
    set -- "$1" $(counted_tests "$1/results")
    shares=$(grep -c '^ *[0-9]*/[0-9]* Test .*\.share_[0-9]* ' "$log")
    skipped=$(($4 + $(grep -c '^ *[0-9]*/[0-9]* Test .*\*\*\*Skipped' "$log")))
    failed=$3
    while IFS=: read -r _ name; do
        [ -n "$name" ] || continue
        grep -qs '^<testsuites .* failures="[1-9]' "$1/results/$name.xml" || failed=$((failed + 1))
    done <<EOF
$(cat "$1/Testing/Temporary/LastTestsFailed.log" 2>/dev/null)
EOF
    total=$((run - shares + $2))
    [ "$skipped" -eq 0 ] || say "$skipped skipped"
    echo "$((total - failed - skipped)) passed, $failed failed"
    [ "$status" -eq 0 ] && [ "$failed" -eq 0 ] && [ "$((total - skipped))" -gt 0 ]
}
