"""A shared, versioned registry of media settings for backlit wide-format print."""

__version__ = "0.1.0"
