"""Lets `python -m readiness` do what the command `readiness` does.

Invariant: nothing but the commands is imported here.
"""

from readiness.cli.main import main

__all__ = ["main"]

if __name__ == "__main__":
    main()
