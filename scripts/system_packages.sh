#!/bin/sh
# Shared libraries that a wheel loads but does not bring. Installed where we may, named where not.
set -u
missing=""
command -v ldconfig >/dev/null 2>&1 || exit 0   # not a glibc Linux: the wheels bring their own
ldconfig -p | grep -q 'libGL\.so\.1' || missing="$missing libgl1"
ldconfig -p | grep -q 'libquadmath\.so\.0' || missing="$missing libquadmath0"
if [ "${1:-}" = tests ] && ! command -v ccx >/dev/null 2>&1; then
    # An independent solver for the cross-check; those tests are skipped where it cannot be had.
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        missing="$missing calculix-ccx"
    else
        echo "Note: without the package calculix-ccx the cross-check against it is skipped." >&2
    fi
fi
[ -z "$missing" ] && exit 0
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
    apt-get update -qq && apt-get install -y -qq --no-install-recommends $missing && exit 0
fi
echo "Refledge needs these system packages:$missing" >&2
echo "Next: run 'apt-get install$missing' as root (or your system's equivalent), then make again." >&2
exit 1
