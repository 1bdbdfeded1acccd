"""The command line: each command parses, calls one function, renders and exits."""

from registry.cli.main import main

__all__ = ["main"]
