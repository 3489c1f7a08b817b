"""RFC 8010 octets read and written by a second hand: no library, no code of the probe.

Tags and layout from RFC 8010 sections 3.1 to 3.9 and tables 2 to 7.
"""
import struct

OPERATION, JOB, END, PRINTER, SUBSCRIPTION = 0x01, 0x02, 0x03, 0x04, 0x06
INTEGER, BOOLEAN, ENUM, OCTETS, RANGE, BEGIN, END_COLLECTION = 0x21, 0x22, 0x23, 0x30, 0x33, 0x34, 0x37
UNKNOWN, NO_VALUE, TEXT_LANG, TEXT, NAME, KEYWORD, URI, CHARSET, LANGUAGE, MIME, MEMBER = (
    0x12, 0x13, 0x35, 0x41, 0x42, 0x44, 0x45, 0x47, 0x48, 0x49, 0x4A)


def read(octets):
    """(version, code, request id, [(group tag, [(name, tag, [value, ...]), ...]), ...], document data)"""
    major, minor, code, request_id = struct.unpack(">BBhi", octets[:8])
    at, groups = 8, []

    def item(at):
        tag, = struct.unpack(">B", octets[at:at + 1])
        length, = struct.unpack(">h", octets[at + 1:at + 3])
        assert length >= 0
        name = octets[at + 3:at + 3 + length].decode()
        at += 3 + length
        length, = struct.unpack(">h", octets[at:at + 2])
        value = octets[at + 2:at + 2 + length]
        assert length >= 0 and len(value) == length, "cut short"
        return tag, name, value, at + 2 + length

    while True:
        if octets[at] == END:
            return (major, minor), code, request_id, groups, octets[at + 1:]
        if octets[at] < 0x10:
            groups.append((octets[at], []))
            at += 1
            continue
        tag, name, value, at = item(at)
        value = {INTEGER: lambda v: struct.unpack(">i", v)[0], ENUM: lambda v: struct.unpack(">i", v)[0],
                 BOOLEAN: lambda v: {b"\0": False, b"\1": True}[v]}.get(tag, lambda v: v.decode())(value)
        if name:
            groups[-1][1].append((name, tag, [value]))
        else:
            assert groups[-1][1][-1][1] == tag
            groups[-1][1][-1][2].append(value)


def item(tag, name, value):
    if tag in (INTEGER, ENUM):
        value = struct.pack(">i", value)
    elif tag == BOOLEAN:
        value = b"\1" if value else b"\0"
    elif tag == TEXT_LANG:
        language, text = (part.encode() for part in value)
        value = struct.pack(">h", len(language)) + language + struct.pack(">h", len(text)) + text
    elif isinstance(value, str):
        value = value.encode()
    name = name.encode()
    return bytes([tag]) + struct.pack(">h", len(name)) + name + struct.pack(">h", len(value)) + value


def attribute(tag, name, *values):
    out = b""
    for value in values:
        if tag == BEGIN:  # value: [(tag, member name, values...), ...]
            out += item(BEGIN, name, b"")
            for member_tag, member, *member_values in value:
                out += item(MEMBER, "", member) + attribute(member_tag, "", *member_values)
            out += item(END_COLLECTION, "", b"")
        else:
            out += item(tag, name, value)
        name = ""
    return out


def message(code, request_id, *groups, version=(2, 0)):
    """groups: (tag, octets of its attributes)"""
    out = struct.pack(">BBhi", *version, code, request_id)
    first = attribute(CHARSET, "attributes-charset", "utf-8") + attribute(LANGUAGE, "attributes-natural-language", "de")
    for tag, attributes in ((OPERATION, first), *groups):
        out += bytes([tag]) + attributes
    return out + bytes([END])
