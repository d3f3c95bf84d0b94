"""Makes the pictures in this folder with Pillow (13.0), a writer independent of the program under test.

Run by hand when a picture is to change: `python3 make.py`. The tests read the files; they do not run this.
All places, cameras and people are invented.
"""
import struct

from PIL import Image, PngImagePlugin, TiffImagePlugin

# stored corners: top left, top right, bottom left, bottom right; the tests know these numbers
CORNERS = [(200, 100, 50), (60, 160, 90), (90, 80, 170), (128, 128, 128)]
WIDTH, HEIGHT = 96, 64


def corners(mode="RGB", colours=CORNERS):
    picture = Image.new(mode, (WIDTH, HEIGHT))
    for n, colour in enumerate(colours):
        box = (n % 2 * WIDTH // 2, n // 2 * HEIGHT // 2)
        picture.paste(colour, (*box, box[0] + WIDTH // 2, box[1] + HEIGHT // 2))
    return picture


def profile(space, tags):
    """A display profile of ICC.1:2010 (version 4.3) with the given tags."""
    tags = {b"desc": text("made for a test"), b"cprt": text("public domain"), b"wtpt": xyz(0.9642, 1, 0.8249)} | tags
    body, table, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, value in tags.items():
        value += b"\0" * (-len(value) % 4)
        table += name + struct.pack(">II", at + len(body), len(value))
        body += value
    size = at + len(body)
    head = struct.pack(">I4xI4s4s4s", size, 0x04300000, b"mntr", space, b"XYZ ")
    head += struct.pack(">6H4s", 2026, 6, 1, 0, 0, 0, b"acsp") + b"\0" * 28
    head += struct.pack(">3i", 0xF6D6, 0x10000, 0xD32D)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def text(words):
    return b"mluc\0\0\0\0" + struct.pack(">II2s2sII", 1, 12, b"en", b"GB", len(words) * 2, 28) + words.encode("utf-16-be")


def xyz(*numbers):
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(n * 65536) for n in numbers))


def curve(kind, *numbers):
    return b"para\0\0\0\0" + struct.pack(">HH", kind, 0) + struct.pack(f">{len(numbers)}i", *(round(n * 65536) for n in numbers))


# transfer function of sRGB (IEC 61966-2-1), which Display P3 shares
SRGB_CURVE = curve(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
# primaries of P3 with white D65 (CSS Color 4, 10.3), adapted to D50 by the Bradford method
DISPLAY_P3 = profile(b"RGB ", {
    b"rXYZ": xyz(0.51512, 0.2412, -0.00105), b"gXYZ": xyz(0.29198, 0.69225, 0.04189), b"bXYZ": xyz(0.1571, 0.06657, 0.78407),
    b"rTRC": SRGB_CURVE, b"gTRC": SRGB_CURVE, b"bTRC": SRGB_CURVE,
})
LINEAR_GREY = profile(b"GRAY", {b"kTRC": curve(0, 1.0)})

XMP = (b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
       b'<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="55,20.5N"/></rdf:RDF></x:xmpmeta>')


def exif(orientation, marked_adobe_rgb=False):
    block = Image.Exif()
    block[274] = orientation
    block[271], block[272] = "Invented Optics", "Field 3"
    block.get_ifd(0x8769)[36867] = "2026:06:14 10:32:05"
    if marked_adobe_rgb:
        block.get_ifd(0x8769)[40961] = 65535
        block.get_ifd(0x8769)[40965] = {1: "R03"}
    else:
        block.get_ifd(0x8825).update({1: "N", 2: (55.0, 20.0, 30.0), 3: "E", 4: (10.0, 15.0, 0.0), 29: "2026:06:14"})
    return block


def segment(marker, payload):
    return bytes([0xFF, marker]) + struct.pack(">H", len(payload) + 2) + payload


def phone():
    corners().save("phone.jpg", quality=95, subsampling=0, icc_profile=DISPLAY_P3, exif=exif(6), xmp=XMP, comment=b"near the quay steps")
    with open("phone.jpg", "rb") as file:
        written = file.read()
    caption = segment(0xED, b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x0f\x1c\x02\x5a\0\x0aVessenholt\0")
    several = segment(0xE2, b"MPF\0II*\0\x08\0\0\0\0\0")
    corners().save("phone.jpg", quality=95, exif=exif(6))
    with open("phone.jpg", "rb") as file:
        second = file.read()
    with open("phone.jpg", "wb") as file:
        # a second picture with its own position after the first, as telephones write them
        file.write(written[:2] + caption + several + written[2:] + second)


def tiff():
    info = TiffImagePlugin.ImageFileDirectory_v2()
    info[274], info[271], info[270], info[700] = 3, "Invented Optics", "Vessenholt, east section", XMP
    info.tagtype[700] = 1
    info[34853] = {1: "N", 2: (55.0, 20.0, 30.0)}
    pages = [corners(), corners()]
    pages[0].save("find.tif", tiffinfo=info, icc_profile=DISPLAY_P3, save_all=True, append_images=pages[1:])


def png():
    words = PngImagePlugin.PngInfo()
    words.add_text("Location", "Vessenholt, east section")
    words.add_itxt("XML:com.adobe.xmp", XMP.decode())
    corners().save("find.png", icc_profile=DISPLAY_P3, exif=exif(6), pnginfo=words, dpi=(300, 300))


phone()
tiff()
png()
corners("CMYK", [(0, 0, 0, 0), (255, 0, 0, 0), (0, 255, 255, 0), (0, 0, 0, 255)]).save("cmyk.jpg", quality=95)
corners().save("marked-adobe-rgb.jpg", quality=95, subsampling=0, exif=exif(1, marked_adobe_rgb=True))
corners().save("progressive.jpg", quality=95, progressive=True)
corners("L", [55, 55, 0, 255]).save("linear-grey.png", icc_profile=LINEAR_GREY)
corners("1", [255, 255, 0, 0]).save("fax.tif", compression="group4", tiffinfo={262: 0})
Image.frombytes("I;16B", (WIDTH, HEIGHT), struct.pack(f">{WIDTH * HEIGHT}H", *[n % WIDTH * 65535 // (WIDTH - 1) for n in range(WIDTH * HEIGHT)])).save("grey16.tif")
corners().save("lzw.tif", compression="tiff_lzw", tiffinfo={317: 2, 278: 10})
corners().save("camera-raw.tif", compression="tiff_lzw", tiffinfo={254: 1})
