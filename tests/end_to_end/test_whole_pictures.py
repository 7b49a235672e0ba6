"""What the app paints arrives whole, also where the interpreter was told not to buffer."""

from __future__ import annotations

import os
import sys

import pexpect

PROGRAM = """
import subprocess, sys, threading
from rovlog.faces.cli.open_app import make_writes_whole

make_writes_whole()
is_done = threading.Event()

def start_programs():
    while not is_done.is_set():
        subprocess.run(["true"])

threading.Thread(target=start_programs).start()
for _ in range(60):
    sys.__stderr__.write("x" * 30000)
    sys.__stderr__.flush()
is_done.set()
"""
"""Paints as the app does, in big pieces, while another thread starts programs as the app starts git."""


def test_a_picture_arrives_whole_while_another_thread_starts_git():
    child = pexpect.spawn(
        sys.executable, ["-c", PROGRAM], env={**os.environ, "PYTHONUNBUFFERED": "1"}, timeout=120
    )
    child.delaybeforesend = None
    arrived = 0
    while True:
        try:
            arrived += child.read_nonblocking(65536, 60).count(b"x")
        except pexpect.EOF:
            break
    assert arrived == 60 * 30000
