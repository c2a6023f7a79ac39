"""`python -m faultfinder`: the same as the command."""

from faultfinder.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
