"""A mail server for tests: mail_server.py PORT FOLDER. Keeps every message as FOLDER/N.eml. Refuses nobody@… for good (550)
and the first message to later@… for now (451)."""
import pathlib
import signal
import sys

from aiosmtpd.controller import Controller

port, folder = int(sys.argv[1]), pathlib.Path(sys.argv[2])
kept, put_off = 0, set()


class Server:
    async def handle_RCPT(self, server, session, envelope, address, options):
        if address.startswith("nobody@"):
            return "550 5.1.1 no such mailbox"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):
        global kept
        to = envelope.rcpt_tos[0]
        if to.startswith("later@") and to not in put_off:
            put_off.add(to)
            return "451 4.3.0 come back later"
        kept += 1
        (folder / f"{kept}.eml").write_bytes(envelope.original_content)
        return "250 2.0.0 kept"


controller = Controller(Server(), hostname="127.0.0.1", port=port)
controller.start()
print("ready", flush=True)
signal.sigwait({signal.SIGTERM, signal.SIGINT})
controller.stop()
