#!/usr/bin/python3
"""The test page as other programs see it.

PDF: qpdf checks its structure, pdfinfo counts and measures its pages, pdftotext reads its words, pdftoppm draws it.
PWG raster: read by pwg_raster.py, which was written from the standard and shares no line with the writer's library.
The pictures are searched for what must be on them; where it must be is not taken from our code.
"""
import itertools
import pathlib
import re
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "system"))
import harness
import pwg_raster

CYAN, MAGENTA, YELLOW, BLACK = (0, 255, 255), (255, 0, 255), (255, 255, 0), (0, 0, 0)
BARS = [CYAN, MAGENTA, YELLOW, BLACK, (255, 0, 0), (0, 255, 0), (0, 0, 255)]
GREYS = [(round(255 * i / 10),) * 3 for i in range(11)]
WORDS = [b"herbarium-copier", b"Fern house, 1st floor", b"2026-11-26 09:30", b"FR-0042", b"T7K2"]


def make(folder, kind, sheet="a4", across=300, along=None, words=WORDS):
    file = folder / f"page.{kind}"
    done = subprocess.run([harness.BUILD / "tests/peers/testpage_dump", kind, sheet, str(across), str(along or across),
                           file], input=b"\n".join(words) + b"\n", capture_output=True, timeout=harness.GUARD)
    assert done.returncode == 0, (kind, words, done.stderr)
    return file


def said(*command):
    done = subprocess.run(command, capture_output=True, timeout=harness.GUARD)
    assert done.returncode == 0, (command, done.stdout, done.stderr)
    return done.stdout.decode("utf-8")


def drawn(file, dpi):
    """Width and rows of the PDF's page as pdftoppm draws it."""
    image = subprocess.run(["pdftoppm", "-r", str(dpi), file], capture_output=True, timeout=harness.GUARD).stdout
    head = re.match(rb"P6\s(\d+)\s(\d+)\s255\s", image)
    width, height = int(head[1]), int(head[2])
    assert len(image) == head.end() + 3 * width * height, "not one page"
    return width, [image[head.end() + 3 * width * y:head.end() + 3 * width * (y + 1)] for y in range(height)]


def runs(row, channels=3):
    """(colour, first pixel, length) of each run of equal pixels."""
    at, found = 0, []
    for pixel, group in itertools.groupby(zip(*[iter(row)] * channels)):
        length = len(list(group))
        found.append((pixel, at, length))
        at += length
    return found


def broad(row, least, channels=3):
    white = (255,) * channels
    return [run for run in runs(row, channels) if run[2] >= least and run[0] != white]


def near(pixel, colour):
    return all(abs(a - b) <= 1 for a, b in zip(pixel, colour))  # halves are rounded up here and down there


def rows_with(rows, colours, least, channels=3):
    """Numbers of the rows whose broad runs have just these colours, and the runs of the first such row."""
    found, places = [], None
    for number, row in enumerate(rows):
        wide = broad(row, least, channels)
        if len(wide) == len(colours) and all(near(run[0], colour) for run, colour in zip(wide, colours)):
            found.append(number)
            places = places or wide
    return found, places


def bars(rows, dpi):
    """Seven bars of the right colours, in order, side by side, equally wide and at least an inch high."""
    numbers, places = rows_with(rows, BARS, dpi / 2)
    assert len(numbers) >= dpi, f"the colour bars are in {len(numbers)} rows only"
    assert numbers == list(range(numbers[0], numbers[-1] + 1)), "the bars have gaps"
    widths = [length for _, _, length in places]
    assert max(widths) - min(widths) <= 2, widths
    for (_, begin, length), (_, after, _) in zip(places, places[1:]):
        assert 0 <= after - begin - length <= 1, places  # at most one pixel that is a mixture of both
    return numbers, places


def greys(rows, dpi):
    """From black to white in eleven steps, the last as white as the paper."""
    numbers, _ = rows_with(rows, GREYS[:-1], dpi / 3)
    assert len(numbers) >= dpi / 2, f"the grey steps are in {len(numbers)} rows only"
    return numbers


def dark_clusters(lines, least):
    """Widths of the groups of neighbouring lines (rows or columns) that hold one dark run of that many pixels."""
    pattern = re.compile(b"[\x00-\xe0]{%d,}" % least)
    dark = [n for n, line in enumerate(lines) if pattern.search(line)]
    groups = []
    for n in dark:
        if groups and n == groups[-1][-1] + 1:
            groups[-1].append(n)
        else:
            groups.append([n])
    return [len(group) for group in groups]


def fine_lines(rows, below, dpi):
    """Two lines of each of five widths, both ways; none is lost and none thinner than the one before."""
    green = [row[1::3] for row in rows[below:]]
    columns = [bytes(column) for column in zip(*green)]
    for name, lines, least in (("horizontal", green, 1.6 * dpi), ("vertical", columns, 1.3 * dpi)):
        widths = dark_clusters(lines, int(least))
        assert len(widths) == 10, (name, widths)
        pairs = [widths[i] + widths[i + 1] for i in range(0, 10, 2)]
        assert pairs == sorted(pairs) and pairs[0] < pairs[-1], (name, widths)


def nozzles(rows, below, dpi):
    """Fifty short lines in each of the four colours: ten beside each other, five flights of them, each lower than the last."""
    for colour in (CYAN, MAGENTA, YELLOW, BLACK):
        seen = {}
        for number, row in enumerate(rows[below:]):
            for pixel, begin, length in runs(row):
                if 0.1 * dpi <= length <= 0.25 * dpi and pixel == colour:
                    seen.setdefault(round(begin / (0.04 * dpi)), []).append(number)
        columns = [seen[at] for at in sorted(seen)]
        tops = [[n for n in numbers if n - 1 not in numbers] for numbers in columns]
        tops = [top for top in tops if len(top) > 2]  # the black lines of the crosses are as short
        assert [len(top) for top in tops] == [5] * 10, (colour, [len(top) for top in tops])
        for flight in range(5):
            steps = [top[flight] for top in tops]
            assert steps == sorted(steps) and len(set(steps)) == 10, (colour, steps)


def crosses(rows, dpi):
    """Eight, their middles 43 pt from the edges of the sheet or half-way: what is printed askew or scaled shows there."""
    width, height, point = len(rows[0]) // 3, len(rows), dpi / 72

    def dark(x, y):  # within a pixel of the place
        return any(rows[round(y) + j][3 * (round(x) + i)] < 0xC0 for i in (-1, 0, 1) for j in (-1, 0, 1))

    near_edge = 43 * point
    for x in (near_edge, width / 2, width - near_edge):
        for y in (near_edge, height / 2, height - near_edge):
            if (x, y) == (width / 2, height / 2):
                continue
            arms = [dark(x + i * point, y) and dark(x, y + i * point) for i in (-6, 0, 6)]
            assert all(arms), (x, y, arms)
            assert not dark(x + 6 * point, y + 6 * point), (x, y)


def pdf(folder):
    for sheet, size in (("a4", "595.276 x 841.89 pts (A4)"), ("letter", "612 x 792 pts (letter)")):
        file = make(folder, "pdf", sheet)
        assert "No syntax or stream encoding errors" in said("qpdf", "--check", file)
        about = said("pdfinfo", "-isodates", file)
        assert re.search(r"^Pages: +1$", about, re.MULTILINE), about
        assert re.search(rf"^Page size: +{re.escape(size)}$", about, re.MULTILINE), about
        assert "Date:" not in about, about
        text = said("pdftotext", "-layout", file, "-")
        for label, word in zip(("Device", "Place", "Time", "Incident", "Page"), WORDS):
            assert re.search(rf"^{label} +{re.escape(word.decode())}$", text, re.MULTILINE), text
        assert "Good is: every bar full and even" in text, text
        _, rows = drawn(file, 100)
        numbers, _ = bars(rows, 100)
        assert greys(rows, 100)[0] > numbers[-1]
    without = make(folder, "pdf", words=WORDS[:3] + [b""] + WORDS[4:])
    assert "Incident" not in said("pdftotext", without, "-")
    _, rows = drawn(make(folder, "pdf"), 300)
    crosses(rows, 300)
    nozzles(rows, bars(rows, 300)[0][-1] + 1, 300)


def hostile(folder):
    """Whatever a device calls itself, the document is one valid page, and what follows the name is still on it."""
    names = [bytes(octet for octet in range(256) if octet != 10), b"\x1b%-12345X@PJL\r", b"\xff\xfe\x80\xc3",
             "\u202eeman\u2066\ufeff\u200f".encode(), b") Tj ET (\\) >> endobj trailer %%EOF", b"W" * 70000,
             "\u862d\u82b1 \U0001f33f \ufffe".encode(), b"(" * 200, b"\\" * 201, b"\xcc" * 300, b"\0", b""]
    for name in names:
        file = make(folder, "pdf", words=[name, name, name, name, b"T7K2"])
        assert "No syntax or stream encoding errors" in said("qpdf", "--check", file), name
        assert re.search(r"^Pages: +1$", said("pdfinfo", file), re.MULTILINE), name
        text = said("pdftotext", "-layout", file, "-")
        assert re.search(r"^Page +T7K2$", text, re.MULTILINE), (name, text)
        assert not re.search(r"[\x00-\x08\x0b\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069]", text), (name, text)
        _, rows = drawn(file, 50)
        bars(rows, 50)
        # Cut where the paper ends: at the right of the middle cross nothing is but white, above the bars.
        edge = [row[-3 * 24:] for row in rows[:20]]
        assert all(set(row) == {255} for row in edge), name
    shown = said("pdftotext", make(folder, "pdf", words=["Gewächshaus Δ 蘭".encode()] + WORDS[1:]), "-")
    assert "Gewächshaus Δ ?" in shown, shown


def raster(folder):
    for sheet, dpi, width, height, name in (("a4", 300, 2480, 3507, "iso_a4_210x297mm"),
                                            ("letter", 100, 850, 1100, "na_letter_8.5x11in")):
        [(fields, rows)] = pwg_raster.pages(make(folder, "srgb_8", sheet, dpi).read_bytes())
        wanted = {"PwgRaster": "PwgRaster", "HWResolutionX": dpi, "HWResolutionY": dpi, "Width": width, "Height": height,
                  "BitsPerColor": 8, "BitsPerPixel": 24, "BytesPerLine": 3 * width, "ColorOrder": 0, "ColorSpace": 19,
                  "NumColors": 3, "TotalPageCount": 1, "CrossFeedTransform": 1, "FeedTransform": 1, "PageSizeName": name,
                  "Duplex": 0, "Tumble": 0, "VendorLength": 0, "PrintContentOptimize": "", "MediaType": ""}
        assert {field: fields[field] for field in wanted} == wanted, fields
        numbers, places = bars(rows, dpi)
        steps = greys(rows, dpi)
        assert steps[0] > numbers[-1]
        # The same drawing as the PDF, as another program draws that.
        _, other = drawn(make(folder, "pdf", sheet), dpi)
        other_numbers, other_places = bars(other, dpi)
        assert abs(numbers[0] - other_numbers[0]) <= 2 and abs(numbers[-1] - other_numbers[-1]) <= 2
        for (_, begin, _), (_, other_begin, _) in zip(places, other_places):
            assert abs(begin - other_begin) <= 2, (places, other_places)
        if dpi == 300:
            crosses(rows, dpi)
            nozzles(rows, numbers[-1] + 1, dpi)
            fine_lines(rows, steps[-1] + 1 + dpi // 10, dpi)


def grey_raster(folder):
    [(fields, rows)] = pwg_raster.pages(make(folder, "sgray_8", "a4", 200, 100).read_bytes())
    assert (fields["ColorSpace"], fields["NumColors"], fields["BitsPerPixel"]) == (18, 1, 8), fields
    assert (fields["HWResolutionX"], fields["HWResolutionY"], fields["Width"], fields["Height"]) == (200, 100, 1653, 1169)
    assert len(rows) == 1169
    # ITU-R BT.709: how bright each colour is.
    bright = [(round(255 * (0.2126 * r + 0.7152 * g + 0.0722 * b) / 255),) for r, g, b in BARS]
    numbers, _ = rows_with(rows, bright, 100, 1)
    assert len(numbers) >= 100, len(numbers)
    assert len(rows_with(rows, [grey[:1] for grey in GREYS[:-1]], 60, 1)[0]) >= 50


def plain_text(folder):
    text = make(folder, "text").read_bytes()
    assert text.endswith(b"\r\n\f") and text.count(b"\f") == 1
    for word in WORDS:
        assert word in text
    assert not re.search(rb"[^\x20-\x7e\r\n\f]", text)


def main():
    with harness.scratch() as folder:
        pdf(folder)
        hostile(folder)
        raster(folder)
        grey_raster(folder)
        plain_text(folder)
    print("seen by others: PDF of one page, its words, bars, greys, lines and patterns; PWG raster of the same; plain text")


sys.exit(main())
