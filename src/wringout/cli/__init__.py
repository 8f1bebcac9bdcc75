"""The commands: each answers one question of an evaluator, as a table for people or JSON for programs."""

from wringout.cli.main import main

__all__ = ["main"]
