"""`python -m registry`: the same as the `litstock` command."""

from registry.cli import main

if __name__ == "__main__":
    main(prog_name="litstock")
