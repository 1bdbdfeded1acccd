"""Where the data that ships with the program lies: in the wheel, or beside the package in a checkout."""

from pathlib import Path

__all__ = ["shipped"]


def shipped(name: str) -> Path:
    """Return the folder of shipped data called `name` ("schema" or "records")."""
    package = Path(__file__).parent
    packed = package / "shipped" / name
    return packed if packed.is_dir() else package.parent / name
