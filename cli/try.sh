#!/bin/sh
# Installs what is missing, builds a release, and plays a first job with the shipped knowledge.
#
#   sh cli/try.sh
#
# The job is kept in a ledger in a temporary folder and thrown away at the end.
set -u
top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd) || exit 1
. "$top/cli/prepare.sh"

[ $# -eq 0 ] || fail "what is '$1'? This script takes no options"

# shellcheck disable=SC2086  # a list of names
install_packages $build_packages
check_compiler

configure release "$top/build/release"
say "building in build/release"
cmake --build "$top/build/release" || fail "the build failed; the reason stands above"


room=$(mktemp -d) || fail "no temporary folder can be made"
trap 'rm -rf "$room"' EXIT
cmake --install "$top/build/release" --prefix "$room" >"$room/install.log" 2>&1 || {
    cat "$room/install.log"
    fail "the program could not be installed into a temporary folder"
}
PATH=$room/bin:$PATH
export KNOCKWELL_LEDGER="$room/ledger.sqlite"
unset KNOCKWELL_KB

# play ARGUMENT...: shows the command line as it is typed, runs it, shows what comes back.
play() {
    printf '\n$ knockwell'
    for argument; do
        case $argument in
        *[!A-Za-z0-9=_.,:@/%-]*) printf " '%s'" "$argument" ;;
        *) printf ' %s' "$argument" ;;
        esac
    done
    printf '\n'
    knockwell "$@" || fail "that should have worked; it ended with status $?"
}

printf '\n'
say "A customer on Heron Bottom calls: the water surges. What do we ask, what do we look at first?"
play ask --set pump=submersible --says surging

say "The call becomes a job, kept in a ledger."
play open --area heron-bottom --installation HB-17 --set pump=submersible --says surging
