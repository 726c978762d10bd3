#!/usr/bin/env python3
"""Opens report pages in a browser without a screen and fails on what a reader
would stumble over.

    python3 tests/page/look.py [--shots DIR] PAGE.html...
    python3 tests/page/look.py --self-test

Each page is opened at 390 and at 1280 px and printed on A4 and on Letter. It fails
on a message on the console, on a request for anything but the page, on a page that
moves sideways at either width or is wider than the paper, on a picture without a name, on an empty screenshot
and on an empty print. The browser is `chromium` or what CHROMIUM names. With
--shots it keeps screenshots and prints in DIR. --self-test puts one fault of each
kind into a page and fails where it is not found.

Only Python's standard library; the browser is driven through two pipes.
"""
import argparse
import base64
import fcntl
import json
import os
import pathlib
import select
import shutil
import struct
import subprocess
import sys
import tempfile
import time
import zlib

WIDTHS_PX = (390, 1280)
HEIGHT_PX = 900
# width and height [inch]
PAPERS = {"a4": (8.27, 11.69), "letter": (8.5, 11.0)}
# margins of the page's style, on both sides together [inch]
MARGINS = 30 / 25.4
PX_PER_INCH = 96
# no answer for so long means that the browser is gone [s]
PATIENCE_S = 60
# a page may load something late; so long nothing may come any more [s]
QUIET_S = 0.4
# a picture is empty if all but so small a share of it has one colour
LEAST_INK = 0.002
# the picture that is searched for ink is so much smaller: that is enough, and quick
SMALL = 0.2
# the shortest print of a report is longer than this [byte]
LEAST_PRINT = 8_000


class Browser:
    """A browser that listens on one pipe and answers on another."""

    def __init__(self, program, profile):
        to_read, self.to = os.pipe()
        self.come, from_write = os.pipe()
        arguments = [
            program,
            "--headless",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--hide-scrollbars",
            f"--user-data-dir={profile}",
            "--remote-debugging-pipe",
            "about:blank",
        ]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            # its sandbox refuses to work for root
            arguments.insert(1, "--no-sandbox")

        # keep 3 and 4 free in the child: move our ends above them
        to_read, from_write = (moved(end) for end in (to_read, from_write))
        self.process = subprocess.Popen(
            arguments,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            close_fds=False,
            preexec_fn=lambda: (os.dup2(to_read, 3), os.dup2(from_write, 4)),
        )
        os.close(to_read)
        os.close(from_write)
        self.buffer = b""
        self.number = 0
        self.events = []

    def message(self, patience_s):
        """The next message, or None where none comes in time."""
        end = time.monotonic() + patience_s
        while b"\0" not in self.buffer:
            left = end - time.monotonic()
            if left <= 0 or not select.select([self.come], [], [], left)[0]:
                return None
            piece = os.read(self.come, 1 << 20)
            if not piece:
                raise SystemExit("the browser went away")
            self.buffer += piece
        text, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(text)

    def call(self, method, session=None, **parameters):
        """Calls a method and gives its result; events on the way are kept."""
        self.number += 1
        call = {"id": self.number, "method": method, "params": parameters}
        if session:
            call["sessionId"] = session
        data = json.dumps(call).encode() + b"\0"
        while data:
            data = data[os.write(self.to, data) :]
        while True:
            message = self.message(PATIENCE_S)
            if message is None:
                raise SystemExit(f"the browser does not answer {method}")
            if message.get("id") == self.number:
                if "error" in message:
                    raise SystemExit(f"{method}: {message['error']['message']}")
                return message["result"]
            self.events.append(message)

    def until(self, method):
        """Waits for an event."""
        while all(event.get("method") != method for event in self.events):
            message = self.message(PATIENCE_S)
            if message is None:
                raise SystemExit(f"the browser does not come to {method}")
            self.events.append(message)

    def quiet(self):
        """Waits until nothing happens any more."""
        while (message := self.message(QUIET_S)) is not None:
            self.events.append(message)

    def close(self):
        try:
            self.call("Browser.close")
        except (SystemExit, OSError):
            self.process.kill()
        self.process.wait(timeout=PATIENCE_S)


def moved(end):
    """The same file under a number that is not among the first ten."""
    high = fcntl.fcntl(end, fcntl.F_DUPFD, 10)
    os.close(end)
    return high


def faults_of(browser, url, shots, stem):
    """What is wrong with a page."""
    faults = []
    for width in WIDTHS_PX:
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        session = browser.call("Target.attachToTarget", targetId=target, flatten=True)[
            "sessionId"
        ]

        def call(method, **parameters):
            return browser.call(method, session, **parameters)

        for domain in ("Page", "Runtime", "Log", "Network"):
            call(f"{domain}.enable")
        call(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=HEIGHT_PX,
            deviceScaleFactor=1,
            mobile=width < 600,
        )
        browser.events.clear()
        call("Page.navigate", url=url)
        browser.until("Page.loadEventFired")
        browser.quiet()
        faults += [f"{width} px: {fault}" for fault in told(browser.events, url)]
        faults += [f"{width} px: {fault}" for fault in measured(call, width)]
        if shots:
            keep(shots, f"{stem}-{width}.png", pictured(call, width, 1.0))
        picture = pictured(call, width, SMALL)
        if ink(picture) < LEAST_INK:
            faults.append(f"{width} px: the screenshot is empty")
        if width == WIDTHS_PX[-1]:
            faults += printed(call, shots, stem)
        browser.call("Target.closeTarget", targetId=target)
    return faults


def pictured(call, width, scale):
    """All of the page as a picture of that scale."""
    size = call("Page.getLayoutMetrics")["cssContentSize"]
    # longer pictures are refused
    height = min(size["height"], 16_000)
    clip = {"x": 0, "y": 0, "width": width, "height": max(height, 1), "scale": scale}
    shot = call("Page.captureScreenshot", captureBeyondViewport=True, format="png", clip=clip)
    return base64.b64decode(shot["data"])


def told(events, url):
    """Messages on the console and requests."""
    faults = []
    for event in events:
        method, about = event.get("method"), event.get("params", {})
        if method == "Runtime.exceptionThrown":
            faults.append(f"exception: {about['exceptionDetails']['text']}")
        elif method == "Log.entryAdded":
            faults.append(f"console: {about['entry']['text']}")
        elif method == "Runtime.consoleAPICalled":
            texts = [str(a.get("value", "")) for a in about["args"]]
            faults.append(f"console: {' '.join(texts)}")
        elif method == "Network.requestWillBeSent":
            asked = about["request"]["url"]
            if asked.split("#")[0] != url:
                faults.append(f"asks for {asked[:200]}")
    return faults


MEASURE = """
JSON.stringify({
  scroll: document.documentElement.scrollWidth,
  body: document.body ? document.body.scrollWidth : 0,
  headings: document.querySelectorAll('h1').length,
  scripts: document.querySelectorAll('script').length,
  lang: document.documentElement.lang,
  unnamed: [...document.querySelectorAll('figure svg, figure img')].filter(
    p => !(p.getAttribute('aria-label') || p.getAttribute('alt'))).length,
  uncaptioned: [...document.querySelectorAll('figure')].filter(
    f => !f.querySelector('figcaption')).length,
  twice: (ids => ids.length - new Set(ids).size)(
    [...document.querySelectorAll('[id]')].map(e => e.id)),
})
"""


def evaluated(call, expression):
    answer = call("Runtime.evaluate", expression=expression, returnByValue=True)
    return answer["result"]["value"]


def measured(call, width):
    """What is wrong with the page as it is laid out."""
    seen = json.loads(evaluated(call, MEASURE))
    faults = []
    across = max(seen["scroll"], seen["body"])
    if across > width:
        faults.append(f"the page is {across} px wide")
    if seen["headings"] != 1:
        faults.append(f"{seen['headings']} headings of the first rank")
    if seen["scripts"]:
        faults.append(f"{seen['scripts']} scripts")
    if not seen["lang"]:
        faults.append("no language is named")
    if seen["unnamed"] or seen["uncaptioned"]:
        faults.append("a picture without name or caption")
    if seen["twice"]:
        faults.append("an id is there twice")
    return faults


def printed(call, shots, stem):
    """What is wrong with the page on paper."""
    faults = []
    call("Emulation.setEmulatedMedia", media="print")
    for name, (width, height) in PAPERS.items():
        room = round((width - MARGINS) * PX_PER_INCH)
        call("Emulation.setDeviceMetricsOverride", width=room, height=HEIGHT_PX,
             deviceScaleFactor=1, mobile=False)
        across = json.loads(evaluated(call, MEASURE))["scroll"]
        if across > room:
            faults.append(f"{name}: {across} px wide where the paper has {room}")
        answer = call(
            "Page.printToPDF",
            paperWidth=width,
            paperHeight=height,
            preferCSSPageSize=False,
            printBackground=False,
        )
        paper = base64.b64decode(answer["data"])
        keep(shots, f"{stem}-{name}.pdf", paper)
        if not paper.startswith(b"%PDF") or len(paper) < LEAST_PRINT:
            faults.append(f"{name}: the print is empty")
    return faults


def keep(shots, name, data):
    if shots:
        (shots / name).write_bytes(data)


def ink(png):
    """The share of pixels that differ from the commonest colour."""
    width, height, lines = unpacked(png)
    counts = {}
    for line in lines:
        for at in range(0, len(line) - 3, 4):
            colour = line[at : at + 3]
            counts[colour] = counts.get(colour, 0) + 1
    total = sum(counts.values())
    return 1.0 - max(counts.values()) / total if total else 0.0


def unpacked(png):
    """Lines of four bytes a pixel from a PNG of eight bits a channel."""
    at, data, head = 8, b"", None
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        kind, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            head = struct.unpack(">IIBBBBB", body)
        elif kind == b"IDAT":
            data += body
        at += 12 + length
    width, height, depth, colours = head[:4]
    channels = {2: 3, 6: 4}[colours]
    assert depth == 8
    raw, stride = zlib.decompress(data), width * channels
    lines, before = [], bytearray(stride)
    for row in range(height):
        start = row * (stride + 1)
        line = bytearray(raw[start + 1 : start + 1 + stride])
        unfilter(raw[start], line, before, channels)
        lines.append(line)
        before = line
    if channels == 3:
        lines = [with_alpha(line) for line in lines]
    return width, height, [bytes(line) for line in lines]


def with_alpha(line):
    out = bytearray(len(line) // 3 * 4)
    for channel in range(3):
        out[channel::4] = line[channel::3]
    return out


def unfilter(kind, line, before, step):
    """Undoes the filter of one line of a PNG (PNG specification, clause 9)."""
    if kind == 2:
        for at, up in enumerate(before):
            line[at] = (line[at] + up) & 255
    elif kind in (1, 3, 4):
        for at in range(len(line)):
            left = line[at - step] if at >= step else 0
            up = before[at]
            if kind == 1:
                guess = left
            elif kind == 3:
                guess = (left + up) // 2
            else:
                corner = before[at - step] if at >= step else 0
                near = left + up - corner
                far = (abs(near - left), abs(near - up), abs(near - corner))
                guess = (left, up, corner)[far.index(min(far))]
            line[at] = (line[at] + guess) & 255


GOOD = """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>t</title>
</head><body><h1>A page</h1>{fill}{fault}</body></html>
"""
FILL = "<p>" + "Words to fill the page with. " * 60 + "</p>"
# a fault, and a part of what has to be said about it
FAULTS = [
    ("<script>console.error('a fault')</script>", "console: a fault"),
    ("<script>throw new Error('a fault')</script>", "exception"),
    ("<img alt='' src='nowhere.png'>", "asks for"),
    ("<link rel='stylesheet' href='http://localhost:9/x.css'>", "asks for"),
    ("<p style='width:700px'>wide</p>", "the page is"),
    ("<style>@media print{p{width:900px}}</style>", "where the paper has"),
    ("<p id='a'></p><p id='a'></p>", "an id is there twice"),
    ("<figure><svg></svg><figcaption>c</figcaption></figure>", "without name"),
    ("<h1>Another</h1>", "2 headings"),
]


def self_test(browser, folder):
    """Every fault is found, and a page without one is let through."""
    missed = []
    cases = [(GOOD.format(fill=FILL, fault=fault), wanted) for fault, wanted in FAULTS]
    cases.append((GOOD.format(fill=FILL, fault=""), None))
    cases.append(("<!DOCTYPE html><html lang='en'><h1></h1></html>", "screenshot is empty"))
    for number, (text, wanted) in enumerate(cases):
        path = folder / f"case-{number}.html"
        path.write_text(text, encoding="utf-8")
        found = faults_of(browser, path.as_uri(), None, "")
        if wanted is None and found:
            missed.append(f"a good page is refused: {found}")
        elif wanted is not None and not any(wanted in fault for fault in found):
            missed.append(f"not found: {wanted} (found: {found})")
        print(f"  {wanted or 'a good page'}: {len(found)} faults found")
    return missed


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("pages", nargs="*", type=pathlib.Path)
    parser.add_argument("--shots", type=pathlib.Path, help="keep screenshots and prints")
    parser.add_argument("--self-test", action="store_true")
    asked = parser.parse_args()
    if not asked.self_test and not asked.pages:
        parser.error("name a page, or --self-test")
    program = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if not program:
        sys.exit("no chromium is installed")
    if asked.shots:
        asked.shots.mkdir(parents=True, exist_ok=True)
    wrong = 0
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        browser = Browser(program, profile)
        try:
            if asked.self_test:
                with tempfile.TemporaryDirectory() as folder:
                    for line in self_test(browser, pathlib.Path(folder)):
                        print(line)
                        wrong += 1
            for page in asked.pages:
                if not page.is_file():
                    parser.error(f"{page} is not there")
                stem = f"{page.resolve().parent.name}-{page.stem}"
                found = faults_of(browser, page.resolve().as_uri(), asked.shots, stem)
                wrong += len(found)
                print(f"{page}: {'; '.join(found) or 'good'}")
        finally:
            browser.close()
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
