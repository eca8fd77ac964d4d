#!/bin/sh
# Prints where Chromium is; installs it where that is allowed; else says what to do.
set -eu

find_it() {
    for name in chromium chromium-browser google-chrome-stable google-chrome; do
        command -v "$name" && return 0
    done
    return 1
}

find_it && exit 0

if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium fonts-dejavu-core >/dev/null
    find_it && exit 0
fi

echo "The tests drive a real Chromium, and none is in the path." >&2
echo "Install it (Debian: sudo apt-get install chromium) and run the target again." >&2
exit 1
