"""Record kinds, their settings and the words they use.

`kinds`, `shape`, `scales` and `units` are read by every question and never import pydantic; the record
models are loaded only where a record is written, checked or its schema exported.
"""
