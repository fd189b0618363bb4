"""The smallest writer of FIT files, for tests of the reader.

From the public FIT protocol description: a 14-byte header with its check sum, one definition
message for "record" (global number 20), data messages, and a check sum at the end.
"""

import struct

_CRC = (
    0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401,
    0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400,
)  # fmt: skip
_START = 1_000_000_000
"""Seconds since the last day of 1989, UTC."""
_UINT32, _SINT32, _UINT16 = 0x86, 0x85, 0x84


def check_sum(data: bytes) -> int:
    """CRC-16 of the FIT protocol."""
    crc = 0
    for byte in data:
        for nibble in (byte & 0xF, byte >> 4):
            crc = (crc >> 4) & 0x0FFF ^ _CRC[crc & 0xF] ^ _CRC[nibble]
    return crc


def fit_file(points: list[tuple[float, float, float, float, float]]) -> bytes:
    """A file with one "record" for each point: seconds, latitude, longitude, m/s, altitude in m."""
    fields = [(253, 4, _UINT32), (0, 4, _SINT32), (1, 4, _SINT32), (6, 2, _UINT16), (2, 2, _UINT16)]
    body = struct.pack("<BBBHB", 0x40, 0, 0, 20, len(fields))
    body += b"".join(struct.pack("BBB", *each) for each in fields)
    for second, latitude, longitude, speed, altitude in points:
        body += struct.pack(
            "<BIiiHH",
            0,
            _START + second,
            round(latitude * 2**31 / 180),
            round(longitude * 2**31 / 180),
            round(speed * 1000),
            round((altitude + 500) * 5),
        )
    header = struct.pack("<BBHI4s", 14, 0x20, 2140, len(body), b".FIT")
    header += struct.pack("<H", check_sum(header))
    return header + body + struct.pack("<H", check_sum(header + body))
