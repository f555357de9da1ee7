"""A rig that isn't ours: a controller on a pseudo-terminal, from the protocol's text; `lobewright sweep` sweeps a lobe on it.
Usage: python_rig.py LOBEWRIGHT"""

import csv
import math
import os
import select
import subprocess
import sys
import tempfile
import tty

from protocol import Lines, line

COUNTS = 3600
STEP_NM = 1000


def readings(count: int) -> tuple:
    """Front and rear in steps: a heel with a little runout, a nose at 150 degrees, higher to the rear."""
    deg = count * 360.0 / COUNTS % 360.0
    off = abs(deg - 150.0)
    lift = 6.0 * math.cos(math.radians(off * 90.0 / 70.0)) ** 2 if off < 70.0 else 0.0
    runout = 0.004 * math.sin(math.radians(deg))
    return round(1000 * (lift + runout)), round(1000 * (lift * 1.003 + runout))


class Rig:
    def __init__(self, master: int):
        self.master = master
        self.lines = Lines()
        self.count = -300
        self.t_us = 0xFFFFFFFF - 2_000_000  # its clock wraps two seconds on
        self.seq = 0
        self.every = 1
        self.streaming = False
        self.out = b""

    def hear(self) -> None:
        for order in self.lines.feed(os.read(self.master, 4096)):
            word, *numbers = order.split(",")
            if word == "hello":
                self.out += line(f"H,1,peer,{COUNTS},{STEP_NM},-")
            elif word == "start":
                self.streaming = True
            elif word == "stop":
                self.streaming = False
                self.out += line(f"Q,{self.seq}")
            elif word == "every":
                self.every = int(numbers[0])

    def tell(self, kind: str, *more: int) -> None:
        self.seq += 1
        self.out += line(",".join(map(str, (kind, self.seq, self.t_us & 0xFFFFFFFF, self.count, *more))))

    def turn(self) -> None:
        self.count += 1
        self.t_us += 5000  # 20 degrees a second
        if self.count % COUNTS == 0:
            self.tell("X")
        if self.count % self.every == 0:
            self.tell("S", *readings(self.count))


def serve(rig: Rig, sweep: subprocess.Popen) -> None:
    """As fast as the other side reads; the cam turns while it listens."""
    while sweep.poll() is None:
        wants = [rig.master] if rig.out or rig.streaming else []
        ready, writable, _ = select.select([rig.master], wants, [], 0.05)
        if ready:
            rig.hear()
        if writable and not rig.out and rig.streaming:
            for _ in range(20):
                rig.turn()
        if writable and rig.out:
            rig.out = rig.out[os.write(rig.master, rig.out[:1024]):]


def check(folder: str) -> None:
    (name,) = os.listdir(os.path.join(folder, "sweeps"))
    with open(os.path.join(folder, "sweeps", name), encoding="utf-8") as file:
        rows = list(csv.DictReader(text for text in file if not text.startswith("#")))
    assert len({int(row["count"]) * 360 // COUNTS % 360 for row in rows}) == 360, len(rows)
    for row in rows:
        front, rear = readings(int(row["count"]))
        assert round(1000 * float(row["front"])) == front, row
        assert round(1000 * float(row["rear"])) == rear, row


def main() -> None:
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as folder:
        master, slave = os.openpty()
        tty.setraw(slave)
        os.set_blocking(master, False)
        run = os.path.join(folder, "run")
        command = [program, "sweep", run, "1E", "--port", os.ttyname(slave), "--lobe", "1E,exhaust,30,12"]
        for setting in ("run.condition=new", "cam.follower=flat", "cam.retention=thrust-plate", "rig.tip=flat",
                        "rig.front_z=-4.0", "rig.rear_z=4.0"):
            command += ["--set", setting]
        with open(os.path.join(folder, "keys"), "w+", encoding="ascii") as keys, \
                open(os.path.join(folder, "said"), "w+", encoding="utf-8") as said:
            keys.write("\n")
            keys.seek(0)
            sweep = subprocess.Popen(command, stdin=keys, stdout=said, stderr=subprocess.STDOUT)
            try:
                serve(Rig(master), sweep)
            finally:
                sweep.kill()
            said.seek(0)
            text = said.read()
        assert sweep.returncode == 0, f"ended with {sweep.returncode}: {text}"
        assert "\n! " not in text, text
        check(run)
        inspected = subprocess.run([program, "inspect", run], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        assert inspected.returncode in (0, 1, 2) and not inspected.stderr, inspected  # read, whatever it is judged


main()
