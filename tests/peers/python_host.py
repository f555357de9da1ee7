"""A host that isn't ours: sweeps one turn off `lobewright virtual-rig` with pyserial and the protocol's text.
Usage: python_host.py LOBEWRIGHT pty|tcp"""

import os
import signal
import subprocess
import sys
import tempfile

import serial

from protocol import Lines, line

COUNTS = 7200
EVERY = 10


def talk(port: serial.SerialBase) -> None:
    lines = Lines()

    def said():
        for payload in lines.feed(port.read(max(1, port.in_waiting))):
            yield payload.split(",")

    def ask(order: str, answer: str) -> list:
        for _ in range(40):  # the port's own time limit ends each try
            port.write(line(order))
            for fields in said():
                if fields[0] == answer:
                    return fields
        raise SystemExit(f"no answer to {order}")

    hello = ask("hello", "H")
    assert hello[1] == "1" and int(hello[3]) == COUNTS and hello[5] == "t", hello
    port.write(line(f"every,{EVERY}"))
    port.write(line("start"))
    seen, marks, last = {}, [], None
    while len(marks) < 2:
        for fields in said():
            if fields[0] == "H":
                continue
            seq = int(fields[1])
            assert last is None or seq == last + 1, f"{last} then {seq}"
            last = seq
            if fields[0] == "X":
                marks.append(int(fields[3]))
            if fields[0] == "S" and len(marks) == 1:
                seen[int(fields[3]) - marks[0]] = (int(fields[4]), int(fields[5]))
            assert fields[0] != "F", fields
    assert marks[1] - marks[0] == COUNTS, marks
    assert len(seen) >= COUNTS // EVERY - 1, len(seen)
    # The launch engine's first lobe lifts 5.6 mm, in steps of half a micrometre.
    for tip in (0, 1):
        readings = [reading[tip] for reading in seen.values()]
        assert 11000 < max(readings) - min(readings) < 11400, (min(readings), max(readings))
    # The motor runs while it is told to keep on, and halts when nobody says so.
    port.write(line("turn,100000,400"))
    halted = False
    while not halted:
        for fields in said():
            if fields[0] in "SXFB":
                assert int(fields[1]) == last + 1
                last = int(fields[1])
            halted = halted or (fields[0] == "F" and fields[3] == "halted")
    port.write(line("stop"))
    answer = None
    while answer is None:
        for fields in said():
            if fields[0] == "Q":
                answer = int(fields[1])
            elif fields[0] in "SXFB":
                last = int(fields[1])
    assert answer == last, (answer, last)
    assert lines.bad == 0, lines.bad


def main() -> None:
    program, kind = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        link = os.path.join(folder, "rig")
        where = ["--pty", link] if kind == "pty" else ["--tcp", "0"]
        rig = subprocess.Popen([program, "virtual-rig", "--motor", "--place", "1E", "--speed", "max", *where],
                               stdout=subprocess.PIPE, text=True)
        try:
            name = next(text.split()[-1] for text in rig.stdout if text.startswith("ready at "))
            url = name if kind == "pty" else name.replace("tcp:", "socket://")
            with serial.serial_for_url(url, timeout=0.25) as port:
                talk(port)
        finally:
            rig.send_signal(signal.SIGINT)
            rig.stdout.read()
        assert rig.wait() == 0, rig.returncode
        assert not os.path.lexists(link)


main()
