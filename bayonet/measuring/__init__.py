"""How a plug is measured: a letter for every dimension, the sketch that carries them, a first file.

One list of letters (`bayonet/data/letters.csv`) serves sheet, page, questions and comments.
"""

from __future__ import annotations

from bayonet.measuring.answers import Answer, answer, fields_of
from bayonet.measuring.letters import Letter, letters_of
from bayonet.measuring.sketch import Mark, Sketch, Stroke, View, sketch
from bayonet.measuring.start import SEALS, lettered, starting_file

__all__ = [
    "SEALS",
    "Answer",
    "Letter",
    "Mark",
    "Sketch",
    "Stroke",
    "View",
    "answer",
    "fields_of",
    "lettered",
    "letters_of",
    "sketch",
    "starting_file",
]
