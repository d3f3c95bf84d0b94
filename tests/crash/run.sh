#!/usr/bin/env bash
# Nothing that was acknowledged may be lost: kills the program at random moments under load, and cuts the power of a disk of its own
# where the machine allows it (root, loop devices). ROUNDS sets how often.
set -euo pipefail
cd "$(dirname "$0")/../.."
cargo build --release --quiet --package web
rounds=${ROUNDS:-10}
tests/.venv/bin/python tests/crash/loop.py target/release/findway kill "$rounds"
if [ "$(id -u)" = 0 ] && losetup --find >/dev/null 2>&1; then
    tests/.venv/bin/python tests/crash/loop.py target/release/findway cut "$rounds"
else
    echo "power cut: not run, it needs root and loop devices"
fi
