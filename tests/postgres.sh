#!/usr/bin/env bash
# A throw-away PostgreSQL for the tests. `start FOLDER` starts one there unless it runs and prints its address; `stop FOLDER`
# ends it and takes the folder away.
set -euo pipefail
verb=$1 folder=$2
programs=$(ls -d /usr/lib/postgresql/*/bin | sort -V | tail -1)

# PostgreSQL refuses to run as root.
as_owner() {
    if [ "$(id -u)" = 0 ]; then
        (cd / && setpriv --reuid=nobody --regid=nogroup --clear-groups "$@")
    else
        "$@"
    fi
}

runs() { as_owner "$programs/pg_ctl" -D "$folder/data" status >/dev/null 2>&1; }

start() {
    if ! runs; then
        rm -rf "$folder"
        mkdir -p "$folder"
        if [ "$(id -u)" = 0 ]; then chown nobody:nogroup "$folder"; fi
        as_owner "$programs/initdb" -D "$folder/data" -U findway -A trust -E UTF8 --locale=C.UTF-8 --no-sync >/dev/null
        as_owner "$programs/pg_ctl" -D "$folder/data" -w -l "$folder/log" -o "-F -c listen_addresses='' \
            -c unix_socket_directories=$folder -c fsync=off -c synchronous_commit=off -c full_page_writes=off \
            -c max_connections=400 -c autovacuum=off -c max_wal_size=2GB -c jit=off -c wal_level=minimal -c max_wal_senders=0 \
            -c join_collapse_limit=1 -c from_collapse_limit=1" start </dev/null >/dev/null 2>&1
    fi
    echo "postgres://findway@localhost/postgres?host=$folder"
}

stop() {
    if [ -d "$folder/data" ] && runs; then as_owner "$programs/pg_ctl" -D "$folder/data" -m immediate stop >/dev/null; fi
    rm -rf "$folder"
}

# The server outlives whoever started it: it must hold open no file, and so no lock, of theirs.
for open in /proc/$$/fd/*; do
    number=${open##*/}
    if [ "$number" -gt 2 ] && [ "$number" != 255 ]; then eval "exec $number>&-"; fi
done
exec 9>"$folder.lock"
flock 9
"$verb" 9>&-
