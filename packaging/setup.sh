#!/usr/bin/env bash
# Set up this checkout: bash packaging/setup.sh run|test
# Debian packages that are missing, then .venv from the hashed lock file, then the project itself, editable.
# A stamp in .venv lets a second run pass at once, without a network.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
kind=${1:-run}

stop() {
  echo "$1" >&2
  exit 1
}

# What PySide6 asks of the machine (X11, Wayland and off screen), the barcode reader, and the way to the printer.
packages=(python3-venv libzbar0 cups-client
  libdbus-1-3 libegl1 libfontconfig1 libfreetype6 libgl1 libglib2.0-0 libgssapi-krb5-2 libxkbcommon0
  libwayland-client0 libwayland-cursor0 libwayland-egl1
  libpulse0 libx11-xcb1 libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1 libxcb-randr0 libxcb-render-util0
  libxcb-shape0 libxcb-shm0 libxcb-sync1 libxcb-xfixes0 libxcb-xkb1 libxkbcommon-x11-0)
lock=packaging/requirements.lock
case $kind in
  run) ;;
  # A real display server, a real print server, a real hub and a second reader of PDF.
  test)
    packages+=(cups cups-filters cups-ipp-utils poppler-utils postgresql xauth xdotool xvfb)
    lock=packaging/requirements-test.lock
    ;;
  *) stop "Say run or test: bash packaging/setup.sh run" ;;
esac

system_packages() {
  if ! command -v dpkg-query >/dev/null; then
    echo "This is not Debian; if something is missing, install the like of: ${packages[*]}" >&2
    return
  fi
  local installed missing=() package
  installed=" $(dpkg-query --show --showformat '${db:Status-Status} ${Package}\n' | sed -n 's/^installed //p' | tr '\n' ' ')"
  for package in "${packages[@]}"; do
    [[ $installed == *" $package "* || $installed == *" ${package}t64 "* ]] || missing+=("$package")
  done
  ((${#missing[@]})) || return 0
  local root=()
  if ((EUID != 0)); then
    command -v sudo >/dev/null || stop "Set-up needs root or sudo to install: ${missing[*]}"
    root=(sudo)
  fi
  echo "Installing Debian packages: ${missing[*]}"
  local apt=("${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq)
  { "${apt[@]}" update && "${apt[@]}" install --yes --no-install-recommends "${missing[@]}"; } >"$log" 2>&1 ||
    { tail -n 20 "$log" >&2; stop "The Debian packages could not be installed: ${missing[*]}"; }
}

served() { "$1" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' 2>/dev/null; }

find_python() {
  local candidate
  for candidate in ${PYTHON:-python3 python3.11 python3.12 python3.13}; do
    if served "$candidate"; then command -v "$candidate" && return; fi
  done
  stop "Throughlight needs Python 3.11, 3.12 or 3.13, and finds none on this machine."
}

# One at a time: the checkout's folder is the lock, let go of when this script ends.
exec 9<.
flock 9
log=$(mktemp)
trap 'rm -f "$log"' EXIT
system_packages
python=$(find_python)
stamp=.venv/.set-up-$kind
key=$({ cat "$lock" pyproject.toml packaging/setup.sh; echo "$PWD"; "$python" -VV; } | sha256sum | cut -d' ' -f1)
if [[ -x .venv/bin/throughlight && -f $stamp && $(<"$stamp") == "$key" ]]; then exit 0; fi

echo "Setting up .venv from $lock; this takes a few minutes the first time."
served .venv/bin/python && .venv/bin/python -m pip --version >/dev/null 2>&1 || "$python" -m venv --clear .venv
pip=(.venv/bin/python -m pip --disable-pip-version-check --quiet install)
if [[ $kind == test ]]; then pip+=(--no-compile); fi # most of what the tests bring is never imported
"${pip[@]}" --require-hashes --no-deps --prefer-binary --requirement "$lock" ||
  stop "The Python packages could not be installed; is there a network?"
"${pip[@]}" --no-deps --no-build-isolation --editable . || stop "The project itself could not be installed."
echo "$key" >"$stamp"
