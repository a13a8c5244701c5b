"""`python -m tendwork` does what the `tendwork` command does."""

from tendwork.cli import main

if __name__ == "__main__":
    main()
