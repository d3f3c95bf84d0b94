"""Records and photographs under load while the program is killed, or while its disk loses power.

    loop.py PROGRAM kill|cut ROUNDS

Each round: start, let writers post records of work and photographs, stop hard at a random moment, start again, and ask for
everything that was acknowledged. A photograph must come back byte for byte; the database must pass its own integrity check.
`cut` keeps the data on an ext4 image, freezes the program, copies the image as the disk has it (what was not written through is
gone) and starts on the copy. Prints a line per round; ends with 1 on any loss.
"""
import contextlib
import hashlib
import html
import http.client
import io
import os
import random
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
import urllib.parse
from pathlib import Path

from PIL import Image

PROGRAM, MODE, ROUNDS = Path(sys.argv[1]).resolve(), sys.argv[2], int(sys.argv[3])
CHANCE = random.Random(1971)
WRITERS = 3
PROJECT = "CRASH"


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


class Server:
    def __init__(self, folder):
        self.port = free_port()
        words = [PROGRAM, "serve", "--listen", f"127.0.0.1:{self.port}", "--data", folder]
        quiet = dict(os.environ, RUST_LOG="error")
        self.process = subprocess.Popen(words, env=quiet, start_new_session=True)
        for _ in range(400):
            try:
                if Visitor(self).get("/readyz")[0] == 200:
                    return
            except OSError:
                pass
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise SystemExit("the program did not start")

    def signal(self, number):
        os.killpg(self.process.pid, number)

    def kill(self):
        self.signal(signal.SIGKILL)
        self.process.wait()


class Visitor:
    """Somebody with a cookie."""

    def __init__(self, server):
        self.server, self.cookie = server, ""

    def ask(self, method, path, body=None, kind="application/x-www-form-urlencoded"):
        link = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=20)
        headers = {"Cookie": self.cookie}
        if body is not None:
            headers["Content-Type"] = kind
        link.request(method, path, body, headers)
        reply = link.getresponse()
        content = reply.read()
        for name, value in reply.getheaders():
            if name.lower() == "set-cookie" and value.startswith("findway="):
                self.cookie = value.split(";")[0]
        link.close()
        return reply.status, content

    def get(self, path):
        return self.ask("GET", path)

    def form(self, path, fields):
        return self.ask("POST", path, urllib.parse.urlencode(fields))

    def sign_in(self, account):
        status, _ = self.form("/sign-in", {"email": account[0], "password": account[1]})
        assert status == 303, f"signing in answers {status}"
        return self

    def hidden(self, path, mark):
        """Token and submission of the form that holds `mark`."""
        page = self.get(path)[1].decode()
        form = next(f for f in page.split("<form")[1:] if mark in f)
        value = lambda name: html.unescape(re.search(f'name="{name}" value="([^"]*)"', form)[1])
        return {"_token": value("_token"), "submission": value("submission")}


def record(visitor, find, nth):
    """A record of first-aid packing whose method names it; whether it was acknowledged."""
    path = f"/projects/{PROJECT}/work/first_aid/new"
    fields = visitor.hidden(f"{path}?find={find}", 'name="method"')
    fields |= {"find": find, "quantity": "", "done_by": "R. Ostley", "done_on": "2026-01-05", "finished": "yes"}
    fields |= {"method": f"round {nth} done", "outcome": "as hoped", "container": "crystal box"}
    return visitor.form(path, fields)[0] == 303


def photograph(nth):
    """A small picture no other is like."""
    picture = Image.new("RGB", (640, 480), (nth % 251, nth // 251 % 251, 90))
    picture.putpixel((nth % 640, 7), (255, 255, 255))
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def upload(visitor, find, nth):
    """A photograph whose view names it; whether it was acknowledged."""
    path = f"/finds/{find}/images"
    fields = visitor.hidden(path, "data-upload") | {"credit": "", "view": f"view {nth} done", "light": ""}
    line, body = "findway-crash-line", b""
    for name, value in fields.items():
        body += f'--{line}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
    head = f'--{line}\r\nContent-Disposition: form-data; name="file"; filename="{nth}.png"\r\nContent-Type: image/png\r\n\r\n'
    body += head.encode() + photograph(nth) + f"\r\n--{line}--\r\n".encode()
    return visitor.ask("POST", path, body, f"multipart/form-data; boundary={line}")[0] == 303


class Load:
    """Writers that go on until the program is gone."""

    def __init__(self, server, account, finds, begin):
        self.lock, self.next = threading.Lock(), begin
        self.records, self.images, self.tried, self.ended = {}, {}, 0, False
        self.threads = [threading.Thread(target=self.write, args=(server, account, finds)) for _ in range(WRITERS)]
        for thread in self.threads:
            thread.start()

    def write(self, server, account, finds):
        try:
            visitor = Visitor(server).sign_in(account)
            while not self.ended:
                with self.lock:
                    self.next += 1
                    nth, self.tried = self.next, self.tried + 1
                find = finds[nth % len(finds)]
                does, kept = (upload, self.images) if nth % 3 == 0 else (record, self.records)
                if does(visitor, find, nth):
                    with self.lock:
                        kept[nth] = find
        except (OSError, http.client.HTTPException):
            pass  # the program is gone: what it had not answered was not promised

    def join(self):
        self.ended = True
        for thread in self.threads:
            thread.join()


def verify(folder, account, records, images):
    """What was promised and is not there, in sentences."""
    server = Server(folder)
    visitor, wrong, pages = Visitor(server).sign_in(account), [], {}
    page = lambda path: pages.setdefault(path, visitor.get(path)[1].decode())
    for nth, find in records.items():
        if f"round {nth} done" not in page(f"/finds/{find}"):
            wrong.append(f"record {nth} is lost")
    for nth, find in images.items():
        plate = next((p for p in page(f"/finds/{find}/images").split("<figure")[1:] if f"view {nth} done" in p), None)
        if plate is None:
            wrong.append(f"photograph {nth} is lost")
            continue
        image = re.search(r'href="/images/([0-9a-f-]+)"', plate)[1]
        status, content = visitor.get(f"/images/{image}/original")
        if status != 200 or hashlib.sha256(content).digest() != hashlib.sha256(photograph(nth)).digest():
            wrong.append(f"photograph {nth} came back otherwise ({status}, {len(content)} bytes)")
    for path in {p for p in pages if p.endswith("/images")}:
        for image in set(re.findall(r'href="/images/([0-9a-f-]+)"', pages[path])):
            if visitor.get(f"/images/{image}/screen")[0] != 200:
                wrong.append(f"photograph {image} is half-known")
    server.kill()
    with contextlib.closing(sqlite3.connect(Path(folder) / "findway.db")) as db:
        said = db.execute("PRAGMA integrity_check").fetchone()[0]
        if said != "ok":
            wrong.append(f"the database says: {said}")
    return wrong


def generate(folder):
    """A small project in a folder: the account and the ids of its finds."""
    words = [PROGRAM, "generate", "--finds", "40", "--project", PROJECT, "--data", folder]
    told = subprocess.run(words, check=True, capture_output=True, text=True).stdout
    line = next(line for line in told.splitlines() if "manager" in line)
    account = tuple(line.split()[-2:])
    server = Server(folder)
    page = Visitor(server).sign_in(account).get(f"/projects/{PROJECT}/finds?stage=first_aid")[1].decode()
    server.kill()
    finds = sorted(set(re.findall(r'href="/finds/([0-9a-f-]{36})"', page)))
    assert finds, "no find waits for first aid"
    return account, finds


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
    account, finds = generate(folder)
    records, images, begin = {}, {}, 0
    for _ in range(ROUNDS):
        server = Server(folder)
        load = Load(server, account, finds, begin)
        time.sleep(CHANCE.uniform(0.5, 3.0))
        server.kill()
        load.join()
        begin = load.next
        records, images = records | load.records, images | load.images
        yield load, verify(folder, account, records, images)


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
            account, finds = generate(mounted / "data")
            run("sync", "-f", mounted)
            server = Server(mounted / "data")
            load = Load(server, account, finds, 0)
            time.sleep(CHANCE.uniform(0.5, 3.0))
            server.signal(signal.SIGSTOP)
            with load.lock:
                records, images = dict(load.records), dict(load.images)
            run("cp", "--sparse=always", disk, copy)
            server.kill()
            load.join()
        finally:
            unmount(mounted)
        run("mount", "-o", "loop", copy, after)
        try:
            yield load, verify(after / "data", account, records, images)
        finally:
            unmount(after)


def main():
    base = Path(tempfile.mkdtemp(prefix="findway-crash-"))
    lost = 0
    try:
        rounds = kill_rounds(base) if MODE == "kill" else cut_rounds(base)
        for at, (load, wrong) in enumerate(rounds, 1):
            told = f"{len(load.records)} records, {len(load.images)} photographs of {load.tried} tried"
            print(f"{MODE} {at:3}: acknowledged {told}; {'all there' if not wrong else '; '.join(wrong[:5])}", flush=True)
            lost += len(wrong)
    finally:
        shutil.rmtree(base, ignore_errors=True)
    print(f"{MODE}: {'PASS' if lost == 0 else 'FAIL'}")
    sys.exit(1 if lost else 0)


main()
