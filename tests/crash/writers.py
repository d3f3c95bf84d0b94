"""What is written while the program dies: for each kind of entry how it is sent, and how one sees afterwards that it is there.

Every entry carries words of its own, `KIND NUMBER done`. `write` answers whether the entry was acknowledged; `missing` gives a
sentence where one that was is not there.
"""
import datetime
import hashlib
import io
import re

from PIL import Image

TODAY = datetime.date.today().isoformat()
LATER = (datetime.date.today() + datetime.timedelta(days=90)).isoformat()
WHO = "R. Ostley"


class Kind:
    """An entry made by a form; its words stand on a page of what it is about."""

    name = page = ""

    def __init__(self, project):
        self.project, self.targets = project, []

    def prepare(self, visitor, finds):
        """Chooses, or makes, what the entries will be about."""
        self.targets = finds

    def target(self, writer, nth):
        return self.targets[nth % len(self.targets)]

    def words(self, nth):
        return f"{self.name} {nth} done"

    def shown_on(self, target):
        return f"/finds/{target}"

    def missing(self, look, nth, target):
        if self.words(nth) not in look.page(self.shown_on(target)):
            return f"{self.name} {nth} is lost"
        return None


class FirstAid(Kind):
    """A record of work."""

    name = "first aid"

    def write(self, visitor, nth, target):
        changes = {"done_by": WHO, "done_on": "2026-01-05", "finished": "yes", "method": self.words(nth)}
        changes |= {"outcome": "as hoped", "container": "crystal box"}
        return visitor.send(f"/projects/{self.project}/work/first_aid/new?find={target}", "method", changes)


class Assessment(Kind):
    """A condition assessment with its alterations."""

    name = "assessment"

    def write(self, visitor, nth, target):
        changes = {"done_by": WHO, "done_on": TODAY, "finished": "yes", "reason": "on arrival", "light": "daylight"}
        changes |= {"extent": "all", "condition": "fair", "stability": "unstable", "recommendation": self.words(nth), "review_on": LATER}
        changes |= {"alteration": "crack", "alteration_place": "rim", "alteration_extent": "5", "alteration_cause": ""}
        return visitor.send(f"/projects/{self.project}/condition/new?find={target}", "reason", changes)

    def missing(self, look, nth, target):
        """Its page compares the last two, so that the database is asked."""
        kept = look.count("assessment", "recommendation").get(self.words(nth), 0)
        return None if kept == 1 else f"assessment {nth} is there {kept} times"


class Weighing(Kind):
    """A weighing of a drying run, which is a look at its clock too. Each writer has a run, as weighings follow each other."""

    name = "weighing"
    began = datetime.datetime(2025, 6, 1, 8, 0)

    def prepare(self, visitor, finds):
        fields = {"done_by": WHO, "started_at": self.began.isoformat(timespec="minutes"), "mass_g": "182.40"}
        fields |= {"standard": "en_iso_12570", "balance_g": "0.01"}
        begun = (visitor.send(f"/projects/{self.project}/runs/drying/new?find={f}", "mass_g", fields) for f in finds)
        self.targets = [run.split("?")[0] for run in begun if run][:8]
        assert self.targets, "no drying run could be begun"

    def target(self, writer, nth):
        return self.targets[writer % len(self.targets)]

    def write(self, visitor, nth, target):
        at = (self.began + datetime.timedelta(minutes=10 * nth)).isoformat(timespec="minutes")
        changes = {"weighed_at": at, "mass_g": f"{182.4 - nth / 100:.2f}", "seen": self.words(nth)}
        return visitor.send(target, "weighed_at", changes)

    def shown_on(self, target):
        return target


class Round(Kind):
    """A round of wet packs: all of its looks are there, or none."""

    name = "look"

    def prepare(self, visitor, finds):
        clocks = [value for name, value in visitor.form("/rounds?kind=wet", "clock")[1] if name == "clock"]
        assert len(clocks) > 2, "hardly a wet pack runs"
        self.targets = [clocks[:20]]

    def write(self, visitor, nth, target):
        changes = {"clock": target, "words": [self.words(nth)] * len(target), "reading": [""] * len(target)}
        return visitor.send("/rounds?kind=wet", "clock", changes | {"done_by": WHO, "done_on": TODAY})

    def missing(self, look, nth, target):
        kept = look.count("clock_look", "words").get(self.words(nth), 0)
        return None if kept == len(target) else f"round {nth} has {kept} of {len(target)} looks"

    def half_known(self, look):
        """Rounds that were not acknowledged and are there in part."""
        most = len(self.targets[0])
        return [f"{words}: {kept} of {most}" for words, kept in look.count("clock_look", "words").items() if kept != most]


class Photograph(Kind):
    """A photograph must come back byte for byte."""

    name = "view"

    def picture(self, nth):
        """A small picture no other is like."""
        picture = Image.new("RGB", (640, 480), (nth % 251, nth // 251 % 251, 90))
        picture.putpixel((nth % 640, 7), (255, 255, 255))
        out = io.BytesIO()
        picture.save(out, "PNG")
        return out.getvalue()

    def write(self, visitor, nth, target):
        path = f"/finds/{target}/images"
        fields = dict(visitor.form(path, "view")[1]) | {"credit": "", "view": self.words(nth), "light": ""}
        line, body = "findway-crash-line", b""
        for name, value in fields.items():
            body += f'--{line}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode()
        head = f'--{line}\r\nContent-Disposition: form-data; name="file"; filename="{nth}.png"\r\nContent-Type: image/png\r\n\r\n'
        body += head.encode() + self.picture(nth) + f"\r\n--{line}--\r\n".encode()
        return visitor.ask("POST", path, body, f"multipart/form-data; boundary={line}")[0] == 303

    def shown_on(self, target):
        return f"/finds/{target}/images"

    def missing(self, look, nth, target):
        plates = look.page(self.shown_on(target)).split("<figure")[1:]
        plate = next((plate for plate in plates if self.words(nth) in plate), None)
        if plate is None:
            return f"photograph {nth} is lost"
        image = re.search(r'href="/images/([0-9a-f-]+)"', plate)[1]
        status, content = look.visitor.get(f"/images/{image}/original")
        if status != 200 or hashlib.sha256(content).digest() != hashlib.sha256(self.picture(nth)).digest():
            return f"photograph {nth} came back otherwise ({status}, {len(content)} bytes)"
        return None

    def half_known(self, look):
        """Photographs that stand on a page and cannot be shown."""
        shown = [page for path, page in look.pages.items() if path.endswith("/images")]
        ids = {image for page in shown for image in re.findall(r'href="/images/([0-9a-f-]+)"', page)}
        return [f"photograph {i}" for i in sorted(ids) if look.visitor.get(f"/images/{i}/screen")[0] != 200]


ALL = (FirstAid, Photograph, Assessment, Weighing, Round)
