"""What is taught with, as values: strokes, exercises and letters to practise, a class with its boards and its tools.

Options work these out and sheets draw them; neither knows the other.
"""
