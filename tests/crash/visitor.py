"""The program while it serves a folder, and somebody who uses it over HTTP as a browser would."""
import http.client
import os
import signal
import socket
import subprocess
import time
import urllib.parse
from html.parser import HTMLParser


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


class Server:
    def __init__(self, program, folder):
        self.port = free_port()
        words = [program, "serve", "--listen", f"127.0.0.1:{self.port}", "--data", folder]
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


class Forms(HTMLParser):
    """The forms of a page: what stands in the fields of each, as pairs that may repeat."""

    def __init__(self, page):
        super().__init__()
        self.forms, self.select, self.area = [], None, None
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        own = dict(attributes)
        if tag == "form":
            self.forms.append((own.get("action", ""), []))
        elif not self.forms:
            return
        elif tag == "input":
            kind = own.get("type", "text")
            ticked = "checked" in own or kind not in ("checkbox", "radio")
            if ticked and "name" in own and kind not in ("submit", "file"):
                self.forms[-1][1].append((own["name"], own.get("value") or ""))
        elif tag == "select":
            self.select = [own.get("name"), None]
        elif tag == "option" and self.select and ("selected" in own or self.select[1] is None):
            self.select[1] = own.get("value", "")
        elif tag == "textarea":
            self.area = [own.get("name"), ""]

    def handle_data(self, data):
        if self.area:
            self.area[1] += data

    def handle_endtag(self, tag):
        if tag == "select" and self.select:
            self.forms[-1][1].append(tuple(self.select))
            self.select = None
        elif tag == "textarea" and self.area:
            self.forms[-1][1].append(tuple(self.area))
            self.area = None


class Visitor:
    """Somebody with a cookie."""

    def __init__(self, server):
        self.server, self.cookie = server, ""

    def ask(self, method, path, body=None, kind="application/x-www-form-urlencoded"):
        """Status, content and the address that the answer leads to."""
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
        return reply.status, content, reply.getheader("Location", "")

    def get(self, path):
        return self.ask("GET", path)[:2]

    def page(self, path):
        return self.get(path)[1].decode()

    def sign_in(self, account):
        fields = urllib.parse.urlencode({"email": account[0], "password": account[1]})
        status, *_ = self.ask("POST", "/sign-in", fields)
        assert status == 303, f"signing in answers {status}"
        return self

    def form(self, path, field):
        """Where the form of a page that has this field goes, and what stands in it."""
        forms = Forms(self.page(path)).forms
        return next((to or path, fields) for to, fields in forms if any(name == field for name, _ in fields))

    def send(self, path, field, changes):
        """Fills in the form that has this field and sends it; where the answer leads, nothing if it is none that keeps."""
        to, fields = self.form(path, field)
        fields = [(name, value) for name, value in fields if name not in changes]
        for name, values in changes.items():
            fields += [(name, value) for value in (values if isinstance(values, list) else [values])]
        status, _, leads = self.ask("POST", to, urllib.parse.urlencode(fields))
        return leads if status == 303 else None
