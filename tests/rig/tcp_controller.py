"""A controller behind a network serial server, written from the text of docs/rig-protocol.md alone.

Prints the number of its tcp port, serves one host at a time, sends 2000 samples on start, and ends with its input.
"""
import socket
import sys
import threading


def crc16(data):
    crc = 0xFFFF
    for byte in data:
        crc ^= byte << 8
        for _ in range(8):
            crc = (crc << 1 ^ 0x1021) & 0xFFFF if crc & 0x8000 else crc << 1
    return crc


def line(payload):
    raw = payload.encode("ascii")
    return raw + b"*%04X\n" % crc16(raw)


def serve(server):
    while True:
        host, _ = server.accept()
        seq = 0
        for raw in host.makefile("rb"):
            payload, star, crc = raw.rstrip(b"\n").rpartition(b"*")
            if not star or int(crc, 16) != crc16(payload):
                continue
            if payload == b"hello":
                host.sendall(line("H,1,python,3600,1000,-"))
            elif payload == b"start":
                block = b"".join(
                    line("S,%d,%d,%d,%d,-" % (i, i * 1000, i, i % 50)) for i in range(2000))
                for at in range(0, len(block), 17):  # cut where no line ends
                    host.sendall(block[at:at + 17])
                seq = 2000
                host.sendall(line("X,%d,%d,%d" % (seq, seq * 1000, seq)))


listener = socket.create_server(("127.0.0.1", 0))
print(listener.getsockname()[1], flush=True)
threading.Thread(target=serve, args=(listener,), daemon=True).start()
sys.stdin.read()
