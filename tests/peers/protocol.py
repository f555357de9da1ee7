"""The rig's line protocol, written from docs/rig-protocol.md alone: nothing here knows the project's own code."""


def crc16(payload: bytes) -> int:
    """Polynomial 0x1021, start 0xFFFF, no reflection, no final XOR."""
    crc = 0xFFFF
    for byte in payload:
        crc ^= byte << 8
        for _ in range(8):
            crc = ((crc << 1) ^ 0x1021 if crc & 0x8000 else crc << 1) & 0xFFFF
    return crc


assert crc16(b"123456789") == 0x29B1  # the published check value


def line(payload: str) -> bytes:
    data = payload.encode("ascii")
    whole = b"%s*%04X\n" % (data, crc16(data))
    assert len(whole) <= 128
    return whole


def payload(text: bytes):
    """What a line without its line end says, or None when its check sum is wrong."""
    if len(text) < 6 or text[-5:-4] != b"*":
        return None
    return text[:-5].decode("ascii") if b"%04X" % crc16(text[:-5]) == text[-4:] else None


class Lines:
    """Bytes in, good payloads out; bad lines are counted."""

    def __init__(self):
        self.rest = b""
        self.bad = 0

    def feed(self, data: bytes):
        *lines, self.rest = (self.rest + data).split(b"\n")
        for text in lines:
            said = payload(text)
            if said is None:
                self.bad += 1
            else:
                yield said
