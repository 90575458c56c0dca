"""Lets `python -m readiness` and the command `readiness` start alike, and quickly.

Most commands answer one question and end; collecting cycles on the way and at the end took a
fifth of that time, and the process gives its memory back anyway.
Invariant: nothing but the commands is imported here.
"""

from __future__ import annotations

import gc
import os
from typing import NoReturn

__all__ = ["main"]


def main() -> NoReturn:
    """Run the command that the words of the call name, without collecting cycles meanwhile.

    A command that stays open collects them again (see `STAYING_OPEN`).
    """
    gc.disable()
    # Else pydantic reads the list of files of every package that is installed, to look for plug-ins
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    from readiness.cli.main import main as answer

    try:
        answer()
    finally:
        gc.freeze()


if __name__ == "__main__":
    main()
