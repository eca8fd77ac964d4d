#!/bin/sh
# The checkers of the server and those of the phone app at the same time, each on a core of its own.
# What is said of the phone app is kept until the server's are done, so that neither hides the other.
set -u
said=$(mktemp)
trap 'rm -f "$said"' EXIT

server() {
    ruff format --check . &&
        ruff check . &&
        mypy &&
        lint-imports &&
        codespell &&
        python tools/check_locks.py &&
        python tools/audit.py --only-report
}

phone() {
    cd pwa &&
        npm run --silent format:check &&
        npm run --silent lint &&
        npm run --silent check
}

phone >"$said" 2>&1 &
server
of_server=$?
wait $!
of_phone=$?
cat "$said"
[ "$of_server" -eq 0 ] && [ "$of_phone" -eq 0 ]
