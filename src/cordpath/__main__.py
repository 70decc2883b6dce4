"""``python -m cordpath``: the command, for environments whose scripts are not on the path."""

from cordpath.cli import main

if __name__ == "__main__":  # spawned workers import this module under another name
    raise SystemExit(main())
