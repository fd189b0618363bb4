"""The bench saved as a picture: what a friend sees of it in a chat, and where its code leads."""

import base64
import os
import struct
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair

_COLOURS = """
async (data) => {
  const image = new Image();
  image.src = `data:image/png;base64,${data}`;
  await image.decode();
  const paper = new OffscreenCanvas(image.width, image.height);
  const pen = paper.getContext("2d");
  pen.drawImage(image, 0, 0);
  const { data: dots } = pen.getImageData(0, 0, image.width, image.height);
  const seen = new Set();
  for (let at = 0; at < dots.length; at += 4) seen.add(dots.slice(at, at + 3).join());
  return { corner: dots.slice(0, 3).join(), seen: [...seen] };
}
"""


def test_one_tap_makes_a_picture_with_set_ups_charts_and_code(open_page, tmp_path):
    page = open_page("gearing", "bike=bracken-125&rear=53")
    page.emulate_media(color_scheme="dark")
    wait_for_pair(page, "13/53")
    with page.expect_download() as saving:
        # Hidden until it can answer, which the click waits for.
        page.get_by_role("button", name="Picture").click()
    file = Path(os.environ.get("PICTURES", tmp_path)) / "bench.png"
    saving.value.save_as(file)
    assert saving.value.suggested_filename == "bench.png"
    content = file.read_bytes()
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    wide, high = struct.unpack(">II", content[16:24])
    assert wide == 1200 and high > 700
    dots = page.evaluate(_COLOURS, base64.b64encode(content).decode())
    # White in the dark too, with the colour of the set-up that is shown.
    assert dots["corner"] == "255,255,255" and "0,114,178" in dots["seen"]
    code = page.locator(".bn-picture-code [data-link]")
    expect(code.locator("svg")).to_be_attached()
    # Its link opens the same bench.
    link = code.get_attribute("data-link")
    assert link.startswith(page.url.partition("?")[0])
    page.goto(link)
    wait_for_pair(page, "13/53")
