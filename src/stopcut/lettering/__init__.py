"""Finding faces, shaping words, one clean outline a letter, thin strokes strengthened."""
