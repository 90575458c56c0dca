"""Stands for `python -m readiness`: hands a call on to the process that has everything imported.

It starts in a fiftieth of a second because it imports next to nothing, not even the package that
it lies in; what it talks to is in `starter.py`.
Invariant: the call gets this process's words, folder, environment and streams, and this process
ends with the exit code of the call.
"""

from __future__ import annotations

import marshal
import os
import socket
import sys

LENGTH_BYTES = 8
STREAMS = (0, 1, 2)
"""Input, output, errors."""


def exit_code_of(address: str, words: list[str]) -> int:
    """Have the words run by the process at the address."""
    folder = os.getcwdb()  # noqa: PTH109  pathlib takes as long to import as all the rest
    asked = marshal.dumps(([os.fsencode(word) for word in words], folder, dict(os.environb)))
    with socket.socket(socket.AF_UNIX) as link:
        link.connect(address)
        socket.send_fds(link, [len(asked).to_bytes(LENGTH_BYTES, "big")], STREAMS)
        link.sendall(asked)
        answer = link.recv(LENGTH_BYTES)
    return int.from_bytes(answer, "big") if answer else 1


if __name__ == "__main__":
    sys.exit(exit_code_of(sys.argv[1], sys.argv[2:]))
