#!/bin/sh
# Installs what is missing, builds, and runs every test.
#
#   sh tests/run.sh          a seeded tenth of the random cases
#   sh tests/run.sh --all    all of them
#
# The last line is "N passed, N failed"; the exit status is 0 only if something ran and nothing failed.
set -u
top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd) || exit 1
. "$top/cli/prepare.sh"

unset KNOCKWELL_ALL
case "${1:-}" in
'') ;;
--all) export KNOCKWELL_ALL=1 ;;
*) fail "what is '$1'? The only option is --all" ;;
esac

# shellcheck disable=SC2086  # a list of names
install_packages $build_packages libgtest-dev libdlib-dev
check_compiler

build=$top/build/tests
# Lightly optimised: the many random cases cost more without than the compiler takes with.
configure dev "$build" -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g1"
say "building"
if ! cmake --build "$build" --target all house_headers; then
    say "the build failed, so no test ran"
    echo "0 passed, 1 failed"
    exit 1
fi

say "running the tests"
run_suite "$build"
