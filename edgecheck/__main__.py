"""`python -m edgecheck`."""

from edgecheck.cli import main

if __name__ == "__main__":
    main()
