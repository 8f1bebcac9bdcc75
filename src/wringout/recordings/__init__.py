"""Flight logs of any source → one clean table, and its smoothed path."""

from wringout.recordings.cleaning import clean
from wringout.recordings.inspection import ChannelHealth, health
from wringout.recordings.mapping import ChannelColumn, ColumnMapping
from wringout.recordings.merging import merge
from wringout.recordings.path import smooth
from wringout.recordings.reading import read
from wringout.recordings.recording import CHANNELS, Exclusion, Recording, Track

__all__ = [
    "CHANNELS",
    "ChannelColumn",
    "ChannelHealth",
    "ColumnMapping",
    "Exclusion",
    "Recording",
    "Track",
    "clean",
    "health",
    "merge",
    "read",
    "smooth",
]
