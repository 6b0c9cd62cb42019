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
unset KNOCKWELL_KB KNOCKWELL_SHOP

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


# tell WORDS...: where the story stands.
tell() {
    printf '\n'
    say "$*"
}

tell "A customer calls: the water surges. What is likely, what does one ask first? (Nothing is kept.)"
play ask --set pump=submersible --says surging

tell "The call becomes a job in the ledger. The tank has an air valve: it is one with a bladder."
play open --area heron-bottom --installation HB-17 --set pump=submersible \
    --set tank-kind=bladder --says surging --most 3

tell "A helper is there, one faucet open: the needle of the gauge swings every few seconds."
play found --who helper gauge-watch=swings-every-few-seconds@watch-gauge --most 3

tell "Knocked on, the tank sounds dull from top to bottom."
play found tank-sounds-dull@knock-on-tank --most 3

tell "What speaks for that, and how strongly?"
play reasons failed-bladder

tell "A qualified person takes over. The next step now, for those hands:"
play found --who qualified --most 1
play next --most 1

tell "The tank is replaced. First comes what shows that the repair holds."
play did replace-bladder-tank --minutes 75 --most 1

tell "One faucet open, a minute at the gauge: it falls slowly, the pump starts and fills."
play found gauge-watch=no@watch-gauge pump-at-cut-in=no@watch-gauge --most 1

tell "The shop says what an hour and the parts cost (figures made up): sums beside the minutes."
printf 'hour = 90\ncurrency = "dollars"\n[price]\nbladder-tank = 400\nunion = 10\n' >"$room/shop.toml"
cat "$room/shop.toml"

tell "It is cured, and the burst bladder was seen. What must be true before one leaves comes first."
play close --cured --cause failed-bladder=seen \
    --checked covers,valves,power,cycles,recheck,relief,killer,customer --not-here water \
    --as-left cut-in=30psi --as-left cut-out=50psi --as-left precharge=28psi --as-left leak-down=0psi \
    --without "amps=no clamp meter on the truck"
play jobs

tell "A shop of six years, made up, with truths planted in it: what recurs on which road?"
knockwell ledger demo --jobs 3000 --seed 1 >"$room/demo.jsonl" || fail "the made-up shop could not be printed"
export KNOCKWELL_LEDGER="$room/demo.sqlite"
play ledger import "$room/demo.jsonl"
play review areas --most 4
play review time --most 2

tell "And were the knowledge's chances, guesses and minutes right?"
play review numbers --most 3

printf '\n'
say "That was a first job. To go on by hand:"
printf '   cd %s\n   build/release/cli/knockwell --help\n' "$top"
