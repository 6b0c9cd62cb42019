#!/bin/sh
# Installs what is missing, builds, and runs every test.
#
#   sh tests/run.sh          a seeded tenth of the random cases
#   sh tests/run.sh --all    all of them
#   sh tests/run.sh --san    a fiftieth, under the address and undefined-behaviour sanitizers
#
# The last line is "N passed, N failed"; the exit status is 0 only if something ran and nothing failed.
set -u
top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd) || exit 1
. "$top/cli/prepare.sh"

unset KNOCKWELL_ALL KNOCKWELL_FEW
preset=dev
case "${1:-}" in
'') ;;
--all) export KNOCKWELL_ALL=1 ;;
--san)
    preset=san
    export KNOCKWELL_FEW=1
    ;;
*) fail "what is '$1'? The options are --all and --san" ;;
esac

# shellcheck disable=SC2086  # a list of names
install_packages $build_packages $picture_packages $test_packages
check_compiler

if [ $preset = san ]; then
    build=$top/build/san
    targets=all
    configure san "$build" -DKNOCKWELL_TEST_SHARES=4
else
    build=$top/build/tests
    targets="all house_headers"
    # Lightly optimised: the many random cases cost more without than the compiler takes with. The sources of a
    # floor and of a test program are compiled as one: half of the time goes into headers.
    configure dev "$build" -DKNOCKWELL_TEST_SHARES=4 -DCMAKE_CXX_FLAGS_DEBUG=-O1 \
        -DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=0
fi
say "building"
# shellcheck disable=SC2086  # a list of names
if ! cmake --build "$build" --target $targets; then
    say "the build failed, so no test ran"
    echo "0 passed, 1 failed"
    exit 1
fi

say "running the tests"
run_suite "$build"
