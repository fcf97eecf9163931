"""`python -m keyproof.linter` is the command `keyproof`."""

from .cli import main

if __name__ == "__main__":
    main()
