"""The bench: which strokes a letter has, every cut they need, with which tool and which way; nothing is drawn here."""
