#!/usr/bin/env bash
# The one gate, here and everywhere: installs what is missing, then checks everything. `--all` adds load and crash runs.
set -uo pipefail
cd "$(dirname "$0")/.."
exec </dev/null
export CARGO_TERM_COLOR=never DEBIAN_FRONTEND=noninteractive
everything=false
[ "${1:-}" = --all ] && everything=true
log=$(mktemp -d)
server=
passed=0 failed=0

finish() {
    [ -n "$server" ] && bash tests/postgres.sh stop "$server"
    rm -rf "$log" "$server.lock"
}
trap finish EXIT

# step NAME COMMAND…: runs it, tells how long it took, shows what it said when it fails.
step() {
    local name=$1 began=$SECONDS
    shift
    if "$@" >"$log/said" 2>&1; then
        passed=$((passed + 1))
        printf '%-28s %4d s\n' "$name" $((SECONDS - began))
        return 0
    fi
    failed=$((failed + 1))
    printf '%-28s %4d s  FAILED\n' "$name" $((SECONDS - began))
    tail -n 400 "$log/said"
    return 1
}

# The numbers of the last step that ran tests; the step itself is no test.
count() {
    local right wrong
    right=$(grep -oE '[0-9]+ passed' "$log/said" | awk '{ n += $1 } END { print n + 0 }')
    wrong=$(grep -oE '[0-9]+ (failed|timed out)' "$log/said" | awk '{ n += $1 } END { print n + 0 }')
    if [ "$1" = 0 ]; then passed=$((passed - 1)); elif [ "$wrong" -gt 0 ]; then failed=$((failed - 1)); fi
    passed=$((passed + right)) failed=$((failed + wrong))
}

# A part of the toolchain that this machine lacks and cannot fetch is said to be missing; it fails nobody's change.
has_component() {
    cargo "$1" --version >/dev/null 2>&1 || timeout 60 rustup component add "$2" >"$log/said" 2>&1 && return 0
    printf '%-28s NOT RUN: the toolchain here has no %s, and it cannot be added\n' "$2" "$2"
    return 1
}

# The lints ride along with the build, as `cargo clippy` lets them ride along with `cargo check`: a pass of their own over
# everything takes half as long as the build. Tests run what comes out; nothing else is built of it.
lint_while_building() {
    RUSTC_WORKSPACE_WRAPPER=$(rustc --print sysroot)/bin/clippy-driver
    [ -x "$RUSTC_WORKSPACE_WRAPPER" ] || { unset RUSTC_WORKSPACE_WRAPPER; return; }
    export RUSTC_WORKSPACE_WRAPPER CLIPPY_ARGS=-Dwarnings__CLIPPY_HACKERY__
}

system_packages() {
    local wanted=() package
    for package in build-essential chromium-driver chromium-headless-shell fonts-dejavu-core libreoffice-calc-nogui poppler-utils postgresql \
        python3-venv qpdf zbar-tools; do
        dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || wanted+=("$package")
    done
    command -v java >/dev/null || wanted+=(openjdk-17-jre-headless)
    command -v npm >/dev/null || wanted+=(npm)
    [ ${#wanted[@]} = 0 ] && return 0
    local as=()
    [ "$(id -u)" = 0 ] || as=(sudo -n)
    "${as[@]}" apt-get update -q && "${as[@]}" apt-get install -qy --no-install-recommends "${wanted[@]}"
}

python_programs() {
    if ! cmp -s tests/requirements.txt tests/.venv/requirements.txt; then
        python3 -m venv tests/.venv && tests/.venv/bin/pip install -q -r tests/requirements.txt &&
            cp tests/requirements.txt tests/.venv/
    fi
}

node_programs() {
    cmp -s tests/node/package-lock.json tests/node/node_modules/.lock ||
        { npm ci --prefix tests/node --ignore-scripts --no-audit --no-fund && cp tests/node/package-lock.json tests/node/node_modules/.lock; }
}

postgresql() {
    local folder=/dev/shm
    [ -d "$folder" ] || folder=/tmp
    server=$folder/findway-gate-$$
    bash tests/postgres.sh start "$server" >"$log/address"
}

# Where word of pages found good is kept from run to run: good for these style sheets, scripts, judges and browser only.
judged() {
    local kept=${CARGO_TARGET_DIR:-$PWD/target}/judged state
    state=$({ find static -type f | LC_ALL=C sort | xargs cat; cat tests/src/judged.rs tests/src/browser/*.rs tests/pages/*.rs tests/node/package-lock.json
        chromium-headless-shell --version; } | sha256sum | cut -c1-16)
    mkdir -p "$kept/$state"
    find "$kept" -mindepth 1 -maxdepth 1 ! -name "$state" -exec rm -rf {} +
    echo "$kept/$state"
}

all_tests() {
    export FINDWAY_TEST_POSTGRES FINDWAY_JUDGED
    FINDWAY_TEST_POSTGRES=$(cat "$log/address")
    FINDWAY_JUDGED=$(judged)
    if cargo nextest --version >/dev/null 2>&1; then
        # a test in a browser waits now and then: two more than there are processors keep them busy
        cargo nextest run --workspace --no-fail-fast --test-threads $(($(nproc) + 2))
    else
        cargo test --workspace --lib --bins --tests --no-fail-fast
    fi
}

step "install: system" system_packages
step "install: python" python_programs
step "install: node" node_programs
step "start PostgreSQL" postgresql
has_component fmt rustfmt && step "rustfmt" cargo fmt --all --check
has_component clippy clippy && lint_while_building
step "build${RUSTC_WORKSPACE_WRAPPER:+ and clippy}" cargo build --workspace --all-targets
step "tests" all_tests
count $?
step "examples in the comments" cargo test --doc --workspace
count $?
for more in tests/cases/run.sh; do
    [ -f "$more" ] && step "$more" bash "$more"
done
if $everything; then
    for more in tests/bench/run.sh tests/crash/run.sh; do
        [ -f "$more" ] && step "$more" bash "$more"
    done
fi

echo "whole gate: $SECONDS s"
echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
