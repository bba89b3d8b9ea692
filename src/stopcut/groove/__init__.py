"""The carved surface under an outline: its walls, its depths, the lines a carver would pencil, what will not carve."""
