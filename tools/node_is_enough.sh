#!/bin/sh
# Succeeds when node 20.19 or newer and npm are in the path. npm is run, because a node without a working npm is no use.
set -eu
command -v node >/dev/null && npm --version >/dev/null 2>&1 &&
    node -e 'const [a, b] = process.versions.node.split(".").map(Number); process.exit(a > 20 || (a === 20 && b >= 19) ? 0 : 1)'
