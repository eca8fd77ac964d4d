#!/bin/sh
# Unpacks the programs of the road engine into $1, for the tests; says why there are none where none fit this machine.
# They come from the package for Python 3.12 and run beside any Python.
set -eu
cd "$(dirname "$0")/.."
rm -rf "$1"
mkdir -p "$1"
if pip download --quiet --require-hashes --no-deps --only-binary :all: --python-version 3.12 --dest "$1" -r requirements-roads.txt; then
    python -m zipfile -e "$1"/*.whl "$1"
    rm "$1"/*.whl
    chmod +x "$1"/valhalla/bin/*
else
    echo "There is no road engine for this machine: its tests are left out." >&2
fi
