"""A mail server for tests: mail_server.py PORT FOLDER. Keeps every message as FOLDER/N.eml. What it does depends on the address:

nobody@…  refused for good (550)
later@…   the first attempt refused for now (451)
busy@…    the first two attempts refused for now at the address (450)
slow@…    kept, answered a second later
cut@…     the first attempt: the line drops at the end of the message, nothing is kept
lost@…    the first attempt: the message is kept, the line drops before the answer"""
import asyncio
import pathlib
import signal
import sys
from collections import Counter

from aiosmtpd.controller import Controller

port, folder = int(sys.argv[1]), pathlib.Path(sys.argv[2])
kept, seen = 0, Counter()


def times(address, what):
    seen[address, what] += 1
    return seen[address, what]


class Server:
    async def handle_RCPT(self, server, session, envelope, address, options):
        if address.startswith("nobody@"):
            return "550 5.1.1 no such mailbox"
        if address.startswith("busy@") and times(address, "busy") <= 2:
            return "450 4.2.1 mailbox busy"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        global kept
        to = envelope.rcpt_tos[0]
        if to.startswith("later@") and times(to, "later") == 1:
            return "451 4.3.0 come back later"
        if to.startswith("cut@") and times(to, "cut") == 1:
            server.transport.abort()
            return "451 4.4.2 the line dropped"
        kept += 1
        (folder / f"{kept}.eml").write_bytes(envelope.original_content)
        if to.startswith("slow@"):
            await asyncio.sleep(1)
        if to.startswith("lost@") and times(to, "lost") == 1:
            server.transport.abort()
        return "250 2.0.0 kept"


controller = Controller(Server(), hostname="127.0.0.1", port=port)
controller.start()
print("ready", flush=True)
signal.sigwait({signal.SIGTERM, signal.SIGINT})
controller.stop()
