"""What a phone's camera would hand over: a picture on its side, with a place written into it; and
what it would see, as a film."""

import struct
from base64 import b64decode
from collections.abc import Iterable
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page

from tests.system.hands import Hands

# Not a place; a mark that must not reach the server.
PLACE = b"5 Invented Lane, behind the green door"

SEEN = (1280, 720)

# A scene with much detail, so that the picture is as large as a photo and goes in several parts.
DRAW = """() => new Promise((done) => {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [2000, 1500];
  const pen = canvas.getContext("2d");
  const noise = pen.createImageData(2000, 1500);
  let seed = 7;
  for (let at = 0; at < noise.data.length; at += 1) {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    noise.data[at] = at % 4 === 3 ? 255 : 120 + (seed >> 16) % 90;
  }
  pen.putImageData(noise, 0, 0);
  pen.fillStyle = "#c8907a";
  pen.beginPath();
  pen.ellipse(1000, 750, 620, 430, 0, 0, 7);
  pen.fill();
  canvas.toBlob((blob) => blob.arrayBuffer().then((bytes) => {
    let letters = "";
    for (const byte of new Uint8Array(bytes)) letters += String.fromCharCode(byte);
    done(btoa(letters));
  }), "image/jpeg", 0.95);
})"""


def photo_from_a_camera(page: Page) -> bytes:
    """A JPEG of 2000 by 1500 pixels that says "turn me": upright it is 1500 by 2000."""
    plain = b64decode(page.evaluate(DRAW))
    return plain[:2] + _exif() + plain[2:]


def take_photo(hands: Hands, label: str) -> None:
    """As a person does: the button that says `label`, then the camera."""
    content = photo_from_a_camera(hands.page)
    with hands.page.expect_file_chooser() as chosen:
        hands.tap(label)
    assert not chosen.value.is_multiple()
    chosen.value.set_files({"name": "p.jpg", "mimeType": "image/jpeg", "buffer": content})


def sees(hands: Hands, film: Path, scenes: Iterable[Image.Image]) -> None:
    """Before the phone is opened: its camera sees each of these for two seconds, over and over."""
    film.write_bytes(b"".join(_y4m(scenes)))
    hands.phone.arguments += [
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-video-capture={film}",
    ]


def _y4m(scenes: Iterable[Image.Image]) -> Iterable[bytes]:
    """YUV4MPEG2 (from memory): grey alone, so both colours are in their middle throughout."""
    width, height = SEEN
    yield f"YUV4MPEG2 W{width} H{height} F5:1 Ip A1:1 C420jpeg\n".encode()
    for scene in scenes:
        grey = scene.convert("L").resize(SEEN).tobytes()
        yield (b"FRAME\n" + grey + b"\x80" * (width * height // 2)) * 10


def _exif() -> bytes:
    """Exif 2.3 (JEITA CP-3451C), from memory: orientation 6 is a quarter turn; a description."""
    text = PLACE + b"\0"
    entries = struct.pack("<HHII", 0x010E, 2, len(text), 8 + 2 + 24 + 4)
    entries += struct.pack("<HHIHH", 0x0112, 3, 1, 6, 0)
    tiff = b"II*\0" + struct.pack("<I", 8) + struct.pack("<H", 2) + entries + b"\0" * 4 + text
    content = b"Exif\0\0" + tiff
    return b"\xff\xe1" + struct.pack(">H", len(content) + 2) + content
