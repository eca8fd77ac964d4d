#!/bin/sh
# Prints where Chromium is; installs it where that is allowed; else says what to do. The headless shell is the
# same engine without a desktop browser's own windows, which cost a fourth of a test's time.
set -eu

find_it() {
    for name in "$@"; do
        command -v "$name" && return 0
    done
    return 1
}

may_install() {
    [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null
}

install_it() {
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$1" fonts-dejavu-core >/dev/null
}

find_it chromium-headless-shell && exit 0

if may_install && apt-get update -qq && install_it chromium-headless-shell; then
    find_it chromium-headless-shell && exit 0
fi

find_it chromium chromium-browser google-chrome-stable google-chrome && exit 0

if may_install; then
    install_it chromium
    find_it chromium && exit 0
fi

echo "The tests drive a real Chromium, and none is in the path." >&2
echo "Install it (Debian: sudo apt-get install chromium-headless-shell) and run the target again." >&2
exit 1
