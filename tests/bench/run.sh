#!/usr/bin/env bash
# Speed against its marks: builds the release, grows two databases in a temporary folder, measures, prints a table and PASS or
# FAIL; beside them a bare route, and arithmetic alone, which tells whether the machine is steady. SECONDS_EACH sets how long each
# size is measured, BENCH_FOLDER keeps the databases for the next run. SCENARIO is `pages` (reading at a fixed rate), `steps`
# (thirty people recording steps while photographs go up), `contexts` (stratigraphy of large sites), or all when unset.
set -euo pipefail
cd "$(dirname "$0")/../.."
${CARGO:-cargo} build --release --quiet
${CARGO:-cargo} build --release --quiet --package bench
if [ -n "${BENCH_FOLDER:-}" ]; then
    folder=$BENCH_FOLDER
    mkdir -p "$folder"
else
    folder=$(mktemp -d)
    trap 'rm -rf "$folder"' EXIT
fi
target/release/load target/release/findway "$folder" "${SECONDS_EACH:-500}" "${BENCH_PORT:-8250}" "${SCENARIO:-}"
