"""`python -m guide`: the command line, from wherever the package is installed."""

from __future__ import annotations

from guide.command.main import enter

if __name__ == "__main__":
    enter()
