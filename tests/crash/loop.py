"""Every kind of entry under load while the program is killed, or while its disk loses power.

    loop.py PROGRAM kill|cut ROUNDS

Each round: start, let writers send entries of every kind (`writers.py`), stop hard at a random moment, start again, and ask for
everything that was acknowledged. A photograph must come back byte for byte, a round of looks whole or not at all; the database must
pass its own integrity check. `cut` keeps the data on an ext4 image, freezes the program, copies the image as the disk has it (what
was not written through is gone) and starts on the copy. Prints a line per round; ends with 1 on any loss.
"""
import contextlib
import http.client
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import visitor
import writers

PROGRAM, MODE, ROUNDS = Path(sys.argv[1]).resolve(), sys.argv[2], int(sys.argv[3])
CHANCE = random.Random(1971)
WRITERS = 3
PROJECT = "CRASH"
DATABASE = "findway.db"


def serve(folder):
    return visitor.Server(PROGRAM, folder)


class Load:
    """Writers that go on until the program is gone."""

    def __init__(self, server, account, kinds, begin):
        self.lock, self.next = threading.Lock(), begin
        self.kept, self.tried, self.ended = [], 0, False
        words = [(server, account, kinds, writer) for writer in range(WRITERS)]
        self.threads = [threading.Thread(target=self.write, args=one) for one in words]
        for thread in self.threads:
            thread.start()

    def write(self, server, account, kinds, writer):
        try:
            hand = visitor.Visitor(server).sign_in(account)
            while not self.ended:
                with self.lock:
                    self.next += 1
                    nth, self.tried = self.next, self.tried + 1
                kind = kinds[nth % len(kinds)]
                target = kind.target(writer, nth)
                if kind.write(hand, nth, target):
                    with self.lock:
                        self.kept.append((kind, nth, target))
        except (OSError, http.client.HTTPException):
            pass  # the program is gone: what it had not answered was not promised

    def join(self):
        self.ended = True
        for thread in self.threads:
            thread.join()


class Look:
    """What there is after the start that followed: each page read once, and what no page shows whole, as the database has it."""

    def __init__(self, folder, hand):
        self.visitor, self.pages, self.database = hand, {}, Path(folder) / DATABASE

    def page(self, path):
        if path not in self.pages:
            self.pages[path] = self.visitor.page(path)
        return self.pages[path]

    def count(self, table, column):
        """How often each entry's words stand in a column."""
        with contextlib.closing(sqlite3.connect(self.database)) as db:
            ask = f"SELECT {column}, COUNT(*) FROM {table} WHERE {column} LIKE '% done' GROUP BY {column}"
            return dict(db.execute(ask).fetchall())


def verify(folder, account, kinds, kept):
    """What was promised and is not there, in sentences."""
    server = serve(folder)
    look = Look(folder, visitor.Visitor(server).sign_in(account))
    wrong = [sentence for kind, nth, target in kept if (sentence := kind.missing(look, nth, target))]
    for kind in kinds:
        halves = kind.half_known(look) if hasattr(kind, "half_known") else []
        wrong += [f"half-known: {one}" for one in halves]
    server.kill()
    with contextlib.closing(sqlite3.connect(look.database)) as db:
        said = db.execute("PRAGMA integrity_check").fetchone()[0]
        if said != "ok":
            wrong.append(f"the database says: {said}")
    return wrong


def generate(folder):
    """A small project in a folder: the account, and every kind of entry with what it will be about."""
    words = [PROGRAM, "generate", "--finds", "400", "--project", PROJECT, "--data", folder]
    told = subprocess.run(words, check=True, capture_output=True, text=True).stdout
    line = next(line for line in told.splitlines() if "manager" in line)
    account = tuple(line.split()[-2:])
    server = serve(folder)
    hand = visitor.Visitor(server).sign_in(account)
    page = hand.page(f"/projects/{PROJECT}/finds?stage=first_aid")
    finds = sorted(set(re.findall(r'href="/finds/([0-9a-f-]{36})"', page)))
    assert finds, "no find waits for first aid"
    kinds = [kind(PROJECT) for kind in writers.ALL]
    for kind in kinds:
        kind.prepare(hand, finds)
    server.kill()
    return account, kinds


def run(*words):
    subprocess.run(words, check=True, capture_output=True)


def unmount(place):
    """Not lazily: a file system that lives on would write into the next round's disk."""
    for _ in range(50):
        if subprocess.run(["umount", place], capture_output=True).returncode == 0:
            return
        time.sleep(0.1)
    raise SystemExit(f"{place} cannot be unmounted")


def kill_rounds(base):
    folder = base / "data"
    account, kinds = generate(folder)
    kept, begin = [], 0
    for _ in range(ROUNDS):
        server = serve(folder)
        load = Load(server, account, kinds, begin)
        time.sleep(CHANCE.uniform(0.5, 3.0))
        server.kill()
        load.join()
        begin = load.next
        kept += load.kept
        yield load, verify(folder, account, kinds, kept)


def cut_rounds(base):
    disk, copy = base / "disk.img", base / "copy.img"
    mounted, after = base / "mounted", base / "after"
    for place in (mounted, after):
        place.mkdir()
    for _ in range(ROUNDS):
        for image in (disk, copy):
            image.unlink(missing_ok=True)
        run("truncate", "-s", "256M", disk)
        run("mkfs.ext4", "-q", "-F", disk)
        # nothing reaches the disk by itself within the round: only what the program writes through counts
        run("mount", "-o", "loop,commit=300", disk, mounted)
        try:
            account, kinds = generate(mounted / "data")
            run("sync", "-f", mounted)
            server = serve(mounted / "data")
            load = Load(server, account, kinds, 0)
            time.sleep(CHANCE.uniform(0.5, 3.0))
            server.signal(signal.SIGSTOP)
            with load.lock:
                kept = list(load.kept)
            run("cp", "--sparse=always", disk, copy)
            server.kill()
            load.join()
        finally:
            unmount(mounted)
        run("mount", "-o", "loop", copy, after)
        try:
            yield load, verify(after / "data", account, kinds, kept)
        finally:
            unmount(after)


def told(load):
    """How many of each kind were acknowledged."""
    names = [kind.name for kind, *_ in load.kept]
    return ", ".join(f"{names.count(kind.name)} {kind.name}" for kind in writers.ALL)


def main():
    base = Path(tempfile.mkdtemp(prefix="findway-crash-"))
    lost, seen = 0, set()
    try:
        rounds = kill_rounds(base) if MODE == "kill" else cut_rounds(base)
        for at, (load, wrong) in enumerate(rounds, 1):
            seen |= {type(kind) for kind, *_ in load.kept}
            after = "all there" if not wrong else "; ".join(wrong[:5])
            print(f"{MODE} {at:3}: acknowledged {told(load)} of {load.tried} tried; {after}", flush=True)
            lost += len(wrong)
    finally:
        shutil.rmtree(base, ignore_errors=True)
    for kind in set(writers.ALL) - seen:
        print(f"{MODE}: no {kind.name} was ever acknowledged, so nothing is known of it")
        lost += 1
    print(f"{MODE}: {'PASS' if lost == 0 else 'FAIL'}")
    sys.exit(1 if lost else 0)


main()
