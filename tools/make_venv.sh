#!/bin/sh
# Makes the virtual environment with a Python that is new enough, or says what to install.
set -eu
venv=$1
python=${PYTHON:-python3}

say() { printf '%s\n' "$*" >&2; }

new_enough() {
    command -v "$1" >/dev/null 2>&1 &&
        "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

for candidate in "$python" python3.14 python3.13 python3.12 python3.11; do
    if new_enough "$candidate"; then
        found=$candidate
        break
    fi
done

if [ -z "${found:-}" ]; then
    say "Heelwright needs Python 3.11 or newer; '$python' is $("$python" --version 2>&1 || echo missing)."
    say "Install one (Debian: apt-get install python3 python3-venv), or say 'make PYTHON=/path/to/python3.11'."
    exit 1
fi

if ! "$found" -c 'import ensurepip, venv' 2>/dev/null; then
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        apt-get update -qq && apt-get install -y -qq python3-venv >/dev/null
    else
        say "$found cannot make virtual environments: it lacks the modules venv and ensurepip."
        say "Debian and Ubuntu keep them in a package of their own: sudo apt-get install python3-venv"
        exit 1
    fi
fi

# A half-made environment would pass for a whole one at the next run.
"$found" -m venv "$venv" || {
    rm -rf "$venv"
    exit 1
}
