"""Reads PWG raster by PWG 5102.4-2012 alone: sync word (4.1), page header (4.3), compressed rows (4.4)."""
import struct

HEADER = 1796
# Offset of each field in the header; all are 32 bits, the most significant octet first.
FIELDS = {"CutMedia": 268, "Duplex": 272, "HWResolutionX": 276, "HWResolutionY": 280, "InsertSheet": 300, "Jog": 304,
          "LeadingEdge": 308, "MediaPosition": 324, "MediaWeightMetric": 328, "NumCopies": 340, "Orientation": 344,
          "PageSizeX": 352, "PageSizeY": 356, "Tumble": 368, "Width": 372, "Height": 376, "BitsPerColor": 384,
          "BitsPerPixel": 388, "BytesPerLine": 392, "ColorOrder": 396, "ColorSpace": 400, "NumColors": 420,
          "TotalPageCount": 452, "CrossFeedTransform": 456, "FeedTransform": 460, "ImageBoxLeft": 464, "ImageBoxTop": 468,
          "ImageBoxRight": 472, "ImageBoxBottom": 476, "AlternatePrimary": 480, "PrintQuality": 484,
          "VendorIdentifier": 508, "VendorLength": 512}
STRINGS = {"PwgRaster": 0, "MediaColor": 64, "MediaType": 128, "PrintContentOptimize": 192, "RenderingIntent": 1668,
           "PageSizeName": 1732}
RESERVED = [(256, 268), (284, 300), (312, 324), (332, 340), (348, 352), (360, 368), (380, 384), (404, 420), (424, 452),
            (488, 508), (1604, 1668)]


def header(octets):
    assert len(octets) == HEADER
    fields = {name: struct.unpack(">I", octets[at:at + 4])[0] for name, at in FIELDS.items()}
    for name, at in STRINGS.items():
        fields[name] = octets[at:at + 64].split(b"\0")[0].decode("ascii")
    for begin, end in RESERVED:
        assert not any(octets[begin:end]), f"octets {begin} to {end - 1} are reserved and not 0"
    return fields


def rows(octets, fields):
    """All rows of the page, and what is left behind it."""
    at, size, lines = 0, fields["BitsPerPixel"] // 8, []
    while len(lines) < fields["Height"]:
        repeat, at = octets[at] + 1, at + 1
        line = bytearray()
        while len(line) < fields["BytesPerLine"]:
            control, at = octets[at], at + 1
            assert control != 128, "the control octet 128 stands for nothing"
            count = control + 1 if control < 128 else 257 - control
            taken = size if control < 128 else size * count
            line += octets[at:at + taken] * (count if control < 128 else 1)
            at += taken
        assert len(line) == fields["BytesPerLine"], "a row is longer than the header says"
        lines += [bytes(line)] * repeat
    assert len(lines) == fields["Height"], "a row is repeated past the end of the page"
    return lines, octets[at:]


def pages(document):
    assert document[:4] == b"RaS2", document[:4]
    rest, found = document[4:], []
    while rest:
        fields = header(rest[:HEADER])
        lines, rest = rows(rest[HEADER:], fields)
        found.append((fields, lines))
    return found
